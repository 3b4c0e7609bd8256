package cell

import (
	"math"

	"afterloop/analysis/loop"
)

// views holds every cell through every filter, averaged over blocks. Filters
// commute: with y_i = g_i L(tau_i) p,
//
//	L(tau_ref) y_i = (g_i/g_ref) L(tau_i) y_ref
//
// so nothing is deconvolved. through[i][t] is cell i behind taus[t].
type views struct {
	taus    []float64
	quick   int // index of the time constant taken for a quick cell
	through [][][]float64
}

// tauGrid runs from far quicker than any cell to T90 of some 160 s, in steps of
// a fifth; the quick cell's own time constant is one of its points.
func tauGrid(quickS float64) (taus []float64, quick int) {
	const ratio = 1.2
	for k := -10; k <= 18; k++ {
		if k == 0 {
			quick = len(taus)
		}
		taus = append(taus, quickS*math.Pow(ratio, float64(k)))
	}
	return taus, quick
}

func (d *dive) newViews(quickT90S float64) views {
	v := views{}
	v.taus, v.quick = tauGrid(quickT90S / math.Ln10)
	buf := make([]float64, d.Rows())
	for i := range d.y {
		cell := make([][]float64, len(v.taus))
		for t, tau := range v.taus {
			cell[t] = d.means(loop.LowPass(buf, d.TimeS, d.y[i], tau, d.GapAfter))
		}
		v.through = append(v.through, cell)
	}
	return v
}

// pair is what is needed to compare a cell with a reference, block by block.
type pair struct {
	p      *Params
	timeS  []float64
	weight []float64   // effective samples of each block; 0: not compared
	y      []float64   // the cell behind the reference's filter
	x      [][]float64 // the reference behind each filter that the cell may have
	taus   []float64
	quick  int
	inv    []float64 // one over the scale of a residual

	u, v  []float64 // room for regressors
	start float64   // the gain that searches start from; 0: not yet known
}

// newPair prepares cell readings y (behind the quick filter) and reference x (behind
// every filter). A residual's scale has a floor, since at coarse rounding plateaus
// make any spread collapse to nothing, and grows with the rate of PO2, since the
// reference's own time constant is known to LagSpreadS only.
func (d *dive) newPair(v views, y []float64, x [][]float64, noiseY, noiseX float64) pair {
	n := len(y)
	q := pair{p: &d.p, y: y, x: x, taus: v.taus, quick: v.quick, timeS: make([]float64, n),
		weight: make([]float64, n), inv: make([]float64, n), u: make([]float64, n), v: make([]float64, n)}
	base := sq(noiseY) + sq(noiseX) + sq(d.p.ModelBar)
	ref := x[v.quick]
	for k, b := range d.blocks {
		q.timeS[k] = b.timeS
		if math.IsNaN(y[k]) || math.IsNaN(ref[k]) {
			continue
		}
		q.weight[k] = math.Min(1, b.lengthS/d.p.CorrelationS)
		q.inv[k] = 1 / math.Sqrt(base+sq(d.p.ModelRel*ref[k])+sq(d.p.LagSpreadS*rateAt(d.blocks, ref, k)))
	}
	return q
}

// rateAt is the rate of x per second around block k, from its neighbours.
func rateAt(b []block, x []float64, k int) float64 {
	lo, hi := max(k-1, 0), min(k+1, len(x)-1)
	if math.IsNaN(x[lo]) {
		lo = k
	}
	if math.IsNaN(x[hi]) {
		hi = k
	}
	if lo == hi {
		return 0
	}
	return (x[hi] - x[lo]) / (b[hi].timeS - b[lo].timeS)
}

func sq(x float64) float64 { return x * x }

// costs adds up, in nats, what residuals of u scales cost by Student's distribution,
//
//	weight (nu+1)/2 ln(1 + u^2/nu)
//
// as the logarithm of a product while the weight stays the same: logarithms are
// what most of the time would go into.
type costs struct{ nu, sum, product, weight float64 }

func (c *costs) add(weight, u float64) {
	const large = 1e200
	if weight != c.weight || c.product > large {
		c.flush()
		c.weight = weight
	}
	if c.product *= 1 + u*u/c.nu; c.product > large {
		c.flush()
	}
}

func (c *costs) flush() {
	c.sum += c.weight * (c.nu + 1) / 2 * math.Log(c.product)
	c.product = 1
}

func (c *costs) total() float64 {
	c.flush()
	return c.sum
}

func (q *pair) newCosts() costs { return costs{nu: q.p.FreedomNu, product: 1} }

// effective is the number of effective samples.
func (q *pair) effective() float64 {
	sum := 0.0
	for _, w := range q.weight {
		sum += w
	}
	return sum
}

// misfit is the cost of a fit per effective sample.
func (q *pair) misfit(f fit) float64 { return f.cost / math.Max(q.effective(), 1) }

// misfitWithin is the cost per effective sample over the blocks that lie in rows
// from..to; +Inf where there is none.
func (q *pair) misfitWithin(f fit, blocks []block, from, to int) float64 {
	predict := q.predict(f)
	c := q.newCosts()
	n := 0.0
	for k, w := range q.weight {
		if w > 0 && blocks[k].from >= from && blocks[k].to <= to {
			c.add(w, (q.y[k]-predict(k))*q.inv[k])
			n += w
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	return c.total() / n
}

// line is a least-squares fit y = a u + b v with its cost and the standard errors.
type line struct{ a, b, sa, sb, cost float64 }

// linear fits y = a u + b v by iteratively reweighted least squares, from the
// start a, b; v may be nil.
func (q *pair) linear(u, v []float64, a, b float64, rounds int) line {
	l := line{a: a, b: b}
	for range rounds {
		q.reweighted(&l, u, v)
	}
	c := q.newCosts()
	for k, w := range q.weight {
		if w > 0 {
			c.add(w, q.residual(l, u, v, k))
		}
	}
	l.cost = c.total()
	return l
}

// residual of block k in scales.
func (q *pair) residual(l line, u, v []float64, k int) float64 {
	r := q.y[k] - l.a*u[k]
	if v != nil {
		r -= l.b * v[k]
	}
	return r * q.inv[k]
}

// reweighted is one round of [pair.linear].
func (q *pair) reweighted(l *line, u, v []float64) {
	var uu, uv, vv, uy, vy float64
	nu := q.p.FreedomNu
	for k, w := range q.weight {
		if w == 0 {
			continue
		}
		e, i := q.residual(*l, u, v, k), q.inv[k]
		w *= (nu + 1) / (nu + e*e) * i * i
		x := u[k]
		uu, uy = uu+w*x*x, uy+w*x*q.y[k]
		if v != nil {
			z := v[k]
			uv, vv, vy = uv+w*x*z, vv+w*z*z, vy+w*z*q.y[k]
		}
	}
	det := uu*vv - uv*uv
	switch {
	case v != nil && det > 1e-9*uu*vv:
		l.a, l.b = (uy*vv-vy*uv)/det, (vy*uu-uy*uv)/det
		l.sa, l.sb = math.Sqrt(vv/det), math.Sqrt(uu/det)
	case uu > 0:
		l.a, l.b = uy/uu, 0
		l.sa, l.sb = 1/math.Sqrt(uu), math.Inf(1)
	}
}
