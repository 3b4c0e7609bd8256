package injection

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is an estimate with its 95 % interval; all NaN with a Reason where
// nothing can be said.
type Interval struct {
	Value, Low, High float64
	Reason           string
}

func unknownInterval(reason string) Interval {
	return Interval{math.NaN(), math.NaN(), math.NaN(), reason}
}

func (v Interval) known() bool { return !math.IsNaN(v.Value) }

// times multiplies all three.
func (v Interval) times(f float64) Interval {
	return Interval{v.Value * f, v.Low * f, v.High * f, v.Reason}
}

// leg is a stretch between two rows over which a balance is drawn.
type leg struct{ uptake, demand, seconds, openS float64 }

// flowPerVolumeFromLegs finds flow/V by comparing stretches of the dive. With
// consumption steady over a few neighbours,
//
//	open seconds = (V/flow) uptake + (VO2/flow) seconds
//
// so V/flow is the slope of open seconds on uptake, each taken from the mean of
// its block of neighbours. In a closed loop uptake is itself an answer to the
// valve and to what the diver used; an ordinary regression on it would be
// biased. What the dive itself asks for is not: on an ascent PO2 falls with the
// pressure and oxygen must make it good. That demand serves as the instrument:
//
//	slope = Σ demand open / Σ demand uptake
//
// (instrumental variables in closed loop: Ljung, System Identification, ch. 13
// (memory)). Without changes of depth there is no demand and no answer.
func flowPerVolumeFromLegs(legs []leg, p Params) Interval {
	var m moments
	blocks := 0
	for from := 0; from < len(legs); blocks++ {
		to := min(from+p.ContrastBlock, len(legs))
		if len(legs)-to < 2 {
			to = len(legs)
		}
		m.addBlock(legs[from:to])
		from = to
	}
	nu := float64(len(legs) - blocks - 1)
	switch {
	case m.seconds < p.ContrastMinS || nu < 3:
		return unknownInterval(fmt.Sprintf("only %.0f s in stretches whose oxygen balance could be compared; %.0f s are needed", m.seconds, p.ContrastMinS))
	case m.strength(nu) < p.ContrastStrength:
		return unknownInterval("the depth changed too little, or something else moved PO2 more, for stretches to be compared")
	}
	slope, se := m.slope(nu)
	if !(slope > 0) || se/slope > p.MaxRelativeSE {
		return unknownInterval("the openings do not follow the oxygen balance closely enough to give flow/V")
	}
	return fromRelative(1/slope, math.Hypot(se/slope, p.ModelError), nu)
}

// moments of uptake (x), demand (z) and open seconds (y) about each block's own
// rates, every stretch weighing by its length.
type moments struct{ seconds, xx, xy, yy, zz, zx, zy float64 }

func (m *moments) addBlock(legs []leg) {
	var s leg
	for _, l := range legs {
		s = leg{s.uptake + l.uptake, s.demand + l.demand, s.seconds + l.seconds, s.openS + l.openS}
	}
	for _, l := range legs {
		part := l.seconds / s.seconds
		x, z, y := l.uptake-s.uptake*part, l.demand-s.demand*part, l.openS-s.openS*part
		m.xx += x * x / l.seconds
		m.xy += x * y / l.seconds
		m.yy += y * y / l.seconds
		m.zz += z * z / l.seconds
		m.zx += z * x / l.seconds
		m.zy += z * y / l.seconds
	}
	m.seconds += s.seconds
}

// strength is the F statistic of the regression of uptake on demand.
func (m moments) strength(nu float64) float64 {
	explained := m.zx * m.zx / m.zz
	if !(m.zz > 0) || m.zx <= 0 {
		return 0
	}
	return explained / math.Max(1e-12, (m.xx-explained)/nu)
}

// slope of open seconds on uptake, with its standard error.
func (m moments) slope(nu float64) (slope, se float64) {
	slope = m.zy / m.zx
	residual := m.yy - 2*slope*m.xy + slope*slope*m.xx
	return slope, math.Sqrt(math.Max(0, residual)/nu*m.zz) / m.zx
}

// fromRelative is value with the 95 % interval of its relative standard error,
// by Student's t with nu degrees of freedom, taken on the logarithm so that it
// stays above 0.
func fromRelative(value, relativeSE, nu float64) Interval {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(0.975)
	f := math.Exp(t * relativeSE)
	return Interval{Value: value, Low: value / f, High: value * f}
}

// legs cuts the log into stretches of at least ContrastS that a balance can be
// drawn over: at level or coming up, undisturbed, and without a large loss.
func (l ledger) legs(in Input, p Params) []leg {
	var out []leg
	from := -1
	for i, t := range in.TimeS {
		if from >= 0 && l.broken[i] != l.broken[from] {
			from = -1
		}
		if !l.canEnd[i] {
			continue
		}
		if from >= 0 && t-in.TimeS[from] < p.ContrastS {
			continue
		}
		if from >= 0 {
			g := leg{l.uptake[i] - l.uptake[from], l.demand[i] - l.demand[from], t - in.TimeS[from], l.openS[i] - l.openS[from]}
			if g.uptake > -p.ContrastLossBar && l.washed[i]-l.washed[from] <= p.ContrastLossBar && g.seconds <= 2.5*p.ContrastS {
				out = append(out, g)
			}
		}
		from = i
	}
	return out
}

// flowPerVolumeFromResponses is the median over single openings, of the valves
// that answer: a valve whose median is below half of the best one's does not count.
func flowPerVolumeFromResponses(byValve [][]float64, p Params) Interval {
	best := math.Inf(-1)
	for _, g := range byValve {
		if len(g) >= p.MinResponses {
			best = math.Max(best, median(g))
		}
	}
	var all []float64
	for _, g := range byValve {
		if len(g) >= p.MinResponses && median(g) >= best/2 {
			all = append(all, g...)
		}
	}
	m := median(all)
	if len(all) < p.MinResponses || !(m > 0) {
		return unknownInterval("too few openings stand alone")
	}
	se := 1.2533 * spread(all, m) / math.Sqrt(float64(len(all))) // of a median
	if se/m > p.MaxRelativeSE {
		return unknownInterval("the responses to single openings differ too much")
	}
	return fromRelative(m, math.Hypot(se/m, p.ModelError), float64(len(all)-1))
}

// spread is the standard deviation by the median absolute deviation from m.
func spread(v []float64, m float64) float64 {
	d := make([]float64, len(v))
	for i, x := range v {
		d[i] = math.Abs(x - m)
	}
	return 1.4826 * median(d)
}
