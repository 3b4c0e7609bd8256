package whatif

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// words are the first sentences: what was changed, what came out of each kind.
func (b *bench) words(r *Report, res resolved) []Word {
	out := []Word{{Kind: "all", Text: "Changed: " + sentence(changesText(r.Changes))}}
	if r.Replay != nil {
		for _, t := range b.replayWords(r) {
			out = append(out, Word{Open, ReplayMark, t})
		}
	}
	if r.Simulation != nil {
		for _, t := range b.simulationWords(r, res) {
			out = append(out, Word{Closed, Mark, t})
		}
	}
	return out
}

func changesText(cs []Change) string {
	t := make([]string, len(cs))
	for i, c := range cs {
		t[i] = c.Text
	}
	return strings.Join(t, "; ")
}

func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

// replayWords say what the vote would have been.
func (b *bench) replayWords(r *Report) []string {
	p := r.Replay
	if !p.Assessed {
		return []string{"Replay of the recorded readings: " + sentence(p.Reason)}
	}
	s := "Replay of the recorded readings, which changes nothing in the loop: "
	switch {
	case !p.FirstDiffersS.Known():
		s += fmt.Sprintf("the vote (%s) would have been the same in every row.", p.Changed.Policy)
	case !p.MaxDifference.Value.Known() || math.Abs(float64(p.MaxDifference.Value)) < 0.005:
		s += fmt.Sprintf("the vote (%s) would have come to the same PO2 within 0.01 bar, and to another state from %s on.", p.Changed.Policy, b.clock(float64(p.FirstDiffersS)))
	default:
		s += fmt.Sprintf("the vote (%[1]s) would have come to another PO2: the largest difference from %[3]s is %[2]s bar, at %[4]s; more than 0.05 bar apart for %[5]s.",
			p.Changed.Policy, signed(p.MaxDifference.Value), "the vote as recorded ("+p.Original.Policy+")", b.clock(float64(p.MaxDifference.AtS)), length(p.DiffersS))
	}
	return []string{s, b.falseWords(p)}
}

// falseWords compare both votes with the estimate.
func (b *bench) falseWords(p *Replay) string {
	if !p.Changed.FalseS.Value.Known() {
		return "How far either was from the true PO2 is not known: there is no estimate."
	}
	s := fmt.Sprintf("Its number lay %s bar from the estimate of the true PO2 on average (%s: %s bar); ", ranged(p.Changed.MeanDistanceBar, 3), p.Original.Policy, ranged(p.Original.MeanDistanceBar, 3))
	if p.Changed.FalseS.Value == 0 {
		s += "a unit that followed it would at no time have controlled on a false value"
	} else {
		s += fmt.Sprintf("a unit that followed it would have controlled on a false value for %s", length(p.Changed.FalseS.Value))
	}
	s += fmt.Sprintf(" (%s: %s).", p.Original.Policy, length(p.Original.FalseS.Value))
	for _, o := range p.Changed.VotedOut {
		return s + fmt.Sprintf(" First out: cell %d, %s to %s.", o.Cell, b.clock(float64(o.FromS)), b.clock(float64(o.ToS)))
	}
	return s
}

// simulationWords say how well the model does, and what the loop would have done.
func (b *bench) simulationWords(r *Report, res resolved) []string {
	s := r.Simulation
	if !s.Assessed {
		return []string{"Simulation: not shown. " + sentence(strings.ToUpper(s.Reason[:1])+s.Reason[1:])}
	}
	how := map[string]string{"yes": "reproduces the dive", "roughly": "reproduces the dive only roughly"}[s.Reproduces]
	out := []string{fmt.Sprintf("Simulation: with the recorded set-up it %s, %.3f bar or %.2f %% O2 off (RMSE; %.0f %% is the aim).", how,
		float64(s.Comparison.SimulatedBar), float64(s.Comparison.SimulatedPercentO2), float64(s.Comparison.LimitPercentO2))}
	if s.MaxDifference.Value == 0 {
		return append(out, "With the changes the simulated loop does exactly the same.")
	}
	c, o := s.Changed, s.Original
	t := fmt.Sprintf("With the changes the simulated PO2 lies between %s and %s bar under water (recorded set-up: %s and %s); the largest difference between the two is %s bar, at %s; ",
		ranged(c.Loop.MinBar, 2), ranged(c.Loop.MaxBar, 2), ranged(o.Loop.MinBar, 2), ranged(o.Loop.MaxBar, 2), signed(s.MaxDifference.Value), b.clock(float64(s.MaxDifference.AtS)))
	t += fmt.Sprintf("CNS %s (%s), below 0.18 bar for %s s (%s), above 1.6 bar for %s s (%s).", cnsText(c.Loop), cnsText(o.Loop),
		ranged(c.Loop.Below018S, 0), ranged(o.Loop.Below018S, 0), ranged(c.Loop.Above16S, 0), ranged(o.Loop.Above16S, 0))
	return append(append(out, t), b.hypoxiaWords(c, res)...)
}

// cnsText is the CNS of a run with its range; time beyond the table makes it a lower bound.
func cnsText(l Loop) string {
	s := ranged(l.CNSPercent, 0) + " %"
	if l.CNSIsLowerBound && l.CNSPercent.Value.Known() {
		s += ", or more"
	}
	return s
}

// hypoxiaWords say when PO2 came to 0.16 bar.
func (b *bench) hypoxiaWords(c *Simulated, res resolved) []string {
	supply := !math.IsNaN(supplyS(res))
	switch {
	case c.NotHypoxic == c.Runs && supply:
		return []string{fmt.Sprintf("PO2 does not come down to 0.16 bar within the record in any of %d runs.", c.Runs)}
	case c.NotHypoxic == c.Runs:
		return nil
	case !c.HypoxicAtS.Value.Known():
		return []string{fmt.Sprintf("PO2 comes down to 0.16 bar in %d of %d runs, not in that of the fitted model.", c.Runs-c.NotHypoxic, c.Runs)}
	}
	t := fmt.Sprintf("PO2 comes down to 0.16 bar at %s", b.clock(float64(c.HypoxicAtS.Value)))
	if supply {
		t += fmt.Sprintf(", %s min after the failure, with no action of the diver", rangedBy(c.ToHypoxiaS, 60, 1))
	}
	if c.NotHypoxic > 0 {
		t += fmt.Sprintf("; in %d of %d runs it does not within the record", c.NotHypoxic, c.Runs)
	}
	return []string{t + ". What follows is arithmetic of the loop: nobody can be expected to act then, or to be conscious."}
}

// clock is a moment as h:mm:ss since the first row.
func (b *bench) clock(s float64) string { return wording.Clock(s - b.d.TimeS[0]) }

func signed(v Float) string { return strings.Replace(fmt.Sprintf("%+.2f", float64(v)), "-", "−", 1) }

// length is a time in words.
func length(v Float) string {
	s := float64(v)
	if s < 120 {
		return fmt.Sprintf("%.0f s", s)
	}
	n := int(math.Round(s))
	return fmt.Sprintf("%d min %02d s", n/60, n%60)
}

// ranged is a figure with its range.
func ranged(r Range, decimals int) string { return rangedBy(r, 1, decimals) }

func rangedBy(r Range, by float64, decimals int) string {
	if !r.Value.Known() {
		return "not known"
	}
	p := func(v Float) string {
		return strings.Replace(fmt.Sprintf("%.*f", decimals, float64(v)/by), "-", "−", 1)
	}
	if !r.Low.Known() || p(r.Low) == p(r.High) {
		return p(r.Value)
	}
	return fmt.Sprintf("%s [%s to %s]", p(r.Value), p(r.Low), p(r.High))
}

// cannotTell says what this can't tell.
func cannotTell(r *Report) []string {
	out := []string{
		"What a diver would have done. Whoever sees another PO2, an alarm or a display that went out acts in another way; depth, work and gas added by hand are taken as recorded.",
		"Whether anything is safe. A dive that comes out well here could have ended in another way: one course of many is shown, for one dive, one diver, one unit.",
		"What a real unit would have done between its rows, with its own rounding, filters and alarms.",
	}
	if r.Replay != nil {
		out = append(out, "From the replay: what the loop would have done. Had the unit controlled on another number, the gas, and with it the readings, would have been others from then on.")
	}
	if r.Simulation != nil {
		out = append(out,
			"How a cell behaves where it was not taken during the dive: above the highest PO2 of the dive a cell that would have been limited there is taken as sound; noise, drift and excursions are carried over as they were.",
			"Carbon dioxide, breathing resistance, heat, water, and all that they do to a person or to a cell.",
			"Litres, where the log states neither volume nor flow: flow and use are known only as shares of the loop's volume.")
	}
	return out
}

// assumptions are those of the debrief, and those of the simulation.
func (b *bench) assumptions(r *Report, res resolved) []analysis.Assumption {
	out := append([]analysis.Assumption{}, b.deb.Assumptions...)
	add := func(id, format string, a ...any) {
		out = append(out, analysis.Assumption{ID: id, Text: fmt.Sprintf(format, a...)})
	}
	add("recorded-vote", "The recorded vote is %s: %s. Its tolerances are taken as the defaults.", r.Recorded.Policy, r.Recorded.PolicyBasis)
	add("lost-cell", "A cell that is lost gives no reading; a rule keeps what it had decided on such a cell.")
	if n := len(b.d.Meta.Halves); n > 1 {
		add("one-vote", "The electronics are parted into %d halves. One vote over all cells that take part is replayed and simulated, whichever half was in control; how the halves hand over control is not known.", n)
	}
	if r.Simulation == nil || !r.Simulation.Assessed {
		return out
	}
	m := r.Simulation.Model
	add("depth", "Depth, work and diluent are as recorded; oxygen use is one number for each stretch of %.0f s, whatever the PO2.", b.w.BlockS)
	add("unit", "The simulated unit votes once in %g s on unrounded readings; while its vote has no number it adds no oxygen.", b.w.SenseS)
	add("controller", "The recorded controller: %s, %s.", m.Controller.Kind, m.Controller.Basis)
	add("loop", "The loop: two compartments, mixing by ventilation of %.0f + %.0f x VO2 L/min in %g L (x %g to x %g in the range), make-up by diluent, venting; gas at %d C. Only flow/V and VO2/V enter.",
		b.w.VentilationBaseLMin, b.w.VentilationPerVO2, b.w.NominalVolumeL, b.w.MixingLow, b.w.MixingHigh, rigTempC)
	add("cells", "Cells have the lag, gain and ceiling of the debrief; what they showed beyond that is added as recorded.")
	add("additions", "%s", b.additionsText(res))
	for i, g := range b.c.gapAfter {
		if g {
			add("gaps", "The record has gaps: across them depth and use are taken as straight lines, and no figure counts them.")
			break
		}
		_ = i
	}
	if len(b.c.leaks) > 0 {
		add("leak", "Oxygen that leaks in goes on as the debrief found it, also with the changes, until the supply is lost.")
	}
	add("range", "Figures in brackets are the least and the largest of %d runs: flow/V, mixing, the cells' lag and the scale of PO2 at the ends of their ranges, one at a time, and the rules of voting that the dive can't tell apart. Errors of several at once, or of the model itself, can be larger.", r.Simulation.Changed.Runs)
	return out
}

func (b *bench) additionsText(res resolved) string {
	s := "The diver's flushes, additions and bailout are as recorded, in kind and time; their sizes are fitted"
	if len(b.c.events) == 0 {
		s = "The log has no flushes or additions by hand; one that was not logged is part of the oxygen use"
	}
	if !math.IsInf(res.noHandS, 1) {
		s += "; from " + b.clock(res.noHandS) + " on they are left out: no action of the diver"
	}
	return s + "."
}

// Definitions are those of the figures that only this result has.
func Definitions() []analysis.Definition {
	return []analysis.Definition{
		{ID: "open_loop_replay", Name: "Open-loop replay", Text: "The recorded readings voted on again, row by row, by another rule, other tolerances or other cells. It changes nothing in the loop.", Equation: "PO2 = rule(readings)", Source: `METHODS, "The vote replay"`},
		{ID: "closed_loop_simulation", Name: "Closed-loop simulation", Text: "A model of the loop, fitted to this dive, with a simulated unit that votes and opens valves.", Equation: "amounts of gas in two compartments, steps of 0.1 s", Source: `METHODS, "The loop" and "What if"`},
		{ID: "driven_rmse_percent_o2", Name: "Model under the recorded openings, RMSE", Unit: "% O2", Text: "Root of the time mean of the squared difference of oxygen fraction in dry gas between model and estimate, on the loop and away from events.", Equation: "sqrt(mean((100 (p_model - p_estimate)/P_d)^2))",
			Source: "aim of 1 % O2: published single-compartment model, Franberg et al., Undersea Hyperb Med 2015 (under 1 vol % in all tests except one)"},
		{ID: "simulated_rmse_percent_o2", Name: "Simulation of the recorded set-up, RMSE", Unit: "% O2", Text: "The same for the simulation with the simulated unit in the recorded set-up.", Equation: "as above", Source: "limits ours, after the same aim"},
		{ID: "flow_per_loop_volume", Name: "Flow over volume", Unit: "bar/s", Text: "How fast PO2 would rise in a loop without oxygen while one valve is open; that with which the model comes nearest to the estimate.", Equation: "flow/V", Source: `derived from the mass balance, METHODS, "The loop"`},
		{ID: "controlled_on_a_false_value_s", Name: "Controlled on a false value", Unit: "s", Text: "Stretches of at least 60 s in which the number that a unit acts on lies more than 0.05 bar outside what the PO2 may have been: outside the band of the estimate, in a simulation outside a band of the same width about the simulated PO2.", Equation: "", Source: "limits ours, as in the debrief"},
		{ID: "to_hypoxia_s", Name: "Time to hypoxia", Unit: "s", Text: "From the first failure of a valve or of the supply until PO2 at the cells is first at 0.16 bar or below, on the loop and under water, with no action of the diver.", Equation: "", Source: "0.16 bar: common practice"},
		{ID: "range", Name: "Range", Text: "Least and largest of all runs over what the log leaves open. It is no interval of confidence.", Equation: "", Source: "ours"},
	}
}
