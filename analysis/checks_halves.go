package analysis

import (
	"fmt"
	"math"
	"slices"
	"strconv"

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
	for _, q := range b.halvesQuantities() {
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
		{"PO2", "bar", x.po2, y.po2, l.PO2Bar, "the tolerance of the vote, common practice", Caution, b.halfByGas},
		{"ambient pressure", "bar", x.ambientBar, y.ambientBar, l.AmbientBar, "ours: a metre of water", Caution, b.halfByPressure},
		{"depth", "m", x.depthM, y.depthM, l.DepthM, "ours: two sensors in one loop lie within a few decimetres", Caution, b.halfAtSurface},
		{"helium", "fraction", x.he, y.he, l.Helium, "ours: more than 0.1 bar of PO2 at 5 bar", Note, b.halfByDiluent},
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
		FromS: Float(e.fromS), ToS: Float(e.toS), Cells: b.cellsOfHalves(q.name),
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
func (b *bench) cellsOfHalves(quantity string) []int {
	if quantity != "PO2" {
		return []int{}
	}
	all := append(append([]int{}, b.halves[0].cells...), b.halves[1].cells...)
	slices.Sort(all)
	return slices.Compact(all)
}

// halfByGas asks what the gas itself says of a PO2: moments of known gas, the
// pressure around, which PO2 can't exceed, and the estimate by the loop's physics
// where its band is narrow. They must not contradict one another.
func (b *bench) halfByGas(e span, _ []float64) (int, []string) {
	var for_ [2]int
	var why []string
	speak := func(against int, format string, args ...any) {
		if against >= 0 {
			for_[1-against]++
			why = append(why, fmt.Sprintf(format, args...))
		}
	}
	for k := range b.halves[:2] {
		h := &b.halves[k]
		if cells, when := b.offKnownGas(h, e); cells != nil {
			speak(k, "at %s, a moment of known gas, %s %s of half %s read what that gas could not give; no cell of the other half did", when, plural(len(cells), "cell", "cells"), words(cells), h.letter)
		}
		if w := extreme(b.abovePressure(h.po2), e, 1); w >= 0 && h.po2[w]-b.dive.AmbientBar[w] > b.p.Limits.AboveAmbientBar {
			speak(k, "half %s showed %s at %s, more than the pressure around (%s)", h.letter, bar(h.po2[w]), b.clock(b.tS[w]), bar(b.dive.AmbientBar[w]))
		}
	}
	against, text := b.halfByEstimate(e)
	speak(against, "%s", text)
	switch {
	case for_[0] > 0 && for_[1] > 0, for_[0]+for_[1] == 0:
		return -1, why
	case for_[0] > 0:
		return 0, why
	}
	return 1, why
}

// offKnownGas names the half's cells, at least half of those that read, that a
// moment of known gas in the event found conclusively off while it found none of
// the other half's; nil where there is no such moment.
func (b *bench) offKnownGas(h *halfRecord, e span) ([]string, string) {
	for i := range b.debrief.KnownGas {
		g := &b.debrief.KnownGas[i]
		if !g.Assessed || float64(g.AtS) < e.fromS-b.p.Limits.MergeS || float64(g.AtS) > e.toS+b.p.Limits.MergeS {
			continue
		}
		var off []string
		own, others := 0, 0
		for _, r := range g.Readings {
			mine := slices.Contains(h.cells, r.Cell)
			switch {
			case mine && r.ReadBar.Known() && r.Conclusive:
				own, off = own+1, append(off, strconv.Itoa(r.Cell))
			case mine && r.ReadBar.Known():
				own++
			case r.Conclusive:
				others++
			}
		}
		if 2*len(off) >= own && own > 0 && others == 0 {
			return off, b.clock(float64(g.AtS))
		}
	}
	return nil, ""
}

func (b *bench) abovePressure(po2 []float64) []float64 {
	out := make([]float64, len(po2))
	for i := range out {
		out[i] = po2[i] - b.dive.AmbientBar[i]
	}
	return out
}

// halfByEstimate is the half that lay outside the estimate's band for most of the
// event while the other lay within, and the words for it; -1 where none did.
func (b *bench) halfByEstimate(e span) (int, string) {
	if b.diag == nil {
		return -1, ""
	}
	est := b.diag.estimate
	var out [2]float64
	var time float64
	for i := e.from; i <= e.to; i++ {
		x, y := b.halves[0].po2[i], b.halves[1].po2[i]
		if math.IsNaN(x+y) || !(est.HighBar[i]-est.LowBar[i] <= b.p.Vote.OutBar+tol) || !b.onLoop[i] {
			continue
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		time += w
		for k, v := range []float64{x, y} {
			if v > est.HighBar[i]+b.p.Limits.UnitDiffersBar || v < est.LowBar[i]-b.p.Limits.UnitDiffersBar {
				out[k] += w
			}
		}
	}
	const most, few = 0.6, 0.2
	for k := range out {
		if time > 0 && out[k] >= most*time && out[1-k] <= few*time && time >= 0.5*e.seconds() {
			return k, fmt.Sprintf("the estimate by the loop's physics has half %s outside its band for %.0f %% of the time, half %s for %.0f %%", b.halves[k].letter, 100*out[k]/time, b.halves[1-k].letter, 100*out[1-k]/time)
		}
	}
	return -1, ""
}

// halfAtSurface asks which depth sensor showed the surface as none: rows at which
// one of them was within the surface and the other was not, with the difference
// of the event. It tells a shift only, and only where both were out of the water.
func (b *bench) halfAtSurface(_ span, d []float64) (int, []string) {
	x, y := b.halves[0].depthM, b.halves[1].depthM
	var off [2]int
	for i := range d {
		if math.IsNaN(d[i]) || math.Min(math.Abs(x[i]), math.Abs(y[i])) > surfaceM/2 || math.Abs(d[i]) <= b.p.HalvesLimits.DepthM+tol {
			continue
		}
		if math.Abs(x[i]) > math.Abs(y[i]) {
			off[0]++
		} else {
			off[1]++
		}
	}
	for k := range off {
		if off[k] > 10 && off[1-k] == 0 {
			return 1 - k, []string{fmt.Sprintf("half %s still showed more than %.0f m while half %s showed the surface; only a half that floats deeper than the other would explain it", b.halves[k].letter, b.p.HalvesLimits.DepthM, b.halves[1-k].letter)}
		}
	}
	return -1, []string{}
}

// halfByPressure holds the pressures at the surface against the stated one.
func (b *bench) halfByPressure(_ span, d []float64) (int, []string) {
	m := b.dive.Meta
	if m.SurfaceAssumed {
		return -1, []string{}
	}
	var sets [2][]float64
	for i := range d {
		if !b.under[i] && !math.IsNaN(d[i]) {
			sets[0], sets[1] = append(sets[0], b.halves[0].ambientBar[i]), append(sets[1], b.halves[1].ambientBar[i])
		}
	}
	off := [2]float64{math.Abs(medianOf(sets[0]) - m.SurfacePressureBar), math.Abs(medianOf(sets[1]) - m.SurfacePressureBar)}
	for k := range off {
		if off[k] > b.p.HalvesLimits.AmbientBar && off[1-k] <= b.p.Limits.SurfacePressureBar {
			return 1 - k, []string{fmt.Sprintf("at the surface half %s measured %.2f bar from the stated pressure, half %s %.2f bar", b.halves[k].letter, off[k], b.halves[1-k].letter, off[1-k])}
		}
	}
	return -1, []string{}
}

// halfByDiluent uses that a loop holds no larger share of helium than its diluent.
func (b *bench) halfByDiluent(e span, _ []float64) (int, []string) {
	var above [2]int
	for i := e.from; i <= e.to; i++ {
		if g := b.dive.Diluent[i]; g.Known {
			for k, v := range []float64{b.halves[0].he[i], b.halves[1].he[i]} {
				if v > g.He+b.p.HalvesLimits.Helium {
					above[k]++
				}
			}
		}
	}
	for k := range above {
		if above[k] > 0 && above[1-k] == 0 {
			return 1 - k, []string{fmt.Sprintf("half %s measured more helium than the diluent holds", b.halves[k].letter)}
		}
	}
	return -1, []string{}
}
