package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Curve is a fitted curve.
type Curve struct {
	Beta []float64
	SE   []float64 // standard errors; NaN without degrees of freedom
	RSS  float64   // residual sum of squares
	DF   int
	// Converged is false where no step could be found that was small enough.
	Converged bool
	// Residuals are y less the curve.
	Residuals []float64
}

// A Model writes the curve's values for parameters beta into out.
type Model func(beta, out []float64)

const (
	curveSteps    = 400
	curveTol      = 1e-10 // relative change of the parameters
	derivativeRel = 6e-6  // cube root of the rounding error: central differences
)

// LeastSquaresCurve fits a model to y by the method of Levenberg and Marquardt
// (D. W. Marquardt, J. Soc. Indust. Appl. Math. 11:431, 1963), with derivatives
// by central differences. start is where it begins; scale, one per parameter, is
// a size below which a change of it means nothing (for parameters near 0).
//
// It is here because gonum's optimisers minimise a scalar: they take many more
// steps on a sum of squares and give no errors of the parameters.
func LeastSquaresCurve(f Model, y, start, scale []float64) Curve {
	sameLength(start, scale)
	p := newProblem(f, y, scale)
	beta := append([]float64{}, start...)
	rss := p.rss(beta)
	lambda, done := 1e-3, false
	for step := 0; step < curveSteps && !done && !math.IsNaN(rss); step++ {
		p.linearise(beta)
		for lambda < 1e12 {
			next, ok := p.step(beta, lambda)
			if r := p.rss(next); ok && r <= rss {
				done = p.small(beta, next)
				beta, rss, lambda = next, r, math.Max(lambda/10, 1e-14)
				break
			}
			lambda *= 10
		}
		if lambda >= 1e12 {
			done = true // no step improves: a minimum to rounding
		}
	}
	return p.result(beta, rss, done)
}

// problem is one fit in hand.
type problem struct {
	f        Model
	y, scale []float64
	jac      *mat.Dense // derivative of the curve, one row per point
	res      []float64
	hi, lo   []float64
}

func newProblem(f Model, y, scale []float64) *problem {
	n := len(y)
	return &problem{f: f, y: y, scale: scale, jac: mat.NewDense(max(n, 1), len(scale), nil),
		res: make([]float64, n), hi: make([]float64, n), lo: make([]float64, n)}
}

func (p *problem) rss(beta []float64) float64 {
	p.f(beta, p.hi)
	s := 0.0
	for i, y := range p.y {
		s += (y - p.hi[i]) * (y - p.hi[i])
	}
	return s
}

// linearise fills the residuals and the derivatives at beta.
func (p *problem) linearise(beta []float64) {
	p.f(beta, p.res)
	floats.SubTo(p.res, p.y, p.res)
	b := append([]float64{}, beta...)
	for k := range beta {
		h := derivativeRel * math.Max(math.Abs(beta[k]), p.scale[k])
		b[k] = beta[k] + h
		p.f(b, p.hi)
		b[k] = beta[k] - h
		p.f(b, p.lo)
		b[k] = beta[k]
		for i := range p.y {
			p.jac.Set(i, k, (p.hi[i]-p.lo[i])/(2*h))
		}
	}
}

// normal is J'J with its diagonal raised by lambda.
func (p *problem) normal(lambda float64) *mat.Dense {
	var n mat.Dense
	n.Mul(p.jac.T(), p.jac)
	for k := range p.scale {
		n.Set(k, k, n.At(k, k)*(1+lambda))
	}
	return &n
}

func (p *problem) step(beta []float64, lambda float64) ([]float64, bool) {
	var g, d mat.VecDense
	g.MulVec(p.jac.T(), mat.NewVecDense(len(p.res), p.res))
	if err := d.SolveVec(p.normal(lambda), &g); err != nil {
		if _, ill := err.(mat.Condition); !ill {
			return beta, false
		}
	}
	next := append([]float64{}, beta...)
	floats.Add(next, d.RawVector().Data)
	return next, !floats.HasNaN(next)
}

func (p *problem) small(a, b []float64) bool {
	for k := range a {
		if math.Abs(a[k]-b[k]) > curveTol*math.Max(math.Abs(b[k]), p.scale[k]) {
			return false
		}
	}
	return true
}

func (p *problem) result(beta []float64, rss float64, done bool) Curve {
	c := Curve{Beta: beta, RSS: rss, DF: len(p.y) - len(beta), Converged: done, SE: make([]float64, len(beta))}
	p.linearise(beta)
	c.Residuals = append([]float64{}, p.res...)
	var inv mat.Dense
	err := inv.Inverse(p.normal(0))
	_, ill := err.(mat.Condition)
	for k := range beta {
		c.SE[k] = nan
		if (err == nil || ill) && c.DF > 0 && inv.At(k, k) > 0 {
			c.SE[k] = math.Sqrt(rss / float64(c.DF) * inv.At(k, k))
		}
	}
	return c
}

// SerialFactor is by how much standard errors must be widened where residuals
// follow one another: sqrt(n/NEff), at least 1.
func (c Curve) SerialFactor() float64 {
	stretch, _ := serialStretch(c.Residuals)
	return math.Sqrt(stretch)
}
