package loop

import (
	"fmt"
	"math"
)

// shutRun is a stretch with valves shut and depth level, rows from..to.
type shutRun struct {
	from, to        int
	rate, low, high float64 // bar/s of PO2, corrected for depth, 95 %
	steady          bool    // it rises, and in both halves
}

// leaks looks for stretches in which PO2 rises with all valves shut and depth
// level: oxygen comes in on its own. A rate that only falls more slowly than
// before is explained as well by a lower VO2 and is not assessed.
func leaks(r Record, bal balance, po2 []float64, p Params) ([]ValveFault, ValveCheck) {
	runs := shutRuns(r, po2, p)
	if len(runs) == 0 {
		return nil, ValveCheck{LeakingValve, 0, false, "valves were never shut for long enough at level depth"}
	}
	worst, rise := -1, 0.0
	for i, s := range runs {
		up := s.low * (r.TimeS[s.to] - r.TimeS[s.from])
		if s.steady && up > rise {
			worst, rise = i, up
		}
	}
	check := ValveCheck{LeakingValve, 0, true, "an inflow smaller than consumption can't be told from a lower VO2"}
	if worst < 0 || rise < p.LeakRiseBar {
		return nil, check
	}
	first := firstRise(runs, worst)
	onset := bal.riseOnset(runs[first])
	f := ValveFault{Kind: LeakingValve, FromS: onset, ToS: math.NaN(), Confidence: Likely, LinesOfEvidence: 1,
		Alternatives: []string{"oxygen added by hand and not logged", "a manual valve left open"}}
	f.Value, f.Low, f.High, f.Unit = bal.inflow(po2, runs, worst, p)
	if f.Unit == rateLPerMin && f.High < p.LeakLMin {
		return nil, check
	}
	f.Evidence = []string{fmt.Sprintf("with all valves shut and level depth PO2 rose by at least %.2f bar in %.0f s", rise, r.TimeS[runs[worst].to]-r.TimeS[runs[worst].from])}
	n := 0
	for _, s := range runs[first:] {
		if s.steady {
			n++
		}
	}
	if n > 1 {
		f.Evidence = append(f.Evidence, fmt.Sprintf("so it did in %d stretches", n))
		f.LinesOfEvidence++
	}
	if rise > 3*p.LeakRiseBar {
		f.Confidence = Sure
	}
	return []ValveFault{f}, check
}

// firstRise is the earliest run that rises and is followed by no fall up to worst.
func firstRise(runs []shutRun, worst int) int {
	first := worst
	for i := worst; i >= 0 && !(runs[i].high < 0); i-- {
		if runs[i].steady {
			first = i
		}
	}
	return first
}

// shutRuns splits the record into runs with valves shut for at least ShutS.
func shutRuns(r Record, po2 []float64, p Params) []shutRun {
	var out []shutRun
	quiet := quietRows(r, p)
	for i := 0; i < len(quiet); i++ {
		if !quiet[i] {
			continue
		}
		j := i
		for j+1 < len(quiet) && quiet[j+1] && !r.Gap(j) && r.TimeS[j+1]-r.TimeS[i] <= p.ShutMaxS {
			j++
		}
		if r.TimeS[j]-r.TimeS[i] >= p.ShutS && j-i >= 3 {
			out = append(out, newShutRun(r, po2, i, j))
		}
		i = j
	}
	return out
}

// quietRows marks rows where the valves have been shut for the overshoot to
// decay, depth has been level for SettleS and nothing happened to the loop. At the
// surface a loop is filled, flushed and breathed open, and no log tells of it.
func quietRows(r Record, p Params) []bool {
	out := make([]bool, r.Rows())
	rate := depthRate(r)
	moved, opened := math.Inf(-1), math.Inf(-1)
	for i, t := range r.TimeS {
		if !r.Usable(i) || math.Abs(rate[i]) > p.LevelRateMMin || r.DepthM != nil && r.DepthM[i] < p.LeakDepthM {
			moved = t
		}
		if openS(r, i) > 0 {
			opened = t
		}
		out[i] = t-moved >= p.SettleS && t-opened >= 2*p.OvershootS
	}
	return out
}

// newShutRun fits a line to ln of the dry fraction times the mean pressure, so
// that small changes of depth (dp = x dPd) drop out.
func newShutRun(r Record, po2 []float64, from, to int) shutRun {
	vapour, mean := vapourMid(r), 0.0
	for i := from; i <= to; i++ {
		mean += (r.AmbientAt(i) - vapour) / float64(to-from+1)
	}
	var s sums
	ss := 0.0
	level := func(i int) float64 { return po2[i] / (r.AmbientAt(i) - vapour) * mean }
	t0 := r.TimeS[from]
	for i := from; i <= to; i++ {
		s.add(r.TimeS[i]-t0, level(i), 1)
	}
	b := s.slope()
	a := (s.x - b*s.t) / s.n
	for i := from; i <= to; i++ {
		ss += sq(level(i) - a - b*(r.TimeS[i]-t0))
	}
	dur := r.TimeS[to] - t0
	independent := math.Max(3, math.Min(s.n, dur/20))
	sd := math.Max(math.Sqrt(ss/s.n), 0.003) * math.Sqrt(12/independent) / dur
	out := shutRun{from: from, to: to, rate: b, low: b - 2.2*sd, high: b + 2.2*sd}
	out.steady = out.low > 0 && risesThroughout(level, from, to)
	return out
}

// risesThroughout tells whether rows from..to rise in the first half as well as in the
// second, as a leak does; oxygen added by hand, or a loop filled before the dive, comes
// at once. Means over thirds are compared, so that one row decides nothing.
func risesThroughout(level func(i int) float64, from, to int) bool {
	const share = 0.2
	mean := func(a, b int) float64 {
		sum := 0.0
		for i := a; i <= b; i++ {
			sum += level(i)
		}
		return sum / float64(b-a+1)
	}
	third := (to - from) / 3
	first, middle, last := mean(from, from+third), mean(from+third, to-third), mean(to-third, to)
	return middle-first >= share*(last-first) && last-middle >= share*(last-first)
}

// inflow is the rate of the run worst less what consumption takes, over (1 - x):
// in L/min where the volume is known, else per minute of volume. Consumption is
// the shut rate before it, where there was one; else what the openings gave on
// the whole, and the interval then reaches from none of that to twice as much.
func (b *balance) inflow(po2 []float64, runs []shutRun, worst int, p Params) (value, low, high float64, unit string) {
	r, s := b.r, runs[worst]
	used, usedLow, usedHigh := -b.usual, -2*b.usual, 0.0
	for _, e := range runs[:worst] {
		if e.high < 0 {
			used, usedLow, usedHigh = e.rate, e.low, e.high
		}
	}
	x := po2[s.from] / (r.AmbientAt(s.from) - vapourMid(r))
	x = math.Max(0, math.Min(0.9, x))
	per := 60 / (1 - x) / 1.01325 * 273.15 / (273.15 + p.LoopTempC) // bar/s -> 1/min of V at STPD
	value, low, high, unit = (s.rate-used)*per, (s.low-usedHigh)*per, (s.high-usedLow)*per, ratePerMin
	if v := r.LoopVolumeL; v > 0 {
		value, low, high, unit = value*v, low*v, high*v, rateLPerMin
	}
	return value, low, high, unit
}

// riseOnset goes back from the run to where PO2 began to rise by more than the
// openings gave: what comes in besides, slope - fed + consumption, is then still
// above half of what the run shows.
func (b *balance) riseOnset(s shutRun) float64 {
	const backS = 900
	t := b.r.TimeS
	i := s.from
	for i > 0 && t[s.from]-t[i] < backS && !b.r.Gap(i-1) && !b.hidden[i-1] &&
		b.slope[i-1]-b.fed[i-1]+b.usual > (s.rate+b.usual)/2 {
		i--
	}
	return t[i]
}
