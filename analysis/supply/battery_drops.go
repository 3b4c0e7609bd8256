package supply

import (
	"math"
	"slices"

	"afterloop/analysis/fit"
)

// stayMinutes is over how many minutes a step must stay.
const stayMinutes = 5

// apartMost is how many usual distances of minutes two minutes may lie apart and
// still be neighbours.
const apartMost = 1.5

// drops finds falls from one minute to the next that stayed: larger than StepShare,
// than two steps of the record, and than five times what neighbouring minutes
// usually differ by. Over a time without readings a fall is no step: it may have
// been slow.
func (b *Battery) drops(in Input, v Voltage, p Params) {
	tS, m := minutes(in, idle(in, v), p)
	if len(m) < stayMinutes {
		return
	}
	next := neighbours(tS, p)
	var d []float64
	for i, yes := range next {
		if yes {
			d = append(d, m[i]-m[i+1])
		}
	}
	usual := 1.4826 * fit.MAD(d)
	for i, yes := range next {
		drop, limit := m[i]-m[i+1], math.Max(p.StepShare*m[i], 5*usual)
		if !math.IsNaN(b.StepV) {
			limit = math.Max(limit, 2*b.StepV)
		}
		after := m[i+1 : min(len(m), i+1+stayMinutes)]
		if !(drop > limit && slices.Max(after) < m[i]-drop/2) {
			continue
		}
		x := Drop{SinceS: tS[i], AtS: tS[i+1], FromV: m[i], ToV: m[i+1]}
		if yes {
			b.Drops = append(b.Drops, x)
		} else {
			b.Unseen = append(b.Unseen, x)
		}
	}
}

// neighbours tells of each minute whether the next one with readings follows it
// without one between that holds none.
func neighbours(tS []float64, p Params) []bool {
	apart := make([]float64, len(tS)-1)
	for i := range apart {
		apart[i] = tS[i+1] - tS[i]
	}
	most := apartMost * math.Max(p.ReadOverS, fit.Median(apart))
	next := make([]bool, len(apart))
	for i, x := range apart {
		next[i] = x <= most
	}
	return next
}
