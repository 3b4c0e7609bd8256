package cell

import "math"

// fitCeiling searches the knee, and how fast it sinks, on a grid refined once; gain
// and slope follow by least squares.
func (q *pair) fitCeiling(t int) fit {
	best := fit{shape: ceiling, cost: math.Inf(1)}
	lo, hi := q.span(q.x[q.quick])
	if !(hi-lo > q.p.CeilingExcessBar) {
		return best
	}
	for _, tau := range q.someTaus(t) {
		for k := 1; k < 14; k++ {
			for _, sink := range []float64{0, 0.05 / 3600} {
				q.tryCeiling(&best, tau, lo+(hi-lo)*float64(k)/14, sink)
			}
		}
	}
	return q.refineCeiling(best, (hi-lo)/14)
}

func (q *pair) refineCeiling(best fit, step float64) fit {
	if math.IsInf(best.cost, 1) {
		return best
	}
	for range 5 {
		step /= 2
		c := best
		for _, dk := range []float64{-step, 0, step} {
			for _, ds := range []float64{-step, 0, step} {
				q.tryCeiling(&best, c.tau, c.kneeBar+dk, math.Max(0, c.sinkPerS+ds*0.3/3600))
			}
		}
		for _, dt := range []int{-1, 1} {
			if t := c.tau + dt; t >= 0 && t < len(q.taus) {
				q.tryCeiling(&best, t, best.kneeBar, best.sinkPerS)
			}
		}
	}
	return best
}

// knee is b at time t: it sinks from the start of the record.
func knee(b, sinkPerS, sinceS float64) float64 { return b * (1 - sinkPerS*sinceS) }

func (q *pair) tryCeiling(best *fit, t int, b, sink float64) {
	x, t0 := q.x[t], q.timeS[0]
	for k, w := range q.weight {
		if w > 0 {
			now := knee(b, sink, q.timeS[k]-t0)
			q.u[k], q.v[k] = math.Min(x[k], now), math.Max(x[k]-now, 0)
		}
	}
	l := q.linear(q.u, q.v, q.gainOr(best), 0, 2)
	if l.cost >= best.cost || l.a <= 0 {
		return
	}
	s := l.b / l.a
	if s < 0 || s > q.p.CeilingSlopeMax {
		s = math.Min(math.Max(s, 0), q.p.CeilingSlopeMax)
		for k := range q.u {
			q.u[k] += s * q.v[k]
		}
		if l = q.linear(q.u, nil, l.a, 0, 2); l.cost >= best.cost {
			return
		}
	}
	*best = fit{shape: ceiling, tau: t, tauAfter: t, gain: l.a, gainSE: l.sa, kneeBar: b, slope: s, sinkPerS: sink, cost: l.cost}
}
