package cell

import (
	"math"

	"afterloop/analysis/loop"
)

// shape is the form of the relation between a cell and a reference.
type shape int

const (
	steady  shape = iota // y = g x
	later                // y = g x, its time constant longer from an onset on
	ceiling              // y = g (min(x, b) + s max(x-b, 0)), b may sink
	drift                // y = (g + c (t - t0)+) x
)

// fit is one relation with its parameters. The gain is relative to the reference.
type fit struct {
	shape     shape
	tau       int // index of the cell's time constant
	tauAfter  int // the same from the onset on (later)
	gain      float64
	kneeBar   float64 // b, on the reference's scale, when first passed
	slope     float64 // s, relative to the gain
	sinkPerS  float64 // relative rate at which the knee sinks
	onsetS    float64
	onsetLow  float64 // onsets within halfChi of the least cost (later)
	onsetHigh float64
	ratePerS  float64 // c, change of gain per second from the onset
	gainSE    float64
	rateSE    float64
	cost      float64 // without penalty
	penalised float64
	margin    float64 // nats to the best explanation of another kind
}

// best is the cheapest relation, each extra parameter and each fault paid for.
func (q *pair) best() fit {
	s := q.fitSteady()
	s.penalised = s.cost + q.penalty(s)
	// No shape costs less than nothing: where a steady cell costs less than a
	// fault's penalty, the others need no fit.
	if q.effective() < 8 || s.penalised <= q.p.FaultPenalty {
		return s
	}
	best := s
	for _, f := range []fit{q.fitLater(), q.fitCeiling(s.tau), q.fitDrift(s.tau)} {
		f.penalised = f.cost + q.penalty(f)
		if f.penalised < best.penalised {
			best = f
		}
	}
	return best
}

// margin is how much dearer the best explanation of another kind is than f: for
// a slow cell a quick one of any shape, for the rest any other shape.
func (q *pair) margin(f fit) float64 {
	out := math.Inf(1)
	slow := f.shape == steady && q.t90(f.tau) > q.p.SlowT90S
	others := []fit{q.fitLater(), q.fitCeiling(f.tau), q.fitDrift(f.tau), q.fitSteady()}
	if slow {
		others[3] = q.fitQuick()
	}
	for _, o := range others {
		if o.shape == f.shape && !slow {
			continue
		}
		out = math.Min(out, o.cost+q.penalty(o)-f.penalised)
	}
	return out
}

// fitQuick is the best steady relation of a cell that is not slow.
func (q *pair) fitQuick() fit {
	best := fit{cost: math.Inf(1)}
	for t := range q.taus {
		if q.t90(t) > q.p.SlowT90S {
			break
		}
		if f := q.steadyAt(t); f.cost < best.cost {
			best = f
		}
	}
	return best
}

// penalty is what a relation must pay: a fault's improbability, and a nat and a
// half for each parameter beyond gain and time constant.
func (q *pair) penalty(f fit) float64 {
	const perParameter = 1.5
	pen := 0.0
	if q.t90(f.tau) > q.p.SlowT90S*0.85 {
		pen += q.p.FaultPenalty
	}
	switch f.shape {
	case later:
		pen += q.p.FaultPenalty + 2*perParameter
	case ceiling:
		pen += q.p.FaultPenalty + 3*perParameter
	case drift:
		pen += q.p.FaultPenalty + 2*perParameter
	}
	return pen
}

func (q *pair) t90(tau int) float64 { return q.taus[tau] * math.Ln10 }

// startGain is the median ratio of cell and reference, where searches start.
func (q *pair) startGain() float64 {
	if q.start > 0 {
		return q.start
	}
	x := q.x[q.quick]
	var r []float64
	for k, w := range q.weight {
		if w > 0 && x[k] > 0.05 {
			r = append(r, q.y[k]/x[k])
		}
	}
	if q.start = loop.Quantile(r, 0.5); !(q.start > 0) {
		q.start = 1
	}
	return q.start
}

// steadyAt fits the gain at one time constant.
func (q *pair) steadyAt(t int) fit {
	x := q.x[t]
	l := q.linear(x, nil, q.startGain(), 0, 3)
	return fit{shape: steady, tau: t, tauAfter: t, gain: l.a, gainSE: l.sa, cost: l.cost}
}

func (q *pair) fitSteady() fit {
	best := fit{cost: math.Inf(1)}
	for t := range q.taus {
		if f := q.steadyAt(t); f.cost < best.cost {
			best = f
		}
	}
	return best
}

// running is the cost summed up to each block.
func (q *pair) running(model func(k int) float64) []float64 {
	out := make([]float64, len(q.weight)+1)
	half := (q.p.FreedomNu + 1) / 2
	for k, w := range q.weight {
		out[k+1] = out[k]
		if w > 0 {
			out[k+1] += w * half * math.Log1p(sq((q.y[k]-model(k))*q.inv[k])/q.p.FreedomNu)
		}
	}
	return out
}

// someTaus are the time constants tried with the shapes that cost more to fit.
func (q *pair) someTaus(t int) []int {
	out := []int{q.quick}
	if t != q.quick {
		out = append(out, t)
	}
	for _, k := range []int{q.quick + 5, q.quick + 10} {
		if k != t && k >= 0 && k < len(q.taus) {
			out = append(out, k)
		}
	}
	return out
}

// gainOr is the gain of a fit, or where searches start.
func (q *pair) gainOr(f *fit) float64 {
	if f.gain > 0 {
		return f.gain
	}
	return q.startGain()
}

// span is the range of x over the blocks that count.
func (q *pair) span(x []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for k, w := range q.weight {
		if w > 0 {
			lo, hi = math.Min(lo, x[k]), math.Max(hi, x[k])
		}
	}
	return lo, hi
}
