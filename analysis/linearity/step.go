package linearity

import (
	"math"

	"afterloop/analysis/fit"
)

// Step is a cell's response from one level to the next.
type Step struct {
	FromS, ToS       float64
	FromBar, ToBar   float64
	T90S             Estimate
	Assessed         bool
	Reason           string // why not
	BelowResolutionS float64
}

const (
	smallestStepBar = 0.15 // a smaller step is lost in rounding and mixing
	mostStepRows    = 3000 // longer stretches add nothing to a T90
)

// steps fits every step between two neighbouring levels.
func steps(in Input, r Result, k int, pts []Point, p Params) []Step {
	var out []Step
	for l := 1; l < len(r.Levels); l++ {
		a, b := r.Levels[l-1], r.Levels[l]
		s := Step{FromS: in.TimeS[a.To], ToS: in.TimeS[b.To], FromBar: a.PO2Bar, ToBar: b.PO2Bar, T90S: Unknown(), BelowResolutionS: nan}
		switch {
		case math.Abs(b.PO2Bar-a.PO2Bar) < smallestStepBar:
			s.Reason = "the step is smaller than 0.15 bar"
		case pts[l-1].State == Beyond || pts[l].State == Beyond:
			s.Reason = "the cell does not follow at one of the two levels"
		default:
			s.fit(in, r.PO2Bar, k, settledFrom(in.TimeS, a.From, a.To, p.SettledS), b.To, p)
		}
		out = append(out, s)
	}
	return out
}

// fit finds the time constant of a first-order cell that was given the pot's
// recorded PO2, so that slow filling is not taken for a slow cell:
//
//	dy/dt = (g p + c - y) / tau,  T90 = tau ln 10
//
// The pot's mixing is not in it and makes a cell seem slower.
func (s *Step) fit(in Input, po2Bar []float64, k, from, to int, p Params) {
	t, x, y := known(in.TimeS, po2Bar, in.Readings[k], from, min(to, from+mostStepRows))
	if len(t) < 8 {
		s.Reason = "fewer than 8 readings"
		return
	}
	gain := (y[len(y)-1] - y[0]) / (x[len(x)-1] - x[0])
	if !(gain > 0) {
		s.Reason = "the reading does not go with the step"
		return
	}
	interval := (t[len(t)-1] - t[0]) / float64(len(t)-1)
	best := fit.Curve{RSS: math.Inf(1)}
	for _, tau := range []float64{interval / 2, 2, 4, 8, 20, 60} {
		c := fit.LeastSquaresCurve(response(t, x), y, []float64{gain, y[0] - gain*x[0], math.Log(tau)}, []float64{1e-3, 1e-2, 0.1})
		if c.RSS < best.RSS {
			best = c
		}
	}
	s.take(best, interval, t[len(t)-1]-t[0], gain*math.Abs(s.ToBar-s.FromBar), p)
}

func (s *Step) take(c fit.Curve, intervalS, spanS, sizeRaw float64, p Params) {
	tau := math.Exp(c.Beta[2])
	t90 := tau * math.Ln10
	// Beside the scatter: pressure and readings of one row may be a tenth of a row
	// apart, and the pot's gas is not quite what the balance says.
	half := math.Hypot(fit.StudentT(p.Confidence, c.DF)*c.SE[2]*c.SerialFactor(), math.Hypot(0.1*intervalS/tau, 0.01))
	rms := math.Sqrt(c.RSS / float64(max(c.DF, 1)))
	switch {
	case t90 < intervalS:
		s.Assessed, s.BelowResolutionS, s.T90S = true, intervalS, Estimate{0, 0, math.Max(intervalS, t90*math.Exp(orZero(half)))}
		s.T90S.Value = math.Min(t90, intervalS)
	case !(half < 1.2):
		s.Reason = "the fit leaves T90 open by more than a factor of 3"
	case t90 > spanS:
		s.Reason = "the level was too short for a cell this slow"
	case rms > 0.08*sizeRaw:
		s.Reason = "the reading does not move as a first-order cell would"
	default:
		s.Assessed, s.T90S = true, Estimate{t90, t90 * math.Exp(-half), t90 * math.Exp(half)}
	}
}

func orZero(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}

// known are the rows from..to in which everything was recorded.
func known(tS, po2Bar, reading []float64, from, to int) (t, x, y []float64) {
	for i := from; i <= to; i++ {
		if !math.IsNaN(po2Bar[i]) && !math.IsNaN(reading[i]) {
			t, x, y = append(t, tS[i]), append(x, po2Bar[i]), append(y, reading[i])
		}
	}
	return t, x, y
}

// response is a first-order cell given x over t, x linear between rows. Exact
// for that: y_(i+1) = y_i e + x_(i+1) - x_i e - m tau (1 - e), e = exp(-dt/tau), m the slope.
func response(t, x []float64) fit.Model {
	return func(b, out []float64) {
		tau := math.Exp(math.Min(20, math.Max(-20, b[2])))
		f := x[0] // filtered PO2; the cell had settled before
		for i := range t {
			if i > 0 {
				dt := t[i] - t[i-1]
				e, m := math.Exp(-dt/tau), (x[i]-x[i-1])/dt
				f = f*e + x[i] - x[i-1]*e - m*tau*(1-e)
			}
			out[i] = b[0]*f + b[1]
		}
	}
}

// pooledT90 joins the steps: their median, and the interval of that median taken
// as wide as the steps themselves scatter.
func pooledT90(steps []Step) (Estimate, string) {
	var v, low, high []float64
	for _, s := range steps {
		if s.Assessed {
			v, low, high = append(v, s.T90S.Value), append(low, s.T90S.Low), append(high, s.T90S.High)
		}
	}
	switch len(v) {
	case 0:
		reason := "no step between two levels"
		if len(steps) > 0 {
			reason = steps[0].Reason
		}
		return Unknown(), reason
	case 1:
		return Estimate{v[0], low[0], high[0]}, ""
	}
	m := fit.Median(v)
	half := 1.4826 * fit.MAD(v) * fit.StudentT(0.95, len(v)-1) / math.Sqrt(float64(len(v)))
	return Estimate{m, math.Min(m-half, fit.Median(low)), math.Max(m+half, fit.Median(high))}, ""
}
