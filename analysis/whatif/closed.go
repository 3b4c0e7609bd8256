package whatif

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/cell"
	"afterloop/analysis/vote"
)

// pair are the two simulations of one corner: the recorded set-up, and the changes.
type pair struct {
	k               corner
	policy          string
	m               *model
	before, after   *trace
	rmseBar, rmsePC float64
	b, a            Simulated
	differsS        float64
	setBar          []float64
}

// cannot says why there is no simulation; empty where there is one.
func (b *bench) cannot() string {
	switch {
	case !b.ev.Diagnosed:
		return "there is no estimate of the true PO2 to fit the model to: " + b.notDiagnosed()
	case b.ev.NotFollowing:
		return "there is no estimate of the true PO2 to fit the model to: in the ascents no cell may have followed PO2"
	case len(b.d.Valves) == 0:
		return "the log has no valve columns: what oxygen came in is not known, and the model can't be fitted"
	case b.d.SetPointBar == nil || math.IsNaN(held(b.d.SetPointBar)[0]):
		return "the log has no set point: the recorded set-up is not known"
	case !b.knowsDiluent():
		return "the log does not say what the diluent was"
	}
	longest := 0.0
	for i, g := range b.d.GapAfter() {
		if g {
			longest = math.Max(longest, b.d.TimeS[i+1]-b.d.TimeS[i])
		}
	}
	if longest > b.w.LongestGapS {
		return fmt.Sprintf("the record has a gap of %.0f s, more than the %.0f s that are crossed", longest, b.w.LongestGapS)
	}
	c := newCourse(b.d, b.ev, b.p)
	if math.IsNaN(c.dryBar[0]) {
		return "the log has no ambient pressure"
	}
	if n := len(c.openings()); n < 8 {
		return fmt.Sprintf("the valves opened only %d times: that is too little to fit the model to", n)
	}
	b.c = c
	return ""
}

func (b *bench) notDiagnosed() string {
	if b.p.SkipDiagnosis {
		return "the diagnosis was switched off"
	}
	return fmt.Sprintf("%d rows are too few, or there are no cells", len(b.d.TimeS))
}

func (b *bench) knowsDiluent() bool {
	for _, g := range b.d.Diluent {
		if g.Known {
			return true
		}
	}
	return b.d.Meta.Diluent.Known
}

// simulation is the closed loop: the recorded set-up against the dive, then the changes,
// then both over the range of what is not known.
func (b *bench) simulation(r *Report, ch Changes, res resolved) *Simulation {
	out := &Simulation{Mark: Mark, Reproduces: "no", Corners: []Corner{}, DiffersS: only(math.NaN()), MaxDifference: analysis.Value{Value: unknown, Unit: "bar", AtS: unknown},
		Comparison: Comparison{unknown, unknown, unknown, unknown, Float(b.w.ReproducesPercentO2), Float(b.w.RefusePercentO2), unknown, unknown}}
	if out.Reason = b.cannot(); out.Reason != "" {
		return out
	}
	c := b.c
	stated := b.d.Meta.OxygenFlowLMin * barLSPerLMin() / b.d.Meta.LoopVolumeL
	flow := findFlow(c, stated, b.w)
	m := fitModel(c, corner{Name: "as fitted", flow: flow.value, mixing: 1, scale: 1}, b.w)
	base := b.recordedSetup(r.Recorded.Policy)
	base.controller = b.bestController(m, base)
	changed := b.changedSetup(base, r.Recorded.Policy, ch, res)
	nominal := b.pair(m, base, changed, res)
	out.Model = b.describe(m, flow, base.controller)
	b.hold(out, m, nominal)
	if out.Reproduces == "no" {
		out.Reason = fmt.Sprintf("the model does not reproduce the dive: the recorded set-up comes out %.1f %% O2 off (RMSE), more than the %.0f %% from which nothing is shown", nominal.rmsePC, b.w.RefusePercentO2) + b.whyOff(base, float64(out.Comparison.DrivenPercentO2))
		return out
	}
	out.Assessed = true
	runs := append([]*pair{nominal}, b.corners(flow, base, changed, r, ch, res)...)
	b.gather(out, r, runs)
	return out
}

// whyOff says what makes a dive hard to reproduce, and what can be shown all the same. The
// ceilings that the debrief found are in the simulated readings (sensor.judged).
func (b *bench) whyOff(s setup, drivenPC float64) string {
	limited := map[int]bool{}
	for _, f := range b.ev.CellFaults {
		if f.Kind == cell.Limited && !f.Borderline && indexOf(b.ev.Vote.Numbers, f.Cell) < len(s.cells) {
			limited[f.Cell] = true
		}
	}
	why := ""
	if len(limited) > 1 {
		why = fmt.Sprintf(". %d of the %d cells of the vote have a ceiling. The simulated cells have it too, but a vote that follows them hardly sees PO2 rise: the unit goes on adding oxygen, nothing holds PO2, "+
			"and a small error of a ceiling, of flow or of use grows into a large one", len(limited), len(s.cells))
	}
	if drivenPC <= b.w.ReproducesPercentO2 {
		why += fmt.Sprintf(". Under the openings as recorded the same loop comes out %.1f %% O2 off: the gas is described, what the simulated unit does with it is not", drivenPC)
	}
	return why + ". The replay of the recorded readings (--kind open) needs no model and can still be shown: another rule of voting, other tolerances, a cell that is lost"
}

// recordedSetup is the configuration as recorded.
func (b *bench) recordedSetup(policy string) setup {
	pol, _ := vote.ByName(policy)
	s := setup{policy: pol, params: b.p.Vote, setBar: b.c.setBar, noOxygenS: math.Inf(1), noHandS: math.Inf(1), hypoxiaFromS: math.Inf(-1)}
	for k := range b.ev.Vote.Cells {
		s.cells, s.loseAtS = append(s.cells, k), append(s.loseAtS, math.Inf(1))
	}
	for range b.c.valves {
		s.deadAtS = append(s.deadAtS, math.Inf(1))
	}
	return s
}

// bestController is the inferred one with which the simulation comes nearest to the dive.
func (b *bench) bestController(m *model, s setup) Controller {
	acted := b.d.UnitPO2Bar
	if acted == nil {
		acted = b.midValue()
	}
	ks := infer(b.c, held(acted), b.w)
	best, least := ks[0], math.Inf(1)
	for _, k := range ks {
		if len(ks) == 1 {
			break
		}
		s.controller = k
		if _, pc := b.c.rmse(simulate(b.c, m, b.ev, newSensors(b.c, b.ev, m), s).po2Bar, m.estBar); pc < least {
			best, least = k, pc
		}
	}
	return best
}

func (b *bench) midValue() []float64 {
	for _, r := range b.ev.Replays {
		if r.Policy == "mid-value" {
			return r.PO2Bar
		}
	}
	return b.ev.Estimate.PO2Bar
}

// changedSetup is the configuration with the changes.
func (b *bench) changedSetup(s setup, recorded string, ch Changes, res resolved) setup {
	s.policy, s.params = b.changedVote(recorded, ch)
	s.cells, s.loseAtS, s.deadAtS, s.noOxygenS, s.noHandS = res.cells, res.loseAtS, res.deadAtS, res.noOxygenS, res.noHandS
	s.setBar, s.controller = res.setBar(b.c), ch.changed(s.controller)
	if from := supplyS(res); from > b.c.tS[0] {
		s.hypoxiaFromS = from
	}
	return s
}

// pair runs both configurations with one model.
func (b *bench) pair(m *model, base, changed setup, res resolved) *pair {
	sensors := newSensors(b.c, b.ev, m)
	p := &pair{k: m.corner, policy: base.policy.Name, m: m, setBar: changed.setBar}
	p.before, p.after = simulate(b.c, m, b.ev, sensors, base), simulate(b.c, m, b.ev, sensors, changed)
	p.rmseBar, p.rmsePC = b.c.rmse(p.before.po2Bar, m.estBar)
	p.b, p.a = b.runOf(p.before, base, res), b.runOf(p.after, changed, res)
	gap := b.c.gapAfter
	for i := range b.c.tS {
		if math.Abs(p.after.po2Bar[i]-p.before.po2Bar[i]) > b.w.FollowedBar+tolBar {
			p.differsS += analysis.RowSeconds(b.c.tS, gap, i)
		}
	}
	return p
}

// light drops what only the fitted model's run is shown with: a long record has many runs.
func (p *pair) light() *pair {
	for _, t := range []*trace{p.before, p.after} {
		t.votedBar, t.state, t.onLoop = nil, nil, nil
	}
	p.m = nil
	return p
}

// runOf are the figures of one simulation.
func (b *bench) runOf(t *trace, s setup, res resolved) Simulated {
	open := 0.0
	for _, v := range t.openS {
		open += v
	}
	var numbers []int
	for _, k := range s.cells {
		numbers = append(numbers, b.ev.Vote.Numbers[k])
	}
	r := Simulated{Mark: Mark, Controller: s.controller, Loop: b.loopOf(t.po2Bar, s.setBar, t.onLoop, open, t.gaveS),
		Vote:       b.voteOf(vote.Result{Policy: s.policy.Name, Cells: numbers, PO2Bar: t.votedBar, VotedOut: t.outs, UndecidedS: t.undecidedS, NoneS: t.noneS}, s.params),
		HypoxicAtS: only(t.hypoxicS), ToHypoxiaS: only(t.hypoxicS - supplyS(res)),
		BalanceBarL: Float(t.endBarL - (t.balance.Start + t.balance.In - t.balance.Used - t.balance.Vented))}
	outside := make([]float64, len(t.po2Bar))
	e := b.ev.Estimate
	for i := range outside { // the estimate's own doubt counts for the simulated PO2 too, so that the figures compare
		outside[i] = math.Abs(t.votedBar[i]-t.po2Bar[i]) - (e.HighBar[i]-e.LowBar[i])/2
	}
	b.distance(&r.Vote, t.votedBar, t.po2Bar, outside, t.onLoop)
	return r
}

// supplyS is when a valve or the supply first failed; NaN where none does.
func supplyS(res resolved) float64 {
	first := res.noOxygenS
	for _, s := range res.deadAtS {
		first = math.Min(first, s)
	}
	if math.IsInf(first, 1) {
		return math.NaN()
	}
	return first
}

// hold compares the recorded set-up with the dive.
func (b *bench) hold(out *Simulation, m *model, n *pair) {
	bar, pc := b.c.rmse(m.drivenBar, m.estBar)
	recorded := 0.0
	for _, v := range b.c.openS {
		for _, s := range v {
			recorded += s
		}
	}
	out.Comparison = Comparison{Float(bar), Float(pc), Float(n.rmseBar), Float(n.rmsePC), Float(b.w.ReproducesPercentO2), Float(b.w.RefusePercentO2),
		Float(recorded), n.b.Loop.OpenS.Value}
	switch worst := math.Max(pc, n.rmsePC); {
	case worst <= b.w.ReproducesPercentO2:
		out.Reproduces = "yes"
	case worst <= b.w.RefusePercentO2:
		out.Reproduces = "roughly"
	}
}

// describe is the model in figures.
func (b *bench) describe(m *model, flow flowRange, k Controller) *Model {
	out := &Model{FlowPerVolume: Range{Float(flow.value), Float(flow.low), Float(flow.high)}, FlowBasis: flow.basis, Controller: k, Additions: []Addition{}, Cells: []CellUsed{}}
	sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
	span := b.c.tS[len(b.c.tS)-1] - b.c.tS[0]
	for i := 0; i+1 < len(b.c.tS); i++ {
		v := m.vo2LMin[i] / b.w.NominalVolumeL
		sum, low, high = sum+v*(b.c.tS[i+1]-b.c.tS[i]), math.Min(low, v), math.Max(high, v)
		if i == 0 || m.vo2LMin[i] != m.vo2LMin[i-1] {
			out.Stretches++
		}
	}
	out.VO2PerVolume = Range{Float(sum / span), Float(low), Float(high)}
	for k, e := range b.c.events {
		out.Additions = append(out.Additions, Addition{e.kind, Float(e.atS), Float(m.shares[k])})
	}
	for j, s := range newSensors(b.c, b.ev, m) {
		out.Cells = append(out.Cells, CellUsed{b.ev.Vote.Numbers[j], Float(s.tauS * math.Ln10), Float(s.gain), Float(s.kneeBar)})
	}
	return out
}
