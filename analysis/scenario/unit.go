package scenario

import (
	"math"
	"slices"
)

// unit is the electronics: it votes at every tick and commands the valves at its
// own interval.
type unit struct {
	spec    Controller
	valves  int
	out     []bool // leave-one-out: which cells are voted out
	slot    int    // decisions taken
	last    int    // the valve opened last
	openTo  []float64
	nextS   float64
	po2Bar  float64
	started []int // openings begun since the last row, per valve
}

func newUnit(c Controller, cells, valves int) *unit {
	return &unit{spec: c, valves: valves, out: make([]bool, cells), last: valves - 1,
		openTo: make([]float64, valves), started: make([]int, valves)}
}

// sense votes on the readings.
func (u *unit) sense(readings []float64) { u.po2Bar = u.vote(readings) }

// decide opens valves when a decision is due and the PO2 asks for it.
func (u *unit) decide(tS, setPointBar float64) {
	if tS < u.nextS-1e-9 {
		return
	}
	u.nextS += u.spec.IntervalS
	u.slot++
	errorBar := setPointBar - u.spec.DeadbandBar - u.po2Bar
	if errorBar <= 0 {
		return
	}
	forS := u.pulse(errorBar)
	for _, v := range u.turn() {
		u.openTo[v] = tS + forS
		u.started[v]++
		u.last = v
	}
}

// pulse is the length of an opening, a whole number of ticks of the clock that
// ends it.
func (u *unit) pulse(errorBar float64) float64 {
	forS := u.spec.PulseS
	if u.spec.Style == "variable" {
		forS = math.Max(u.spec.MinS, math.Min(u.spec.MaxS, u.spec.BaseS+u.spec.SPerBar*errorBar))
	}
	return math.Max(stepS, math.Round(forS/stepS)*stepS)
}

// turn lists the valves whose turn it is, from 0.
func (u *unit) turn() []int {
	switch u.spec.Turns {
	case "alternate":
		return []int{(u.last + 1) % u.valves}
	case "together":
		all := make([]int, u.valves)
		for i := range all {
			all[i] = i
		}
		return all
	}
	return []int{(u.slot - 1) % u.valves}
}

// open tells whether valve v is commanded open during the step that begins at tS.
func (u *unit) open(v int, tS float64) bool { return tS < u.openTo[v]-1e-9 }

// vote is the unit's own rule. It is kept apart from package vote, whose replay
// is to be tested against what a unit did.
func (u *unit) vote(readings []float64) float64 {
	switch u.spec.Vote {
	case "mean":
		return meanOf(readings, nil, -1)
	case "mid-value":
		s := slices.Clone(readings)
		slices.Sort(s)
		return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
	}
	for k, y := range readings {
		others := meanOf(readings, u.out, k)
		if math.IsNaN(others) {
			continue
		}
		d := math.Abs(y - others)
		if u.out[k] && d < u.spec.InBar-1e-6 {
			u.out[k] = false
		} else if !u.out[k] && d > u.spec.OutBar+1e-6 && u.othersIn(k) >= 2 {
			u.out[k] = true
		}
	}
	return meanOf(readings, u.out, -1)
}

// othersIn counts the cells in besides k.
func (u *unit) othersIn(k int) int {
	n := 0
	for i, out := range u.out {
		if i != k && !out {
			n++
		}
	}
	return n
}

// meanOf averages the readings that are not out, cell skip left aside; NaN
// where none is left.
func meanOf(readings []float64, out []bool, skip int) float64 {
	sum, n := 0.0, 0.0
	for i, y := range readings {
		if i == skip || out != nil && out[i] {
			continue
		}
		sum, n = sum+y, n+1
	}
	return sum / n
}

// schedule is the set point in force.
type schedule struct {
	spec    SetPoint
	next    int
	wentUp  bool
	wentLow bool
	nowBar  float64
}

func newSchedule(s SetPoint) *schedule { return &schedule{spec: s, nowBar: s.LowBar} }

// at returns the set point at a time and depth; calls in order of time.
func (s *schedule) at(tS, depthM float64) float64 {
	switch {
	case !s.wentUp && s.spec.UpDepthM > 0 && depthM > s.spec.UpDepthM:
		s.wentUp, s.nowBar = true, s.spec.HighBar
	case s.wentUp && !s.wentLow && depthM < s.spec.DownDepthM:
		s.wentLow, s.nowBar = true, s.spec.LowBar
	}
	for s.next < len(s.spec.Changes) && s.spec.Changes[s.next].TimeS <= tS {
		s.nowBar = s.spec.Changes[s.next].Bar
		s.next++
	}
	return s.nowBar
}
