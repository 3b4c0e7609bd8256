package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
	"afterloop/analysis/wording"
)

// faultCheck is the check of one kind of fault of cells.
func faultCheck(kind cell.Kind) func(*bench) verdict {
	return func(b *bench) verdict {
		if r := b.notDiagnosed(); r != "" {
			return notAssessed(r)
		}
		v := verdict{outcome: NotAssessed}
		v.fraction, v.reason = b.assessedCells(kind)
		if v.fraction > 0 {
			v.outcome = NotFound
		}
		for _, f := range b.diag.cells.Faults {
			if f.Kind != kind {
				continue
			}
			v.findings = append(v.findings, b.cellFault(f))
			if v.outcome != Found && f.Borderline {
				v.outcome = Borderline
			} else {
				v.outcome = Found
			}
		}
		return v
	}
}

// assessedCells is the share of cells for which a kind of fault could be judged,
// and why it could not for the others.
func (b *bench) assessedCells(kind cell.Kind) (float64, string) {
	yes, all, reasons := 0, 0, partReasons{}
	for _, c := range b.diag.cells.Checks {
		if c.Kind != kind {
			continue
		}
		all++
		if c.Assessed {
			yes++
		} else {
			reasons.add(c.Cell, c.Reason)
		}
	}
	if all == 0 {
		return 0, "no cell to judge"
	}
	return float64(yes) / float64(all), reasons.text("cell", "cells")
}

// cellFault turns a fault into a finding.
func (b *bench) cellFault(f cell.Fault) Finding {
	number := f.Cell
	what, limit, source := faultWords(f, b.p.Cell)
	out := Finding{Kind: string(f.Kind), Severity: faultSeverity(f), Confidence: Confidence(f.Confidence), WhySure: b.faultWhy(f.LinesOfEvidence, cell.Confidences),
		Cell: &number, Cells: []int{number}, FromS: Float(f.FromS), ToS: Float(b.endOr(f.ToS)),
		Observed: fmt.Sprintf("Cell %d %s, from %s%s.", number, what, b.clock(f.FromS), b.untilText(f.ToS)),
		Onset:    b.cellValue(number, f.FromS), Worst: Value{Float(f.Value), strings.TrimPrefix(f.Unit, "1"), unknown}, End: b.cellValue(number, b.endOr(f.ToS)),
		Limit: limit, LimitSource: source, Others: b.referenceText(number), Evidence: f.Evidence}
	if f.Borderline {
		out.Title = kindOf(string(f.Kind)).title + ": borderline"
	}
	if len(f.Alternatives) > 0 {
		out.Alternatives = f.Alternatives
	}
	return out
}

// faultSeverity: what is named is a warning, what may be is a caution, what is borderline a note.
func faultSeverity(f cell.Fault) Severity {
	switch {
	case f.Borderline:
		return Note
	case f.Confidence == cell.Possible:
		return Caution
	}
	return Warning
}

// faultWords says what was seen, without a cause, and against which limit.
func faultWords(f cell.Fault, p cell.Params) (string, Value, string) {
	between := fmt.Sprintf("(95 %%: %s to %s)", figure(f.Low, f.Unit), figure(f.High, f.Unit))
	switch f.Kind {
	case cell.Slow:
		return fmt.Sprintf("takes %.0f s to 90 %% of a step %s", f.Value, between), constant(p.SlowT90S, "s"), fmt.Sprintf("METHODS: T90 with its interval above %g s; new cells take 5 to 10 s (common practice)", p.SlowT90S)
	case cell.Limited:
		return fmt.Sprintf("follows PO2 up to a reading of %.2f bar %s and hardly above", f.Value, between), constant(p.CeilingExcessBar, "bar above the ceiling"), fmt.Sprintf("ours: PO2 at least %s above the ceiling, slope above it at most %g", bar(p.CeilingExcessBar), p.CeilingSlopeMax)
	case cell.Miscalibrated:
		limit, source := constant(1+math.Copysign(p.GainOff, f.Value-1), ""), fmt.Sprintf("ours: gain outside %.2f to %.2f", 1-p.GainOff, 1+p.GainOff)
		if f.Confidence == cell.Possible && f.LinesOfEvidence < 2 { // held against other cells alone
			return fmt.Sprintf("reads %.3f times what others read %s, without a witness to which of them is right", f.Value, between), limit, source
		}
		return fmt.Sprintf("reads %.3f times what it should %s", f.Value, between), limit, source
	case cell.Drifting:
		return fmt.Sprintf("changes its gain by %+.3f %s", f.Value, between), constant(p.DriftMin, ""), fmt.Sprintf("ours: a change of gain of more than %.2f in the dive", p.DriftMin)
	case cell.Frozen:
		return fmt.Sprintf("stands at %.2f bar while PO2 moves", f.Value), constant(p.FrozenForS, "s"), fmt.Sprintf("ours: within one step of rounding for %g s while PO2 moves by %s or more", p.FrozenForS, bar(p.FrozenMoveBar))
	}
	return fmt.Sprintf("jumps by up to %.2f bar where the others do not", f.Value), constant(p.ErraticExcursionBar, "bar"), fmt.Sprintf("ours: %d excursions of more than %s within %g min", p.ErraticCount, bar(p.ErraticExcursionBar), p.ErraticWithinS/60)
}

func figure(v float64, unit string) string {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return "open"
	case unit == "s":
		return fmt.Sprintf("%.0f s", v)
	case unit == "bar":
		return fmt.Sprintf("%.2f bar", v)
	}
	return fmt.Sprintf("%.3f", v)
}

func (b *bench) untilText(toS float64) string {
	if math.IsNaN(toS) || toS >= b.tS[len(b.tS)-1] {
		return " on"
	}
	return " to " + b.clock(toS)
}

// cellValue is a cell's reading at a moment.
func (b *bench) cellValue(number int, atS float64) Value {
	i := min(b.rowAt(atS), len(b.tS)-1)
	for k := range b.dive.Cells {
		if b.dive.Cells[k].Number == number {
			return at(b.dive.Cells[k].PO2Bar, b.tS, i, "bar")
		}
	}
	return noValue("bar")
}

// faultWhy is the count of lines of evidence and the rule.
func (b *bench) faultWhy(lines int, rule string) string {
	return fmt.Sprintf("%d independent %s of evidence. %s. Calibrated on simulation only.", lines, plural(lines, "line", "lines"), capital(rule))
}

// referenceText names the cells that the others were held against; not the cell that
// the finding is about, which no verdict holds against itself.
func (b *bench) referenceText(about int) string {
	var ref []int
	for _, n := range b.diag.cells.Reference {
		if n != about && b.judgedFalse(n) == "" {
			ref = append(ref, n)
		}
	}
	if len(ref) == 0 {
		return "no cell is left that could serve as reference: the verdict rests on the loop's own physics and on other witnesses"
	}
	w := make([]string, len(ref))
	for i, n := range ref {
		w[i] = fmt.Sprint(n)
	}
	return fmt.Sprintf("%s %s obeyed the physics of the loop and served as reference", plural(len(ref), "cell", "cells"), wording.And(w))
}

// valveCheck is the check of one kind of fault of valves and supply.
func valveCheck(kind loop.ValveFaultKind) func(*bench) verdict {
	return func(b *bench) verdict {
		switch r := b.notDiagnosed(); {
		case len(b.dive.Valves) == 0:
			return notAssessed("the log has no valve columns")
		case r != "":
			return notAssessed(r)
		}
		v := verdict{outcome: NotAssessed}
		if v.fraction, v.reason = b.assessedValves(kind); v.fraction > 0 {
			v.outcome = NotFound
		}
		for _, f := range b.diag.valves.Faults {
			if f.Kind == kind {
				v.outcome, v.fraction = Found, math.Max(v.fraction, 1/float64(len(b.dive.Valves)))
				v.findings = append(v.findings, b.valveFault(f))
			}
		}
		return v
	}
}

// assessedValves is the share of the questions of one kind, one a valve or one for
// all, that could be answered, and why the others could not.
func (b *bench) assessedValves(kind loop.ValveFaultKind) (float64, string) {
	yes, all, reasons := 0, 0, partReasons{}
	for _, c := range b.diag.valves.Checks {
		if c.Kind != kind {
			continue
		}
		all++
		if c.Assessed {
			yes++
		}
		if c.Reason != "" {
			reasons.add(c.Valve, c.Reason)
		}
	}
	if all == 0 {
		return 0, "the log does not allow it"
	}
	return float64(yes) / float64(all), reasons.text("valve", "valves")
}

func (b *bench) valveFault(f loop.ValveFault) Finding {
	sev := Warning
	if f.Confidence == loop.Possible {
		sev = Caution
	}
	out := Finding{Kind: string(f.Kind), Severity: sev, Confidence: Confidence(f.Confidence), WhySure: b.faultWhy(f.LinesOfEvidence, valveConfidences),
		FromS: Float(f.FromS), ToS: Float(b.endOr(f.ToS)), Onset: b.estimateAt(f.FromS), End: b.estimateAt(b.endOr(f.ToS)),
		Worst: Value{Float(f.Value), f.Unit, unknown}, Evidence: f.Evidence, Others: b.othersValves(f)}
	out.Evidence = append(out.Evidence, b.cylinderWitness(f.Kind)...)
	if len(f.Alternatives) > 0 {
		out.Alternatives = f.Alternatives
	}
	if f.Kind == loop.DeadValve && b.firstOpening(f.Valve) >= f.FromS-cell.MarginS {
		f.FromS = b.tS[0] // dead since before it was first needed
		out.FromS = Float(f.FromS)
	}
	when := "from " + b.clock(f.FromS) + b.untilText(f.ToS)
	switch f.Kind {
	case loop.DeadValve:
		n := f.Valve
		out.Valve = &n
		out.Observed = fmt.Sprintf("The openings of valve %d had no response in PO2, %s.", n, when)
		out.Limit, out.LimitSource = constant(b.p.Loop.WorkingShare, f.Unit),
			fmt.Sprintf("ours: the response lies below this share of the usual, over at least %d commanded openings, while another valve works", b.p.Loop.MinOpenings)
	case loop.SupplyLost:
		out.Observed = fmt.Sprintf("No valve had a response in PO2, and PO2 fell as consumption asks, %s.", when)
		out.Limit = constant(b.p.Loop.WorkingShare/2, f.Unit)
		out.LimitSource = fmt.Sprintf("ours: the low end of the response lies below this share of the usual, over at least %d commanded openings, while PO2 falls by at least %s", b.p.Loop.MinOpenings, bar(b.p.Loop.LossFallBar))
	default:
		out.Observed = fmt.Sprintf("Oxygen came in with the valves shut, %s: %s %s (95 %%: %s to %s).", when, figure(f.Value, ""), f.Unit, figure(f.Low, ""), figure(f.High, ""))
		out.Limit, out.LimitSource = constant(b.p.Loop.LeakLMin, "L/min"),
			fmt.Sprintf("ours: %g L/min where the volume is known, else PO2's rate with its interval above 0", b.p.Loop.LeakLMin)
	}
	return out
}

// firstOpening is the moment of a valve's first commanded opening, or the end of the record.
func (b *bench) firstOpening(valve int) float64 {
	for _, v := range b.dive.Valves {
		for i := range v.OpenS {
			if v.Number == valve && v.OpenS[i] > 0 {
				return b.tS[i]
			}
		}
	}
	return b.tS[len(b.tS)-1]
}

// valveConfidences is the rule by which faults of valves are graded.
const valveConfidences = "sure: the odds against a working valve are overwhelming and two lines agree; likely: the odds are high; possible: else"

func (b *bench) estimateAt(t float64) Value {
	return at(b.diag.estimate.PO2Bar, b.tS, min(b.rowAt(t), len(b.tS)-1), "bar")
}

func (b *bench) othersValves(f loop.ValveFault) string {
	if r := b.diag.valves.ResponseBarS; !math.IsNaN(r) {
		return fmt.Sprintf("a working opening raises PO2 by about %.3f bar for each second open", r)
	}
	return "no opening whose response could be measured"
}

// checkFollowed asks whether the recorded vote followed cells that were wrong:
// the unit's PO2 outside the estimate's band for long.
func checkFollowed(b *bench) verdict {
	u := b.dive.UnitPO2Bar
	switch r := b.notDiagnosed(); {
	case r != "":
		return notAssessed(r)
	case u == nil:
		return notAssessed("the log has no PO2 of the unit's own")
	}
	off := b.diag.outside
	fraction := b.usable(func(i int) bool { return !math.IsNaN(off[i]) })
	var fs []Finding
	for _, e := range b.diag.followed {
		fs = append(fs, b.followed(e, off))
	}
	return ran(fraction, fs...)
}

// leaveBand notes where the unit's PO2 lay outside the estimate's band, on the
// loop; negative within.
func (b *bench) leaveBand() {
	u, d, l := b.dive.UnitPO2Bar, b.diag, b.p.Limits
	if u == nil {
		return
	}
	d.outside = make([]float64, len(u))
	for i := range u {
		if d.outside[i] = math.NaN(); b.onLoop[i] {
			d.outside[i] = math.Max(u[i]-d.estimate.HighBar[i], d.estimate.LowBar[i]-u[i])
		}
	}
	ss := lasting(spansWhere(b.tS, b.gapAfter, func(i int) bool { return d.outside[i] > l.UnitDiffersBar+tol }), l.FollowedAfterS)
	d.followed = merge(ss, l.MergeS)
}

// followedFalse tells whether the unit's PO2 left the band while a cell was judged false.
func (b *bench) followedFalse() bool {
	if b.diag == nil {
		return false
	}
	for _, s := range b.diag.followed {
		for k := range b.dive.Cells {
			if b.falseAt(b.dive.Cells[k].Number, (s.fromS+s.toS)/2) {
				return true
			}
		}
	}
	return false
}

func (b *bench) followed(s span, off []float64) Finding {
	w := extreme(off, s, 1)
	e := b.diag.estimate
	f := Finding{Kind: "vote-followed-wrong-cells", Severity: Caution, Confidence: Possible, WhySure: "the unit's PO2 and the estimate differ; no cell was judged false at that time",
		FromS: Float(s.fromS), ToS: Float(s.toS), Cells: []int{},
		Observed: fmt.Sprintf("The recorded PO2 lay outside the estimate's band by more than %s for %s from %s; at worst the unit had %s and the estimate %s (%s to %s) at %s.", bar(b.p.Limits.UnitDiffersBar),
			duration(s.seconds()), b.clock(s.fromS), bar(b.dive.UnitPO2Bar[w]), bar(e.PO2Bar[w]), bar(e.LowBar[w]), bar(e.HighBar[w]), b.clock(b.tS[w])),
		Onset: at(off, b.tS, s.from, "bar"), Worst: at(off, b.tS, w, "bar"), End: at(off, b.tS, s.to, "bar"),
		Limit: constant(b.p.Limits.UnitDiffersBar, "bar"), LimitSource: fmt.Sprintf("ours: outside the 95 %% band by more than %s for %g s", bar(b.p.Limits.UnitDiffersBar), b.p.Limits.FollowedAfterS), Others: b.cellRange(w)}
	for k := range b.dive.Cells {
		if n := b.dive.Cells[k].Number; b.falseAt(n, b.tS[w]) {
			f.Cells = append(f.Cells, n)
			f.Evidence = append(f.Evidence, fmt.Sprintf("cell %d is judged false at that time: %s", n, strings.ToLower(kindOf(b.judgedFalse(n)).title)))
		}
	}
	if len(f.Cells) > 0 {
		f.Severity, f.Confidence, f.WhySure = Warning, Likely, "the estimate differs, and the cells that the unit followed are judged false by their own behaviour"
	}
	return f
}

// undecidedGains are differences in gain that the log can't settle.
func (b *bench) undecidedGains() []Finding {
	if b.diag == nil {
		return nil
	}
	var fs []Finding
	for _, u := range b.diag.cells.Undecided {
		f := Finding{Kind: "cells-disagree", Severity: Caution, Confidence: Possible, Title: "Cells disagree, and the log can't say which is right",
			WhySure: "no moment of known gas and no other witness settles it: " + u.Reason, Cells: append(append([]int{}, u.Odd...), u.Cells...),
			FromS: Float(u.FromS), ToS: Float(b.tS[len(b.tS)-1]),
			Observed: capital(b.whoReads(u.Odd, u.Cells)) + fmt.Sprintf(" %.2f times what %s.", u.Ratio, b.whoReads(u.Cells, u.Odd)),
			Onset:    noValue(""), Worst: constant(u.Ratio, ""), End: noValue(""), Limit: constant(b.p.Cell.GainAlike, ""), LimitSource: "ours: cells closer than this agree in gain",
			Others: b.referenceText(0), Evidence: []string{u.Reason}}
		if len(u.Odd) == 1 {
			n := u.Odd[0]
			f.Cell = &n
		}
		f.Alternatives = []string{"the odd one is right and the others are off alike: cells of one age fail alike"}
		fs = append(fs, f)
	}
	return fs
}

// whoReads is "cell 1 reads" or "cells 1 and 2 read"; where nobody is named it is the
// mean of the cells that are not among the others, against which these were held.
func (b *bench) whoReads(cells, others []int) string {
	if len(cells) > 0 {
		return plural(len(cells), "cell ", "cells ") + wording.And(ints(cells)) + plural(len(cells), " reads", " read")
	}
	var rest []int
	for k := range b.dive.Cells {
		if n := b.dive.Cells[k].Number; !slices.Contains(others, n) {
			rest = append(rest, n)
		}
	}
	switch len(rest) {
	case 0:
		return "the estimate reads"
	case 1:
		return b.whoReads(rest, nil)
	}
	return "the mean of cells " + wording.And(ints(rest)) + " reads"
}

func ints(v []int) []string {
	w := make([]string, len(v))
	for i, n := range v {
		w[i] = fmt.Sprint(n)
	}
	return w
}
