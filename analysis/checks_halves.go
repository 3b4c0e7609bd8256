package analysis

import (
	"fmt"
	"math"
	"slices"

	"afterloop/ingest"
)

// halvesQuantity is what both halves recorded, for the check.
type halvesQuantity struct {
	name, unit string
	a, b       []float64
	limit      float64
	source     string
	severity   Severity
	// evidence says which half stands up to something else: 0, 1, or -1 for none, with the reasons.
	evidence func(e span, d []float64) (int, []string)
	cells    []int // concerned; nil where all of both are, or none
}

// checkHalves looks for quantities on which the two halves of doubled electronics
// differ. A half is named only where something other than the halves tells.
func checkHalves(b *bench) verdict {
	if len(b.halves) < 2 {
		return doesNotApply("the log does not part two halves of electronics")
	}
	l := b.p.HalvesLimits
	var fs []Finding
	most := 0.0
	for _, q := range append(b.halvesQuantities(), b.oneCellReadTwice()...) {
		d := sideBySide(q.a, q.b)
		if d == nil || q.name == "depth" && slices.ContainsFunc(fs, func(f Finding) bool { return f.Onset.Unit == "bar" && len(f.Cells) == 0 }) {
			continue // a depth that follows from a pressure is no second finding
		}
		most = math.Max(most, b.usable(func(i int) bool { return !math.IsNaN(d[i]) }))
		ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return math.Abs(d[i]) > q.limit+tol })
		for _, e := range b.mergeUnknown(merge(lasting(ss, l.AfterS), b.p.Limits.MergeS), d) {
			fs = append(fs, b.halvesApart(q, d, e, ss))
		}
	}
	if most == 0 {
		return notAssessed("the halves recorded nothing that both have at one time")
	}
	return ran(most, fs...)
}

// mergeUnknown joins events with nothing but unknown differences between them:
// one half was off meanwhile, and nobody knows that they agreed.
func (b *bench) mergeUnknown(ss []span, d []float64) []span {
	var out []span
	for _, s := range ss {
		if n := len(out); n > 0 && extreme(d, span{from: out[n-1].to + 1, to: s.from - 1}, 1) < 0 {
			out[n-1].to, out[n-1].toS = s.to, s.toS
			continue
		}
		out = append(out, s)
	}
	return out
}

// missingOf counts the rows in which a cell has no reading although its half recorded.
func (b *bench) missingOf(c *ingest.Cell) int {
	n := 0
	for i, v := range c.PO2Bar {
		if math.IsNaN(v) && b.couldRead(c.Number, i) {
			n++
		}
	}
	return n
}

// couldRead is false where no half that holds the cell recorded.
func (b *bench) couldRead(cell, row int) bool {
	held := false
	for k := range b.halves {
		if h := &b.halves[k]; slices.Contains(h.cells, cell) {
			if h.recorded[row] {
				return true
			}
			held = true
		}
	}
	return !held
}

// checkHalfOff looks for times under water in which one half recorded nothing.
func checkHalfOff(b *bench) verdict {
	if len(b.halves) < 2 {
		return doesNotApply("the log does not part two halves of electronics")
	}
	var fs []Finding
	for k := range b.halves {
		for _, e := range merge(b.offWhileOther(k), b.p.Limits.MergeS) {
			under := 0.0
			for i := e.from; i <= e.to; i++ {
				if b.under[i] {
					under += rowSeconds(b.tS, b.gapAfter, i)
				}
			}
			if under <= b.gapLimitS() {
				continue
			}
			fs = append(fs, b.halfOff(k, e))
		}
	}
	return ran(1, fs...)
}

func (b *bench) halfOff(k int, e span) Finding {
	letter, off := b.halves[k].letter, b.whileOff(k, e)
	text := func(v Float) string { return amount(float64(v), "bar") }
	f := Finding{Kind: "half-off", Severity: Caution, Confidence: Sure, WhySure: "its log holds no row there, that of the other half does",
		FromS: Float(e.fromS), ToS: Float(e.toS), Cells: orEmpty(b.halves[k].cells),
		Observed: fmt.Sprintf("Half %s recorded nothing for %s from %s, under water, while half %s did.", letter, duration(e.seconds()), b.clock(e.fromS), off.Other),
		Onset:    noValue("s"), Worst: constant(e.seconds(), "s"), End: noValue("s"), Limit: constant(b.gapLimitS(), "s"), LimitSource: "ours: what is called a gap",
		Others:   fmt.Sprintf("half %s had a PO2 of %s on the mean meanwhile, from %s to %s", off.Other, text(off.OtherMeanBar), text(off.OtherLowBar), text(off.OtherHighBar)),
		Evidence: []string{fmt.Sprintf("half %s had %s before and %s after", letter, text(off.PO2BeforeBar), text(off.PO2AfterBar))}}
	if w := off.WorstFromEstimate; w.Value.Known() {
		f.Evidence = append(f.Evidence, fmt.Sprintf("the PO2 of half %s lay up to %+.2f bar from the estimate, at %s; the estimate rests on the cells of half %s alone there", off.Other, float64(w.Value), b.clock(float64(w.AtS)), off.Other))
	}
	return f
}

func (b *bench) halvesQuantities() []halvesQuantity {
	x, y, l := &b.halves[0], &b.halves[1], b.p.HalvesLimits
	return []halvesQuantity{
		{"PO2", "bar", x.po2, y.po2, l.PO2Bar, "the tolerance of the vote, common practice", Caution, b.halfByGas, nil},
		{"ambient pressure", "bar", x.ambientBar, y.ambientBar, l.AmbientBar, "ours: a metre of water", Caution, b.halfByPressure, nil},
		{"depth", "m", x.depthM, y.depthM, l.DepthM, "ours: two sensors in one loop lie within a few decimetres", Caution, b.halfAtSurface, nil},
		{"helium", "fraction", x.he, y.he, l.Helium, "ours: more than 0.1 bar of PO2 at 5 bar", Note, b.halfByDiluent, nil},
	}
}

func (b *bench) halvesApart(q halvesQuantity, d []float64, e span, over []span) Finding {
	x, y := &b.halves[0], &b.halves[1]
	size := make([]float64, len(d))
	for i := range d {
		size[i] = math.Abs(d[i])
	}
	w := extreme(size, e, 1)
	var inside float64
	for _, s := range over {
		if s.from >= e.from && s.to <= e.to {
			inside += s.seconds()
		}
	}
	f := Finding{Kind: "halves-disagree", Title: "The halves disagree on " + q.name, Severity: q.severity, Confidence: Sure, WhySure: "both halves recorded it: that they differ is sure, which of them is right is another question",
		FromS: Float(e.fromS), ToS: Float(e.toS), Cells: b.cellsOfHalves(q),
		Observed: fmt.Sprintf("The %s of half %s and half %s lay more than %s apart for %s, from %s; at most at %s: half %s %s, half %s %s.", q.name, x.letter, y.letter, amount(q.limit, q.unit),
			duration(inside), b.clock(e.fromS), b.clock(b.tS[w]), x.letter, amount(q.a[w], q.unit), y.letter, amount(q.b[w], q.unit)),
		Onset: at(d, b.tS, e.from, q.unit), Worst: at(d, b.tS, w, q.unit), End: at(d, b.tS, e.to, q.unit),
		Limit: constant(q.limit, q.unit), LimitSource: q.source, Others: fmt.Sprintf("figures are half %s less half %s", y.letter, x.letter)}
	which, why := q.evidence(e, d)
	f.Evidence = why
	if which < 0 {
		f.Evidence = append(f.Evidence, "which half was right can't be told from what was recorded")
		return f
	}
	f.Evidence = append(f.Evidence, fmt.Sprintf("what speaks speaks for half %s; a test of both halves decides", b.halves[which].letter))
	return f
}

// amount writes a figure of a quantity with its unit.
func amount(v float64, unit string) string {
	switch {
	case math.IsNaN(v):
		return "nothing"
	case unit == "m":
		return fmt.Sprintf("%.1f m", v)
	case unit == "fraction":
		return fmt.Sprintf("%.1f %%", 100*v)
	}
	return bar(v)
}

// cellsOfHalves are the cells concerned: all of both halves, where PO2 is.
func (b *bench) cellsOfHalves(q halvesQuantity) []int {
	if q.cells != nil {
		return q.cells
	}
	if q.name != "PO2" {
		return []int{}
	}
	all := append(append([]int{}, b.halves[0].cells...), b.halves[1].cells...)
	slices.Sort(all)
	return slices.Compact(all)
}
