package whatif

import (
	"math"

	"afterloop/analysis"
	"afterloop/analysis/loop"
	"afterloop/analysis/scenario"
	"afterloop/analysis/vote"
)

// setup is a configuration: the recorded one, or one with changes.
type setup struct {
	policy     vote.Policy
	params     vote.Params
	cells      []int     // places in the evidence's vote of the cells that take part
	loseAtS    []float64 // by those: from when the cell gives no reading; +Inf never
	deadAtS    []float64 // by valve
	noOxygenS  float64   // from when no valve delivers
	setBar     []float64 // by row
	controller Controller
	// noHandS is from when the diver does nothing: no additions, no bailout. +Inf: as recorded.
	noHandS float64
	// hypoxiaFromS is from when low PO2 is looked for: from the failure of valve or supply on.
	hypoxiaFromS float64
}

// trace is what a simulation gives, one value a row.
type trace struct {
	po2Bar, votedBar []float64
	state            []vote.State
	openS            []float64 // commanded, by valve
	gaveS            float64   // valve seconds in which oxygen flowed
	onLoop           []bool
	outs             []vote.Out
	undecidedS       float64
	noneS            float64
	// hypoxicS is when PO2 first is at or below 0.16 bar, on the loop and under water; NaN
	// where it never is.
	hypoxicS float64
	balance  scenario.OxygenBalance
	endBarL  float64 // oxygen in the loop at the end
}

// run is a simulation under way.
type run struct {
	c       *course
	m       *model
	ev      analysis.Evidence
	s       setup
	sensors []*sensor
	lagBar  []float64
	stepper vote.Stepper
	command scenario.Commander
	last    vote.Decision
	openAt  []float64 // since when a cell is voted out; NaN
	t       *trace
}

// simulate runs the loop along the recorded dive: the unit of the setup votes once in
// SenseS on what the cells would show and opens its valves. Nothing is random.
func simulate(c *course, m *model, ev analysis.Evidence, sensors []*sensor, s setup) *trace {
	n := len(c.tS)
	r := &run{c: c, m: m, ev: ev, s: s, t: &trace{po2Bar: make([]float64, n), votedBar: make([]float64, n), state: make([]vote.State, n),
		openS: make([]float64, len(c.valves)), onLoop: make([]bool, n), hypoxicS: math.NaN()}}
	for _, j := range s.cells {
		r.sensors, r.lagBar, r.openAt = append(r.sensors, sensors[j]), append(r.lagBar, sensors[j].lagBar[0]), append(r.openAt, math.NaN())
	}
	r.stepper = s.policy.New(len(s.cells), s.params)
	r.command = scenario.NewCommander(s.controller.spec(), len(c.valves))
	r.walk()
	return r.t
}

// walk takes all steps.
func (r *run) walk() {
	c := r.c
	w := walker{c: c, startS: c.tS[0]}
	rig := r.m.newRig(c)
	readings, manual := make([]float64, len(r.sensors)), r.manualRow()
	every := max(1, int(math.Round(r.m.p.SenseS/scenario.RigStepS)))
	for {
		tS, row := w.now(), w.row
		if w.n%every == 0 {
			r.sense(row, tS, readings, manual)
			r.command.Decide(float64(w.n)*scenario.RigStepS, r.s.setBar[row], r.acted())
		}
		if w.n == 0 {
			r.keep(0, rig.SensedBar())
		}
		if row == len(c.tS)-1 {
			break
		}
		in := r.input(row, tS, float64(w.n)*scenario.RigStepS)
		rig.SetDiluent(c.diluent[row])
		before := rig.SensedBar()
		rig.Step(w.next(), in)
		after := rig.SensedBar()
		for k, s := range r.sensors {
			r.lagBar[k] = s.step(r.lagBar[k], before, after, tS)
		}
		for i := row + 1; i <= w.row; i++ {
			r.keep(i, after)
		}
	}
	r.close(c.tS[len(c.tS)-1])
	r.t.balance, r.t.endBarL = rig.Balance(), rig.Oxygen()
}

// acted is the PO2 that the controller works on; without a number it adds nothing.
func (r *run) acted() float64 {
	if math.IsNaN(r.last.PO2Bar) {
		return math.Inf(1)
	}
	return r.last.PO2Bar
}

// sense lets the unit vote.
func (r *run) sense(row int, tS float64, readings []float64, manual []vote.Manual) {
	for k, s := range r.sensors {
		readings[k] = math.NaN()
		if tS < r.s.loseAtS[k] {
			readings[k] = s.reading(r.c, row, tS, r.lagBar[k])
		}
	}
	for k := range manual {
		manual[k] = vote.ManualNone
		if m := r.ev.Vote.Manual[r.s.cells[k]]; m != nil {
			manual[k] = m[row]
		}
	}
	r.last = r.stepper.Step(tS, readings, manual)
	switch r.last.State {
	case vote.Undecided:
		r.t.undecidedS += r.m.p.SenseS
	case vote.None:
		r.t.noneS += r.m.p.SenseS
	}
	for k := range r.openAt {
		switch out := r.last.Out>>k&1 == 1; {
		case out && math.IsNaN(r.openAt[k]):
			r.openAt[k] = tS
		case !out && !math.IsNaN(r.openAt[k]):
			r.t.outs = append(r.t.outs, r.out(k, tS))
			r.openAt[k] = math.NaN()
		}
	}
}

func (r *run) out(k int, tS float64) vote.Out {
	return vote.Out{Cell: r.ev.Vote.Numbers[r.s.cells[k]], FromS: r.openAt[k], ToS: tS}
}

// close ends what is still out.
func (r *run) close(tS float64) {
	for k := range r.openAt {
		if !math.IsNaN(r.openAt[k]) {
			r.t.outs = append(r.t.outs, r.out(k, tS))
		}
	}
}

// manualRow has a place for the diver's own votes, or is nil.
func (r *run) manualRow() []vote.Manual {
	if r.ev.Vote.Manual == nil {
		return nil
	}
	return make([]vote.Manual, len(r.s.cells))
}

// input is what flows at a moment.
func (r *run) input(row int, tS, sinceS float64) scenario.RigInput {
	in := r.m.input(r.c, row, tS, r.m.vo2LMin[row])
	if tS >= r.s.noHandS {
		in.HandO2L, in.HandDilL, in.ToAll, in.OffLoop = 0, 0, false, false
	}
	for v := range r.c.valves {
		if !r.command.Open(v, sinceS) {
			continue
		}
		r.t.openS[v] += scenario.RigStepS
		if tS >= r.s.deadAtS[v] || tS >= r.s.noOxygenS || r.c.stopped(v, tS) {
			continue
		}
		r.t.gaveS += scenario.RigStepS
		in.OxygenLMin += r.m.flowLMin
	}
	if tS < r.s.noOxygenS {
		in.OxygenLMin += r.c.leakLMin(tS, r.m.p)
	}
	return in
}

// stopped tells whether a valve is judged to have delivered nothing at a moment of the
// recorded dive.
func (c *course) stopped(v int, tS float64) bool {
	for _, f := range c.faults {
		if f.Kind != loop.LeakingValve && tS >= f.FromS && !(tS > f.ToS) && stops(f, c.valves[v]) {
			return true
		}
	}
	return false
}

// keep stores a row.
func (r *run) keep(i int, po2Bar float64) {
	t := r.t
	t.po2Bar[i], t.votedBar[i], t.state[i] = po2Bar, r.last.PO2Bar, r.last.State
	t.onLoop[i] = r.c.onLoop[i] || r.c.tS[i] >= r.s.noHandS
	if math.IsNaN(t.hypoxicS) && po2Bar <= hypoxiaBar+tolBar && r.c.tS[i] >= r.s.hypoxiaFromS && t.onLoop[i] && r.c.under[i] {
		t.hypoxicS = r.c.tS[i]
	}
}

// hypoxiaBar is where consciousness is no longer sure (common practice).
const hypoxiaBar = 0.16

// tolBar is the rounding allowance of comparisons with a limit.
const tolBar = 1e-6
