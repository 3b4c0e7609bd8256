package loop

import "math"

// live is the causal estimate: what a unit could have computed with the
// readings up to each row, the default lag and calibrated gains, without any
// verdict that looks ahead. A cell that departs from the median of the cells
// weighs less, by its mean square departure over the last minute or so; so it
// is no better than the majority where the majority is wrong, and its band
// spans the spread of the cells.
func live(r Record, p Params) (po2, low, high []float64) {
	n := r.Rows()
	po2, low, high = make([]float64, n), make([]float64, n), make([]float64, n)
	cols := columns(r, nil, p)
	crude := consensus(cols, n)
	ps := newPass(r, p, cols, drives(r, crude, p))
	ps.adaptive = make([]float64, len(cols))
	b := ps.start(firstKnown(crude))
	gains := newGains(len(cols), len(b.x))
	var ins []innovation
	for i := range r.TimeS {
		if i > 0 {
			ps.tune(i).predict(b, ps.scratch)
		}
		ins = ps.update(b, i, gains, ins[:0])
		ps.adapt(i)
		po2[i] = b.x[iM] + b.x[iQ]
		half := 1.96 * math.Sqrt(math.Max(ps.levelVariance(b), 0)+sq(po2[i])*sq(p.SharedGainSD)+ps.spread(i, po2[i]))
		low[i], high[i] = po2[i]-half, po2[i]+half
	}
	return po2, low, high
}

// levelVariance is the variance of m + q.
func (ps *pass) levelVariance(b belief) float64 {
	n := len(b.x)
	return b.p[iM*n+iM] + b.p[iQ*n+iQ] + 2*b.p[iM*n+iQ]
}

// adapt moves each cell's mean square departure towards that of row i.
func (ps *pass) adapt(i int) {
	a := 1 - math.Exp(-math.Max(ps.drives[i].h, 0)/ps.p.LiveMemoryS)
	for k, d := range ps.dev {
		if !math.IsNaN(d) {
			ps.adaptive[k] += a * (d*d - ps.adaptive[k])
		}
	}
}

// spread is the variance of the weighted mean of the cells that their gains and
// their departures from one another leave.
func (ps *pass) spread(i int, po2 float64) float64 {
	sw, sv := 0.0, 0.0
	for k := range ps.cols {
		c := &ps.cols[k]
		if math.IsNaN(c.z[i]) {
			continue
		}
		w := 1 / (c.r + ps.adaptive[k])
		sw, sv = sw+w, sv+w*w*(sq(ps.p.GainSD*po2)+ps.adaptive[k])
	}
	if sw == 0 {
		return sq(ps.p.GainSD * po2)
	}
	return sv / (sw * sw)
}
