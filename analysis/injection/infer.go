package injection

import (
	"fmt"
	"math"
)

// Inferred are openings read off the saw-tooth of PO2. They say that oxygen came
// in, not which valve let it in nor for how long, and small ones are missed.
type Inferred struct {
	// Openings have valve 0 and no length; FromS is where the rise began.
	Openings []Opening
	// RiseBar is the size of each rise, corrected for the change of depth.
	RiseBar []float64
	// Reason says why the saw-tooth can't be read; empty where it can.
	Reason string
	// ThresholdBar is the smallest rise that was taken for an opening.
	ThresholdBar float64
}

// Infer finds rises of PO2 at level that nothing else explains: the mean over
// InferWindowS after a moment less the mean before it, at least InferRiseBar,
// InferNoise standard errors of the record's own noise, and one step of its
// rounding. It refuses, with a reason, where rows are further apart than
// MaxIntervalS, rounding is coarser than InferStepBar, fewer than InferMin rises
// stand out, or those that do bring in less than InferShare of what even a
// resting diver uses: then most openings are too small to be seen.
func Infer(in Input, p Params) Inferred {
	in.check()
	s := newSignal(in)
	dt, step := usualInterval(in), roundingStep(in)
	f := Inferred{ThresholdBar: math.NaN()}
	switch {
	case math.IsNaN(dt) || countUsable(s) < 3:
		f.Reason = "too few readings of PO2"
		return f
	case dt > p.MaxIntervalS+1e-9:
		f.Reason = fmt.Sprintf("rows are %.0f s apart; a saw-tooth can be read up to %g s", dt, p.MaxIntervalS)
		return f
	case step > p.InferStepBar+1e-9:
		f.Reason = fmt.Sprintf("PO2 is rounded to %.3g bar; a saw-tooth can be read up to %g bar", step, p.InferStepBar)
		return f
	}
	perMean := math.Max(1, p.InferWindowS/dt)
	noise := math.Max(noiseOf(in, s), step/math.Sqrt(12))
	f.ThresholdBar = math.Max(math.Max(p.InferRiseBar, step), p.InferNoise*noise*math.Sqrt(2/perMean))
	usedBar := f.rises(in, s, p)
	seenBar := 0.0
	for _, r := range f.RiseBar {
		seenBar += r
	}
	switch {
	case len(f.Openings) < p.InferMin:
		f.Reason = fmt.Sprintf("%d rises of at least %.3f bar at level; at least %d are needed to call them openings", len(f.Openings), f.ThresholdBar, p.InferMin)
	case seenBar < p.InferShare*usedBar:
		f.Reason = fmt.Sprintf("the %d rises of at least %.3f bar at level bring in %.1f bar, while even a diver at rest uses about %.1f bar in that time: most openings are too small to be seen", len(f.Openings), f.ThresholdBar, seenBar, usedBar)
	}
	if f.Reason != "" {
		f.Openings, f.RiseBar = nil, nil
	}
	return f
}

func countUsable(s signal) int {
	n := 0
	for _, u := range s.usable {
		if u {
			n++
		}
	}
	return n
}

// roundingStep is the smallest difference between readings that keeps coming
// back: the tenth part of all changes is at most this.
func roundingStep(in Input) float64 {
	columns := in.CellsBar
	if in.ResponseFrom == UnitPO2 || len(columns) == 0 {
		columns = [][]float64{in.PO2Bar}
	}
	var changes []float64
	for _, c := range columns {
		for i := 1; i < len(c); i++ {
			if d := math.Abs(c[i] - c[i-1]); d > 1e-9 {
				changes = append(changes, d)
			}
		}
	}
	if len(changes) == 0 {
		return 0
	}
	median(changes) // sorts
	return changes[len(changes)/10]
}

// noiseOf is the standard deviation of a row's noise, from the second
// differences, which no slow course enters:
//
//	sigma = 1.4826 median |y(i-1) - 2 y(i) + y(i+1)| / sqrt 6
func noiseOf(in Input, s signal) float64 {
	var d []float64
	for i := 1; i+1 < len(s.poBar); i++ {
		if s.usable[i-1] && s.usable[i] && s.usable[i+1] && !on(in.GapAfter, i-1, false) && !on(in.GapAfter, i, false) {
			d = append(d, math.Abs(s.poBar[i-1]-2*s.poBar[i]+s.poBar[i+1]))
		}
	}
	if len(d) == 0 {
		return 0
	}
	return 1.4826 * median(d) / math.Sqrt(6)
}

// rises finds the moments at which the mean after exceeds the mean before by
// most, each the largest within InferWindowS. It returns the fall of PO2, in bar,
// that the lowest planned consumption makes in the time that could be looked at:
// (1-x) VO2/V dt.
func (f *Inferred) rises(in Input, s signal, p Params) (usedBar float64) {
	usePerS := p.PlanVO2LowLMin / p.PlanVolumeHighL * in.perMinute(p)
	best, bestRise := -1, 0.0
	flush := func() {
		if best >= 0 {
			f.Openings = append(f.Openings, Opening{FromS: in.TimeS[best], ToS: in.TimeS[best], AtLeast: 1, ByHalfS: p.InferWindowS / 2, firstRow: best, lastRow: best})
			f.RiseBar = append(f.RiseBar, bestRise)
		}
		best, bestRise = -1, 0
	}
	m := movingMeans(in, s, p)
	for i := range in.TimeS {
		if best >= 0 && in.TimeS[i]-in.TimeS[best] > p.InferWindowS {
			flush()
		}
		rise := m.rise(i)
		if rise >= f.ThresholdBar && rise > bestRise {
			best, bestRise = i, rise
		}
		if !math.IsInf(rise, -1) {
			usedBar += (1 - s.x[i]) * usePerS * in.beforeS(i)
		}
	}
	flush()
	return usedBar
}

// means are running sums from which the mean over any stretch follows at once.
type means struct {
	in            Input
	p             Params
	sum, n        []float64 // of PO2 with the change of depth taken out
	broken        []int
	before, after []int // first row of the window before, one past the window after
}

func movingMeans(in Input, s signal, p Params) means {
	n := len(in.TimeS)
	m := means{in: in, p: p, sum: make([]float64, n+1), n: make([]float64, n+1), broken: make([]int, n+1), before: make([]int, n), after: make([]int, n)}
	offset := 0.0 // ∫ x dPd, what depth alone did
	from, to := 0, 0
	for i, t := range in.TimeS {
		m.broken[i+1] = m.broken[i]
		if i > 0 {
			if d := s.x[i-1] * (s.dryBar[i] - s.dryBar[i-1]); !math.IsNaN(d) {
				offset += d
			}
			if on(in.GapAfter, i-1, false) {
				m.broken[i+1]++
			}
		}
		m.sum[i+1], m.n[i+1] = m.sum[i], m.n[i]
		if s.usable[i] {
			m.sum[i+1] += s.poBar[i] - offset
			m.n[i+1]++
		} else {
			m.broken[i+1]++
		}
		for in.TimeS[from] < t-p.InferWindowS {
			from++
		}
		for to < n && in.TimeS[to] <= t+p.InferWindowS {
			to++
		}
		m.before[i], m.after[i] = from, to
	}
	return m
}

// rise is the mean after row i less the mean up to it; -Inf where the stretch is
// broken, not level, or too short.
func (m means) rise(i int) float64 {
	a, b := m.before[i], m.after[i]
	enough := m.in.TimeS[i]-m.in.TimeS[a] >= m.p.InferWindowS/2 && m.in.TimeS[b-1]-m.in.TimeS[i] >= m.p.InferWindowS/2
	level := math.Abs(m.in.depth(b-1)-m.in.depth(a)) <= m.p.LevelM
	if !enough || !level || m.broken[b] != m.broken[a+1] || b-i-1 < 2 {
		return math.Inf(-1)
	}
	return (m.sum[b]-m.sum[i+1])/(m.n[b]-m.n[i+1]) - (m.sum[i+1]-m.sum[a])/(m.n[i+1]-m.n[a])
}
