package days

import (
	"fmt"
	"math"

	"afterloop/analysis/exposure"
)

// overlap is a time that two logs of the series cover.
type overlap struct {
	a, b         int // numbers of the dives, in order of time
	fromS, toS   float64
	counted, cut int // whose dose counts there, and whose was left out
}

// separate makes sure that no time counts twice: where two logs cover the same
// time the one with the larger dose there counts (by the 24-hour limit and the
// headline's source), the other is left out for that time alone. Of two alike the
// one that began first counts.
func separate(dives []*dive, p Params) []overlap {
	var out []overlap
	for j := range dives {
		for i := range j {
			fromS, toS := math.Max(dives[i].fromS, dives[j].fromS), math.Min(dives[i].toS, dives[j].toS)
			if toS-fromS < p.OverlapS {
				continue
			}
			o := overlap{i + 1, j + 1, fromS, toS, i + 1, j + 1}
			if doseWithin(dives[j], fromS, toS, p) > doseWithin(dives[i], fromS, toS, p)*(1+1e-9) {
				o.counted, o.cut = j+1, i+1
			}
			// Only where the other still counts: a third log may have taken its place.
			for _, c := range append([]exposure.Stretch{}, dives[o.counted-1].head...) {
				dives[o.cut-1].without(math.Max(fromS, c.FromS()), math.Min(toS, c.ToS()), p.Exposure)
			}
			dives[o.cut-1].remark(fmt.Sprintf("%s of it are covered by dive %d too and count there", length(toS-fromS), o.counted))
			out = append(out, o)
		}
	}
	return out
}

func doseWithin(d *dive, fromS, toS float64, p Params) float64 {
	sum := 0.0
	for _, s := range d.head {
		sum += s.Within(fromS, toS, p.Exposure).Dose(p.Exposure).Total.CNS24h
	}
	return sum
}

// without takes a time out of a dive.
func (d *dive) without(fromS, toS float64, o exposure.Options) {
	if toS <= fromS {
		return
	}
	before := recorded(d.head)
	for _, part := range []*[]exposure.Stretch{&d.head, &d.low, &d.high} {
		var rest []exposure.Stretch
		for _, s := range *part {
			rest = append(rest, s.Without(fromS, toS, o)...)
		}
		*part = rest
	}
	d.coveredS += before - recorded(d.head)
}

// recorded is the length of the stretches.
func recorded(ss []exposure.Stretch) float64 {
	sum := 0.0
	for _, s := range ss {
		sum += s.ToS() - s.FromS()
	}
	return sum
}
