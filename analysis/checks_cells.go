package analysis

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"afterloop/analysis/wording"
)

// checkCellsDisagree looks for readings that lie apart. A cell is named only
// where evidence other than the company of the others names it: two against one
// is no proof, since cells of one age fail alike.
func checkCellsDisagree(b *bench) verdict {
	if len(b.cells) < 2 {
		return doesNotApply("one cell has nobody to disagree with")
	}
	l := b.p.Limits
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return b.spread[i] > l.DisagreeBar+tol })
	events := merge(lasting(ss, l.DisagreeAfterS), l.MergeS)
	fraction := b.usable(func(i int) bool { return !math.IsNaN(b.spread[i]) })
	if fraction == 0 {
		return notAssessed("never two readings in one row")
	}
	var fs []Finding
	for _, e := range events {
		fs = append(fs, b.disagreement(e))
	}
	fs = append(fs, b.undecidedGains()...)
	return ran(fraction, fs...)
}

func (b *bench) disagreement(e span) Finding {
	w := extreme(b.spread, e, 1)
	f := Finding{Kind: "cells-disagree", Severity: Caution, Confidence: Sure,
		WhySure: "the readings themselves: that they disagree is sure, which of them is right is another question",
		FromS:   Float(e.fromS), ToS: Float(e.toS), Cells: b.numbers,
		Observed: fmt.Sprintf("The cells lay more than %s apart from %s, for %s; at most %s at %s (%s).", bar(b.p.Limits.DisagreeBar), b.clock(e.fromS),
			duration(e.seconds()), bar(b.spread[w]), b.clock(b.tS[w]), b.readingsText(w)),
		Onset: at(b.spread, b.tS, e.from, "bar"), Worst: at(b.spread, b.tS, w, "bar"), End: at(b.spread, b.tS, e.to, "bar"),
		Limit: constant(b.p.Limits.DisagreeBar, "bar"), LimitSource: "ours: the default tolerance of the vote", Others: b.othersText(e)}
	if n, kind := b.falseCellIn(e); n > 0 {
		f.Cell = &n
		f.Evidence = append(f.Evidence, fmt.Sprintf("cell %d is judged false by how it obeys the loop's physics (%s), not by its company", n, kind))
		return f
	}
	odd, share := b.oddOne(e)
	if odd < 0 {
		f.Evidence = []string{"no single cell stands apart from all the others"}
		return f
	}
	cell := b.numbers[odd]
	f.Evidence = []string{fmt.Sprintf("cell %d was the farthest from the others in %.0f %% of the event; that is one line of evidence, and no proof", cell, 100*share)}
	if other, ok := b.knownGasNames(); ok {
		f.Cell, f.Evidence = &other, append(f.Evidence, fmt.Sprintf("a moment of known gas in this dive names cell %d and clears the others", other))
	}
	return f
}

// falseCellIn is the one cell that the diagnosis judges false during the event,
// with its kind of fault; 0 where there is none, or more than one.
func (b *bench) falseCellIn(e span) (int, string) {
	found, kind := 0, ""
	for k := range b.dive.Cells {
		n := b.dive.Cells[k].Number
		if b.falseAt(n, e.fromS) || b.falseAt(n, e.toS) {
			if found > 0 {
				return 0, ""
			}
			found, kind = n, b.judgedFalse(n)
		}
	}
	return found, kind
}

// A cell stands apart at a row where it lies oddLead times as far from the others as
// the next one does, and in an event where it does so for oddShare of the time. Ours:
// it only names which cell the others lay away from, one line of evidence, no verdict.
const (
	oddLead  = 1.5
	oddShare = 0.6
)

// oddOne is the index of the cell that is farthest from the median of the others
// for most of the event, with the share of the event; -1 where none stands apart.
func (b *bench) oddOne(e span) (int, float64) {
	if len(b.cells) < 3 {
		return -1, 0
	}
	votes := make([]float64, len(b.cells))
	var total float64
	for i := e.from; i <= e.to; i++ {
		w := rowSeconds(b.tS, b.gapAfter, i)
		total += w
		if k := b.farthest(i); k >= 0 {
			votes[k] += w
		}
	}
	best := 0
	for k := range votes {
		if votes[k] > votes[best] {
			best = k
		}
	}
	if total == 0 || votes[best] < oddShare*total {
		return -1, 0
	}
	return best, votes[best] / total
}

// farthest is the cell that stands apart at row i: farthest from the mean of the
// others, by oddLead times the next. -1 where none does, as in a split
// of two against two.
func (b *bench) farthest(i int) int {
	best, far, next := -1, 0.0, 0.0
	for k := range b.cells {
		switch d := math.Abs(b.distance(k, i)); {
		case d > far:
			best, far, next = k, d, far
		case d > next:
			next = d
		}
	}
	if far < oddLead*next {
		return -1
	}
	return best
}

// distance of cell k from the mean of the other cells at row i; NaN where there is none.
func (b *bench) distance(k, i int) float64 {
	var sum float64
	n := 0
	for j := range b.cells {
		if j != k && !math.IsNaN(b.cells[j][i]) {
			sum += b.cells[j][i]
			n++
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return b.cells[k][i] - sum/float64(n)
}

func (b *bench) readingsText(i int) string {
	var w []string
	for k, n := range b.numbers {
		if v := b.cells[k][i]; !math.IsNaN(v) {
			w = append(w, fmt.Sprintf("cell %d %.2f", n, v))
		}
	}
	return wording.And(w)
}

// othersText says what unit and set point did meanwhile.
func (b *bench) othersText(e span) string {
	w := max(extreme(b.spread, e, 1), e.from)
	s := "the unit's PO2 was not recorded"
	if b.dive.UnitPO2Bar != nil && !math.IsNaN(b.dive.UnitPO2Bar[w]) {
		s = "the unit's PO2 was " + bar(b.dive.UnitPO2Bar[w])
	}
	if sp := b.dive.SetPointBar; sp != nil && !math.IsNaN(sp[w]) {
		s += ", the set point " + bar(sp[w])
	}
	return s + " at the worst moment"
}

// knownGasNames is the one cell that known-gas checks put conclusively outside
// their range while they do so with no other.
func (b *bench) knownGasNames() (int, bool) {
	named := map[int]bool{}
	for _, k := range b.debrief.KnownGas {
		if !k.Assessed || len(k.Readings) < 2 {
			continue
		}
		out, cell := 0, 0
		for _, r := range k.Readings {
			if r.Conclusive && !k.shared(r, b.p.KnownGas.ToleranceBar) {
				out++
				cell = r.Cell
			}
		}
		if out == 1 {
			named[cell] = true
		}
	}
	if len(named) != 1 {
		return 0, false
	}
	for c := range named {
		return c, true
	}
	return 0, false
}

// checkAboveAmbient looks for readings that can't be: a partial pressure is at
// most the ambient pressure.
func checkAboveAmbient(b *bench) verdict {
	l := b.p.Limits
	var fs []Finding
	for k, n := range b.numbers {
		excess := make([]float64, len(b.tS))
		for i := range excess {
			excess[i] = b.cells[k][i] - b.dive.AmbientBar[i]
		}
		ss := spansWhere(b.tS, b.gapAfter, func(i int) bool {
			return excess[i] > math.Max(l.AboveAmbientBar, l.AboveAmbientFraction*b.dive.AmbientBar[i])+tol
		})
		if ss = merge(lasting(ss, l.AboveAmbientAfterS), l.MergeS); len(ss) > 0 {
			fs = append(fs, b.impossible(n, k, excess, ss))
		}
	}
	if len(fs) == len(b.cells) && len(fs) > 1 {
		for i := range fs {
			fs[i].Confidence, fs[i].WhySure = Possible, "all cells read above ambient pressure: depth, surface pressure or calibration may be wrong instead"
		}
	}
	return ran(b.usable(func(i int) bool { return !math.IsNaN(b.dive.AmbientBar[i]) }), fs...)
}

func (b *bench) impossible(number, k int, excess []float64, ss []span) Finding {
	e := span{from: ss[0].from, to: ss[len(ss)-1].to, fromS: ss[0].fromS, toS: ss[len(ss)-1].toS}
	w := extreme(excess, e, 1)
	f := Finding{Kind: "reading-above-ambient", Severity: Warning, Confidence: Likely, WhySure: "one strong line: the bound PO2 <= ambient pressure",
		Cell: &number, Cells: []int{number}, FromS: Float(e.fromS), ToS: Float(e.toS),
		Observed: fmt.Sprintf("Cell %d read up to %s at %s, where the ambient pressure was %s; above it for %s in all.", number,
			bar(b.cells[k][w]), b.clock(b.tS[w]), bar(b.dive.AmbientBar[w]), duration(totalSeconds(ss))),
		Onset: at(b.cells[k], b.tS, e.from, "bar"), Worst: at(b.cells[k], b.tS, w, "bar"), End: at(b.cells[k], b.tS, e.to, "bar"),
		Limit: constant(b.dive.AmbientBar[w], "bar"), LimitSource: "a partial pressure is at most the ambient pressure (Dalton)", Others: b.readingsText(w)}
	if b.dive.AmbientFrom == "measured" {
		f.Confidence, f.WhySure = Sure, "the bound PO2 <= ambient pressure, with ambient pressure measured"
	}
	return f
}

// checkKnownGas turns readings that were off at a known gas into findings: one
// for each cell that the others contradict there, and one for all that were off
// alike, which name no cell: what cells share points at the gas, the flush or the
// pressure.
func checkKnownGas(b *bench) verdict {
	var assessed int
	off, alike := map[int][]KnownGas{}, map[int][]KnownGas{}
	for _, k := range b.debrief.KnownGas {
		if !k.Assessed {
			continue
		}
		assessed++
		for _, r := range k.Readings {
			switch {
			case !r.Conclusive:
			case len(k.Readings) > 1 && k.shared(r, b.p.KnownGas.ToleranceBar):
				alike[r.Cell] = append(alike[r.Cell], k)
			default:
				off[r.Cell] = append(off[r.Cell], k)
			}
		}
	}
	switch {
	case len(b.debrief.KnownGas) == 0:
		return notAssessed("no moment of known gas in the log: no flush, no calibration, no air at the surface")
	case assessed == 0:
		return notAssessed("no moment of known gas could be read: " + b.debrief.KnownGas[0].Reason)
	}
	var fs []Finding
	for _, c := range slices.Sorted(maps.Keys(off)) {
		fs = append(fs, b.offAtKnownGas(c, off[c], assessed, len(off)))
	}
	if len(off) == 0 && len(alike) > 0 {
		fs = append(fs, b.alikeAtKnownGas(alike, assessed))
	}
	return ran(1, fs...)
}

// shared tells whether the others are off as reading r is: their median lies
// within tolerance of it, or beyond it.
func (k KnownGas) shared(r KnownGasReading, toleranceBar float64) bool {
	var others []float64
	for _, o := range k.Readings {
		if o.Cell != r.Cell && o.ReadBar.Known() {
			others = append(others, float64(o.ReadBar))
		}
	}
	apart := medianOf(others) - float64(r.ReadBar)
	if r.ErrorBar > 0 {
		apart = -apart
	}
	return apart <= toleranceBar+tol
}

// alikeAtKnownGas is the finding on cells that were off together: it names none.
func (b *bench) alikeAtKnownGas(alike map[int][]KnownGas, assessed int) Finding {
	cells := slices.Sorted(maps.Keys(alike))
	f := b.offAtKnownGas(cells[0], alike[cells[0]], assessed, len(cells))
	for _, c := range cells[1:] {
		if o := b.offAtKnownGas(c, alike[c], assessed, len(cells)); math.Abs(float64(o.Worst.Value)) > math.Abs(float64(f.Worst.Value)) {
			f = o
		}
	}
	f.Confidence, f.WhySure = Possible, "the cells are off alike: the flush, the gas or the pressure may be what is wrong"
	f.Cell, f.Cells = nil, cells
	f.Alternatives = append([]string{"more was used since the flush than was allowed for", "another gas came in, or the event is not what the word says"}, kindOf(f.Kind).alternatives...)
	return f
}

func (b *bench) offAtKnownGas(cell int, at []KnownGas, assessed, cellsOff int) Finding {
	worst := at[0]
	err := func(k KnownGas) float64 {
		for _, r := range k.Readings {
			if r.Cell == cell {
				return float64(r.ErrorBar)
			}
		}
		return math.NaN()
	}
	var lines []string
	for _, k := range at {
		if math.Abs(err(k)) > math.Abs(err(worst)) {
			worst = k
		}
		lines = append(lines, fmt.Sprintf("%s at %s: %+.2f bar", knownGasName(k.Kind), b.clock(float64(k.AtS)), err(k)))
	}
	f := Finding{Kind: "known-gas-mismatch", Severity: Caution, Confidence: Likely, WhySure: "one moment of known gas",
		Cell: &cell, Cells: []int{cell}, FromS: at[0].AtS, ToS: at[len(at)-1].ToS,
		Observed: fmt.Sprintf("At %s (%s) cell %d read %+.2f bar off the expected %s.", knownGasName(worst.Kind), b.clock(float64(worst.AtS)), cell, err(worst), bar(float64(worst.ExpectedBar))),
		Onset:    noValue("bar"), Worst: Value{Value: Float(err(worst)), Unit: "bar", AtS: worst.AtS}, End: noValue("bar"),
		Limit: constant(b.p.KnownGas.ToleranceBar, "bar"), LimitSource: "ours, outside the range that humidity and the diver's own use leave, on the side that no incomplete flush explains", Others: fmt.Sprintf("%d of %d cells were off at one of %d known gases", cellsOff, len(b.cells), assessed),
		Evidence: lines}
	switch {
	case len(b.cells) == 1:
		f.Confidence, f.WhySure = Possible, "no other cell tells whether the cell or the gas was off"
	case cellsOff == len(b.cells):
		f.Confidence, f.WhySure = Possible, "all cells are off: the flush, the gas or the pressure may be what is wrong"
		f.Cell = nil
	case len(at) > 1:
		f.Confidence, f.WhySure = Sure, "more than one moment of known gas says the same, and other cells were right there"
	}
	return f
}
