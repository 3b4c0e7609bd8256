package compare

import (
	"math"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/fit"
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
		s.Median, s.Min, s.Max = analysis.Float(fit.Quantile(known, 0.5)), analysis.Float(known[0]), analysis.Float(known[s.N-1])
	}
	if s.N >= quartileFrom {
		s.Quartile, s.Upper = analysis.Float(fit.Quantile(known, 0.25)), analysis.Float(fit.Quantile(known, 0.75))
	}
	return s
}
