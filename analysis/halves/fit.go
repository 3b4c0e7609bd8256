package halves

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// clock is a fit: offset at the reference, drift, and the depths' own relation.
type clock struct {
	offsetS, drift, refS float64
	zeroM, factor        float64
	residualM            float64 // root of the mean square, over the common steps
	common, moving       int     // steps
	agree, agreeMoving   int
	fromS, toS           float64 // of the common stretch, by B
	sdOffsetS, sdDrift   float64
	df                   float64
}

func (c *clock) toA(tB float64) float64 { return tB + c.offsetS + c.drift*(tB-c.refS) }

// parameters of the fit, in the order of the normal equations.
const (
	pOffset = iota
	pDrift
	pZero
	pFactor
	parameters
)

// huber is the residual, in robust standard deviations, from which a step weighs
// less; 2.5, between the 1.345 of 95 % efficiency (Huber; memory) and none, since
// whole stretches may be off.
const huber = 2.5

// fit refines a shift by robust least squares over every every-th step of b, in
// at most so many rounds; ok is false where the equations have no solution.
func fit(a, b grid, s shift, every, rounds int, p Params) (clock, bool) {
	c := clock{offsetS: s.offsetS, factor: 1}
	if !c.centre(a, b) {
		return c, false
	}
	for range rounds {
		e := equations(a, b, &c, every, p)
		if e.steps < 2*parameters {
			return c, false
		}
		step, ok := e.solve()
		if !ok {
			return c, false
		}
		c.offsetS += clamp(step[pOffset], 10)
		c.drift += clamp(step[pDrift], 1e-3)
		c.zeroM += step[pZero]
		c.factor = 1 + clamp(c.factor+step[pFactor]-1, 0.5)
		if math.Abs(step[pOffset]) < 1e-4 && math.Abs(step[pDrift])*(c.toS-c.fromS) < 1e-4 {
			break
		}
	}
	return c, true
}

func clamp(v, most float64) float64 { return math.Max(-most, math.Min(most, v)) }

// centre puts the reference into the middle of the common stretch.
func (c *clock) centre(a, b grid) bool {
	c.fromS, c.toS = math.NaN(), math.NaN()
	for i, z := range b.z {
		t := b.startS + float64(i)*b.stepS
		if math.IsNaN(z) || math.IsNaN(a.at(a.z, c.toA(t))) {
			continue
		}
		if math.IsNaN(c.fromS) {
			c.fromS = t
		}
		c.toS = t
	}
	c.refS = (c.fromS + c.toS) / 2
	return c.toS > c.fromS
}

// system are the normal equations H x = g of one round, with the scores of each block.
type system struct {
	h     [parameters][parameters]float64
	g     [parameters]float64
	meat  [parameters][parameters]float64
	steps int
	block int // informative blocks
}

// equations collects one round. Beliefs about drift and factor stand in it as
// observations of their own, weighed as if ten steps shared one error.
func equations(a, b grid, c *clock, every int, p Params) system {
	res, rows, _ := residuals(a, b, c, every, p.MovingMS)
	e := system{steps: len(res)}
	scale := math.Max(robustSD(res), p.ResidualFloorM)
	perBlock := max(1, int(p.BlockS/(b.stepS*float64(every))))
	var score [parameters]float64
	moved := false
	flush := func() {
		for i := range score {
			for k := range score {
				e.meat[i][k] += score[i] * score[k]
			}
		}
		if moved {
			e.block++
		}
		score, moved = [parameters]float64{}, false
	}
	for n, r := range res {
		if n > 0 && n%perBlock == 0 {
			flush()
		}
		w := 1.0
		if x := math.Abs(r) / (huber * scale); x > 1 {
			w = 1 / x
		}
		j := rows[n]
		moved = moved || math.Abs(j[pOffset]) > p.MovingMS
		for i := range j {
			e.g[i] += w * r * j[i]
			score[i] += w * r * j[i]
			for k := range j {
				e.h[i][k] += w * j[i] * j[k]
			}
		}
	}
	flush()
	e.believe(pDrift, c.drift, 0, p.DriftSDPPM*1e-6, scale)
	e.believe(pFactor, c.factor, 1, p.MaxDepthFactor/2, scale)
	return e
}

func (e *system) believe(i int, now, value, sd, scale float64) {
	const share = 10
	w := share * scale * scale / (sd * sd)
	e.h[i][i] += w
	e.g[i] += w * (value - now)
	e.meat[i][i] += w * w * sd * sd
}

// residuals are z_B - (z_0 + k z_A) over the common steps, each with its row of
// the Jacobian, and whether depth changed by B.
func residuals(a, b grid, c *clock, every int, movingMS float64) (res []float64, rows [][parameters]float64, moves []bool) {
	most := len(b.z)/every + 1
	res, rows, moves = make([]float64, 0, most), make([][parameters]float64, 0, most), make([]bool, 0, most)
	for i := 0; i < len(b.z); i += every {
		t := b.startS + float64(i)*b.stepS
		tA := c.toA(t)
		z := a.at(a.z, tA)
		slope := a.at(a.slope, tA)
		r := b.z[i] - c.zeroM - c.factor*z
		if r != r || slope != slope {
			continue
		}
		res = append(res, r)
		moves = append(moves, math.Abs(b.slope[i]) > movingMS)
		rows = append(rows, [parameters]float64{c.factor * slope, c.factor * slope * (t - c.refS), 1, z})
	}
	return res, rows, moves
}

func robustSD(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	v := make([]float64, len(x))
	for i := range x {
		v[i] = math.Abs(x[i])
	}
	sort.Float64s(v)
	return 1.4826 * v[len(v)/2] // of a normal distribution
}

// scales make the equations comparable: a drift is a millionth, the others are near 1.
var scales = [parameters]float64{1, 1e-6, 1, 1}

func (e *system) inverse() (*mat.Dense, bool) {
	h := mat.NewDense(parameters, parameters, nil)
	for i := range e.h {
		for k := range e.h {
			h.Set(i, k, e.h[i][k]*scales[i]*scales[k])
		}
	}
	var inv mat.Dense
	if err := inv.Inverse(h); err != nil {
		return nil, false
	}
	return &inv, true
}

func (e *system) solve() (out [parameters]float64, ok bool) {
	inv, ok := e.inverse()
	if !ok {
		return out, false
	}
	for i := range out {
		for k := range out {
			out[i] += inv.At(i, k) * e.g[k] * scales[k]
		}
		out[i] *= scales[i]
		ok = ok && !math.IsNaN(out[i])
	}
	return out, ok
}

// doubt fills in the standard deviations: the sandwich over the blocks.
func (c *clock) doubt(e system) {
	inv, ok := e.inverse()
	if !ok {
		c.sdOffsetS, c.sdDrift = math.Inf(1), math.Inf(1)
		return
	}
	meat := mat.NewDense(parameters, parameters, nil)
	c.df = math.Max(1, float64(e.block-parameters))
	small := float64(max(e.block, 2)) / c.df
	for i := range e.meat {
		for k := range e.meat {
			meat.Set(i, k, e.meat[i][k]*scales[i]*scales[k]*small)
		}
	}
	var half, cov mat.Dense
	half.Mul(inv, meat)
	cov.Mul(&half, inv)
	c.sdOffsetS = math.Sqrt(cov.At(pOffset, pOffset))
	c.sdDrift = math.Sqrt(cov.At(pDrift, pDrift)) * scales[pDrift]
}

// quantile is Student's, for a 95 % interval.
func (c *clock) quantile() float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: c.df}.Quantile(0.975)
}
