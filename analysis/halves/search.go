package halves

import (
	"math"
	"sort"
)

// coarseSteps bounds the number of steps of both series together in the search:
// its cost is the square of it.
const coarseSteps = 2400

// shift is a candidate: A's time less B's, with how much of the variance it
// leaves unexplained.
type shift struct {
	offsetS, unexplained float64
}

// search tries every shift on coarse steps and returns the best ones, none
// nearer than ApartS to a better one. Shifts with too short a common stretch, or
// with too little change of depth in it, are not tried.
func search(a, b grid, p Params) []shift {
	every := max(2, (len(a.z)+len(b.z))/coarseSteps)
	za, zb := thin(a.z, every), thin(b.z, every)
	stepS := a.stepS * float64(every)
	least := int(math.Max(p.MinOverlapS/stepS, p.MinShare*float64(min(a.known, b.known))/float64(every)))
	var all []shift
	for lag := 1 - len(zb); lag < len(za); lag++ {
		if u := unexplained(za, zb, lag, least, p.MinRangeM); !math.IsNaN(u) {
			all = append(all, shift{a.startS - b.startS + float64(lag)*stepS, u})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].unexplained < all[j].unexplained })
	return apart(all, math.Max(p.ApartS, 2*stepS), p.MaxLagCandidates)
}

func thin(x []float64, every int) []float64 {
	out := make([]float64, 0, len(x)/every+1)
	for i := 0; i < len(x); i += every {
		out = append(out, x[i])
	}
	return out
}

// unexplained is the variance of zb[i] - za[i+lag] over that of both; NaN where
// fewer than least steps are common or depth changes by less than rangeM.
func unexplained(za, zb []float64, lag, least int, rangeM float64) float64 {
	from, to := max(0, -lag), min(len(zb), len(za)-lag)
	if to-from < least || to <= from {
		return math.NaN()
	}
	var n, sd, sdd, sa, saa, sb, sbb float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := from; i < to; i++ {
		x, y := za[i+lag], zb[i]
		d := y - x
		if d != d {
			continue
		}
		n++
		sd, sdd, sa, saa, sb, sbb = sd+d, sdd+d*d, sa+x, saa+x*x, sb+y, sbb+y*y
		lo, hi = math.Min(lo, math.Min(x, y)), math.Max(hi, math.Max(x, y))
	}
	both := saa + sbb - sa*sa/n - sb*sb/n
	if n < float64(least) || hi-lo < rangeM || !(both > 0) {
		return math.NaN()
	}
	return 2 * (sdd - sd*sd/n) / both
}

// apart keeps at most most of the sorted shifts, none near a better one.
func apart(sorted []shift, byS float64, most int) []shift {
	var out []shift
	for _, s := range sorted {
		near := false
		for _, o := range out {
			near = near || math.Abs(o.offsetS-s.offsetS) < byS
		}
		if !near {
			out = append(out, s)
		}
		if len(out) == most {
			break
		}
	}
	return out
}
