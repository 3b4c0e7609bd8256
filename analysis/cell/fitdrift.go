package cell

import "math"

// fitDrift looks for an onset from which the gain runs away.
func (q *pair) fitDrift(t int) fit {
	best := fit{shape: drift, cost: math.Inf(1)}
	n := len(q.timeS)
	from, to := q.timeS[0], q.timeS[n-1]
	for _, tau := range q.someTaus(t) {
		for k := range 16 {
			q.tryDrift(&best, tau, from+(to-from)*float64(k)/17)
		}
	}
	step := (to - from) / 17
	for range 5 {
		step /= 2
		c := best.onsetS
		q.tryDrift(&best, best.tau, c-step)
		q.tryDrift(&best, best.tau, c+step)
		for _, dt := range []int{-1, 1} {
			if t := best.tau + dt; t >= 0 && t < len(q.taus) {
				q.tryDrift(&best, t, best.onsetS)
			}
		}
	}
	return best
}

func (q *pair) tryDrift(best *fit, t int, onset float64) {
	x := q.x[t]
	for k, w := range q.weight {
		if w > 0 {
			q.v[k] = x[k] * math.Max(q.timeS[k]-onset, 0) / 3600
		}
	}
	l := q.linear(x, q.v, q.gainOr(best), 0, 2)
	if l.cost < best.cost && l.a > 0 {
		*best = fit{shape: drift, tau: t, tauAfter: t, gain: l.a, gainSE: l.sa, onsetS: onset,
			ratePerS: l.b / 3600, rateSE: l.sb / 3600, cost: l.cost}
	}
}
