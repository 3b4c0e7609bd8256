package whatif

import (
	"math"

	"afterloop/analysis"
)

// flowRange is flow/V in bar/s with its range, and where it comes from.
type flowRange struct {
	value, low, high float64
	basis            string
}

// findFlow tries values of flow/V over a range: with each the use is fitted, and that
// with which the loop comes nearest to the estimate is taken. Descents (make-up), single
// openings and stretches of other use tell it from the use; a parabola through the least
// three in ln(flow/V) gives the value and how far it may be off.
//
// A single number per opening, as the debrief has it, holds the overshoot before the loop
// has mixed; here the model has the overshoot too.
func findFlow(c *course, statedPerS float64, p Params) flowRange {
	if statedPerS > 0 {
		return flowRange{statedPerS, statedPerS * (1 - p.StatedFlowSpread), statedPerS * (1 + p.StatedFlowSpread), "stated flow over stated volume"}
	}
	n := p.FlowSteps
	logs, squares := make([]float64, n), make([]float64, n)
	analysis.Each(n, func(k int) {
		logs[k] = math.Log(p.FlowLow) + float64(k)*math.Log(p.FlowHigh/p.FlowLow)/float64(n-1)
		_, f := c.driven(fitModel(c, corner{flow: math.Exp(logs[k]), mixing: 1, scale: 1}, p))
		squares[k] = f * f
	})
	best := 0
	for k := range squares {
		if squares[k] < squares[best] {
			best = k
		}
	}
	best = max(1, min(n-2, best))
	at, least, curve := parabola(logs[best-1:best+2], squares[best-1:best+2])
	half := math.Max(math.Log1p(p.FlowSpread), math.Sqrt(math.Max(0, least)*(p.FlowRatio-1)/curve))
	half = math.Min(half, math.Log(2))
	return flowRange{math.Exp(at), math.Exp(at - half), math.Exp(at + half), "fitted: the value with which the model comes nearest to the estimate of PO2"}
}

func (c *course) driven(m *model) (bar, percentO2 float64) { return c.rmse(m.drivenBar, m.estBar) }

// parabola through three equally spaced points: where it is least (within the outer
// two), how small it is there, and half its second derivative.
func parabola(x, y []float64) (at, least, curve float64) {
	h := x[1] - x[0]
	curve = math.Max((y[0]-2*y[1]+y[2])/(2*h*h), 1e-9)
	d := (y[0] - y[2]) / (4 * h * curve)
	d = math.Max(-h, math.Min(h, d))
	slope := (y[2] - y[0]) / (2 * h)
	return x[1] + d, math.Max(y[1]+slope*d+curve*d*d, 0.2*math.Min(y[0], math.Min(y[1], y[2]))), curve
}
