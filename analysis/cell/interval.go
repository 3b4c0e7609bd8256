package cell

import "math"

// halfChi is half of the 95 % quantile of chi-squared with one degree of freedom:
// costs within it of the least one belong to the interval.
const halfChi = 1.92

// profile is the cost of a fit at each time constant of the cell, its shape kept.
func (q *pair) profile(f fit) []float64 {
	out := make([]float64, len(q.taus))
	for t := range out {
		b := fit{shape: f.shape, gain: f.gain, cost: math.Inf(1)}
		switch f.shape {
		case later:
			b.cost = q.laterAt(f, t)
		case ceiling:
			q.tryCeiling(&b, t, f.kneeBar, f.sinkPerS)
		case drift:
			q.tryDrift(&b, t, f.onsetS)
		default:
			b = q.steadyAt(t)
		}
		out[t] = b.cost
	}
	return out
}

// laterAt is the cost with time constant t from the onset on.
func (q *pair) laterAt(f fit, t int) float64 {
	f.tauAfter = t
	sums := q.running(q.predict(f))
	return sums[len(sums)-1]
}

// t90Of is T90 with its interval. To the profile's own width that of the
// reference's T90 is added in quadrature: LagSpreadS where it is a quick cell,
// else the interval of its absolute T90, since an error there shifts all alike.
func (d *dive) t90Of(out *Diagnosis, q *pair, f fit) Interval {
	v := minimum(q.taus, q.profile(f))
	ref := 2 * d.p.LagSpreadS
	if out.allSlow {
		ref = out.clock.t90.High - out.clock.t90.Value
	}
	v.Low = math.Max(0, v.Value-math.Hypot(v.Value-v.Low, ref))
	v.High = v.Value + math.Hypot(v.High-v.Value, ref)
	return v
}

// minimum is T90 at the least of a profile of costs, by a parabola in ln tau,
// with the interval where the cost is within halfChi of it.
func minimum(taus, c []float64) Interval {
	best := 0
	for t := range c {
		if c[t] < c[best] {
			best = t
		}
	}
	lnTau, top := math.Log(taus[best]), c[best]
	if best > 0 && best < len(c)-1 {
		l, m, r := c[best-1], c[best], c[best+1]
		if den := l - 2*m + r; den > 0 {
			lnTau += 0.5 * (l - r) / den * math.Log(taus[1]/taus[0])
			top = m - 0.125*sq(l-r)/den
		}
	}
	v := Interval{Value: math.Exp(lnTau) * math.Ln10, High: math.Inf(1)}
	for t := best; t > 0; t-- {
		if c[t-1] > top+halfChi {
			v.Low = math.Ln10 * crossing(taus[t-1], taus[t], c[t-1]-top, c[t]-top)
			break
		}
	}
	for t := best; t < len(c)-1; t++ {
		if c[t+1] > top+halfChi {
			v.High = math.Ln10 * crossing(taus[t+1], taus[t], c[t+1]-top, c[t]-top)
			break
		}
	}
	v.Low, v.High = math.Min(v.Low, v.Value), math.Max(v.High, v.Value)
	return v
}

// crossing is where the excess cost reaches halfChi between two time constants.
func crossing(far, near, cFar, cNear float64) float64 {
	w := math.Min(math.Max((halfChi-cNear)/(cFar-cNear), 0), 1)
	return math.Exp(math.Log(near) + w*(math.Log(far)-math.Log(near)))
}

// kneeInterval is the range of knees, in bar of the reference, whose cost is
// within halfChi of the best, the other parameters free but the time constant.
func (q *pair) kneeInterval(f fit) (lo, hi float64) {
	const step = 0.004
	at := func(b float64) float64 {
		t := fit{shape: ceiling, gain: f.gain, cost: math.Inf(1)}
		q.tryCeiling(&t, f.tau, b, f.sinkPerS)
		return t.cost
	}
	lo, hi = f.kneeBar-step/2, f.kneeBar+step/2
	for lo > f.kneeBar-0.1 && at(lo) < f.cost+halfChi {
		lo -= step
	}
	for hi < f.kneeBar+0.1 && at(hi) < f.cost+halfChi {
		hi += step
	}
	return lo, hi
}
