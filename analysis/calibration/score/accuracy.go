package score

import (
	"math"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
)

// accuracy compares the recorded vote and the estimate with the true PO2 at the
// cells, every row alike, rows on open circuit too.
func accuracy(s *analysis.Series, truth []scenario.TruthRow) Accuracy {
	p := make([]float64, len(truth))
	for i := range truth {
		p[i] = truth[i].SensedBar
	}
	a := Accuracy{Rows: len(p), VoteRMS: Float(rmsError(s.UnitPO2Bar, p, 1)), RMS: unknown, ScaledRMS: unknown, Scale: unknown, WidthBar: unknown}
	if s.EstimateBar == nil {
		return a
	}
	k := bestScale(s.EstimateBar, p)
	a.RMS, a.ScaledRMS, a.Scale = Float(rmsError(s.EstimateBar, p, 1)), Float(rmsError(s.EstimateBar, p, k)), Float(k)
	width := make([]float64, len(p))
	for i := range p {
		width[i] = s.EstimateHighBar[i] - s.EstimateLowBar[i]
		if p[i] >= s.EstimateLowBar[i] && p[i] <= s.EstimateHighBar[i] {
			a.Inside++
		}
	}
	a.WidthBar = Float(quantile(width, 0.5))
	return a
}

// rmsError is the root mean square of k x - p; NaN where a value is missing.
func rmsError(x, p []float64, k float64) float64 {
	if len(x) != len(p) || len(p) == 0 {
		return math.NaN()
	}
	sum := 0.0
	for i := range p {
		d := k*x[i] - p[i]
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(p)))
}

// bestScale is the constant factor that brings x nearest to p in least squares:
//
//	k = sum(x p) / sum(x^2)
func bestScale(x, p []float64) float64 {
	xp, xx := 0.0, 0.0
	for i := range p {
		xp += x[i] * p[i]
		xx += x[i] * x[i]
	}
	return xp / xx
}

// Distribution sums up a figure over many cases. Where it is missing (a fault
// never found, a figure not given) it counts as larger than any number, so that
// a median cannot look good by leaving cases out; such a quantile is null.
type Distribution struct {
	N       int   `json:"n"` // cases, missing ones included
	Missing int   `json:"missing"`
	Median  Float `json:"median"`
	P90     Float `json:"p90"`
	Worst   Float `json:"worst"`
}

// distribution takes the cases; NaN is a missing one. Without cases all is NaN.
func distribution(cases []Float) Distribution {
	d := Distribution{N: len(cases)}
	x := make([]float64, len(cases))
	for i, c := range cases {
		if x[i] = float64(c); math.IsNaN(x[i]) {
			d.Missing, x[i] = d.Missing+1, math.Inf(1)
		}
	}
	d.Median, d.P90, d.Worst = Float(quantile(x, 0.5)), Float(quantile(x, 0.9)), Float(quantile(x, 1))
	return d
}

// quantile sorts a copy: for 0.5 the median (the mean of the two in the middle
// of an even number), else the smallest value that a share q does not exceed.
// NaN without values.
func quantile(x []float64, q float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	x = slices.Clone(x)
	slices.Sort(x)
	if q == 0.5 {
		return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
	}
	return x[max(0, int(math.Ceil(q*float64(len(x))-1e-9))-1)]
}
