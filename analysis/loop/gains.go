package loop

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// relativeGains sets the logGain of each column from the cells alone, their
// common scale left at the prior.
//
// A pair of cells is compared after each has been filtered with the lag of the
// other: first-order filters commute, so both then lag alike and their ratio is
// that of the gains. The ratios of all pairs are put together by weighted least
// squares; a weak prior keeps a cell that meets no other at gain 1.
func relativeGains(r Record, cols []column, p Params) {
	n := len(cols)
	if n == 0 {
		return
	}
	a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for k := range n {
		a.SetSym(k, k, 1/sq(p.GainSD))
	}
	for j := range n {
		for k := range j {
			l, sd := pairRatio(r, &cols[j], &cols[k])
			if math.IsNaN(l) {
				continue
			}
			w := 1 / sq(sd)
			a.SetSym(j, j, a.At(j, j)+w)
			a.SetSym(k, k, a.At(k, k)+w)
			a.SetSym(j, k, a.At(j, k)-w)
			b.SetVec(j, b.AtVec(j)+w*l)
			b.SetVec(k, b.AtVec(k)-w*l)
		}
	}
	var ch mat.Cholesky
	var x mat.VecDense
	if !ch.Factorize(a) || ch.SolveVecTo(&x, b) != nil {
		return
	}
	for k := range cols {
		cols[k].logGain = x.AtVec(k)
	}
}

// pairRatio is ln(gain of x / gain of y) and its standard error, from rows
// where both are used and settled; NaN where there are too few.
func pairRatio(r Record, x, y *column) (logRatio, sd float64) {
	var logs []float64
	span := 0.0
	for i, tx := range x.tauS {
		for j, ty := range y.tauS {
			u := LowPass(nil, r.TimeS, maskSpan(x, i), ty, r.GapAfter)
			v := LowPass(nil, r.TimeS, maskSpan(y, j), tx, r.GapAfter)
			logs, span = appendLogRatios(logs, span, r, u, v, 4*(tx+ty))
		}
	}
	if len(logs) < 10 {
		return math.NaN(), math.NaN()
	}
	m := Quantile(logs, 0.5)
	spread := (Quantile(logs, 0.8413) - Quantile(logs, 0.1587)) / 2
	return m, math.Max(3e-4, spread/math.Sqrt(1+span/25))
}

// maskSpan is the column's readings in span i alone.
func maskSpan(c *column, i int) []float64 {
	if len(c.tauS) == 1 {
		return c.z
	}
	out := make([]float64, len(c.z))
	for k, z := range c.z {
		out[k] = math.NaN()
		if int(c.span[k]) == i {
			out[k] = z
		}
	}
	return out
}

// appendLogRatios adds ln(u/v) of rows at least 5 s apart, where both have been
// read for settleS, and counts the seconds they stand for.
func appendLogRatios(logs []float64, span float64, r Record, u, v []float64, settleS float64) ([]float64, float64) {
	start, last := math.NaN(), math.Inf(-1)
	for i, t := range r.TimeS {
		if math.IsNaN(u[i]) || math.IsNaN(v[i]) || (i > 0 && r.Gap(i-1)) {
			start = math.NaN()
			continue
		}
		if math.IsNaN(start) {
			start = t
		}
		if t-start < settleS || t-last < 5 || u[i] < 0.1 || v[i] < 0.1 {
			continue
		}
		span += math.Min(t-last, 25)
		logs, last = append(logs, math.Log(u[i]/v[i])), t
	}
	return logs, span
}
