package compare

import (
	"math"
	"slices"

	"afterloop/analysis"
)

// From how many values on a spread is given. Ours: two values have a difference,
// three or four a range, and a quartile of fewer than five is one of them.
const (
	rangeFrom    = 3
	quartileFrom = 5
)

var unknown = analysis.Float(math.NaN())

// NoSpread is that of nothing.
func NoSpread(n int) Spread { return Spread{n, unknown, unknown, unknown, unknown, unknown} }

// SpreadOf sums up what is known of vs.
func SpreadOf(vs []float64) Spread {
	var known []float64
	for _, v := range vs {
		if analysis.Float(v).Known() {
			known = append(known, v)
		}
	}
	slices.Sort(known)
	s := NoSpread(len(known))
	if s.N >= rangeFrom {
		s.Median, s.Min, s.Max = analysis.Float(Quantile(known, 0.5)), analysis.Float(known[0]), analysis.Float(known[s.N-1])
	}
	if s.N >= quartileFrom {
		s.Quartile, s.Upper = analysis.Float(Quantile(known, 0.25)), analysis.Float(Quantile(known, 0.75))
	}
	return s
}

// Quantile of ascending values, linear between order statistics:
//
//	h = (n-1) p;  x[floor h] + (h - floor h) (x[floor h + 1] - x[floor h])
//
// Definition 7 of Hyndman and Fan, 1996 (memory). NaN of nothing.
func Quantile(sorted []float64, p float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	h := float64(len(sorted)-1) * p
	i := int(math.Floor(h))
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}
