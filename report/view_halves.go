package report

import (
	"fmt"
	"strings"

	"afterloop/analysis"
)

// HalvesNotes say how the clocks of two logs were found; none for one log.
func (p *page) HalvesNotes() []string { return halvesNotes(p.Debrief) }

func halvesNotes(d *analysis.Debrief) []string {
	c := d.Halves.Clock
	if c == nil || len(d.Halves.Halves) < 2 {
		return nil
	}
	return []string{
		say("halves.clock", d.Halves.Halves[1].Half, signedSeconds(c.OffsetS.Value), seconds(analysis.Float(float64(c.OffsetS.High-c.OffsetS.Value))), d.Halves.Halves[0].Half,
			fixed(c.DriftPPM.Value, 0), fixed(c.DriftPPM.Low, 0), fixed(c.DriftPPM.High, 0)),
		say("halves.agree", fixed(c.AgreeM, 1), share(c.AgreeFraction), duration(c.CommonS), share(c.MovingAgreeFraction), duration(c.MovingS), fixed(c.ResidualM, 2)) + " " + upper(sentence(c.Start)),
	}
}

// upper lets a sentence begin with a capital.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func signedSeconds(v analysis.Float) string {
	s := seconds(v)
	if v > 0 {
		return "+" + s
	}
	return s
}

// HalvesSign says how differences are to be read.
func (p *page) HalvesSign() string { return halvesSign(p.Debrief) }

func halvesSign(d *analysis.Debrief) string {
	h := d.Halves.Halves
	if len(h) < 2 {
		return ""
	}
	return say("halves.less", h[1].Half, h[0].Half)
}

// HalfParts names what belongs to a half, with the numbers of its own log.
func (p *page) HalfParts(h analysis.Half) string {
	var parts []string
	for _, x := range h.Parts {
		s := fmt.Sprintf("%s %d", partWord(x.Part), x.Number)
		if h.File != "" && x.InLog != x.Number {
			s += say("halves.in-its-log", x.InLog)
		}
		parts = append(parts, s)
	}
	return orUnknown(strings.Join(parts, ", "))
}

// partWord names a kind of part.
func partWord(part string) string {
	switch part {
	case "cell":
		return say("halves.part-cell")
	case "valve":
		return say("halves.part-valve")
	}
	return say("halves.part-battery")
}

// HalfRecord says when a half recorded.
func (p *page) HalfRecord(h analysis.Half) string {
	if !h.FirstS.Known() {
		return say("halves.nothing-recorded")
	}
	return say("halves.recorded", p.clock.since(h.FirstS), p.clock.since(h.LastS), duration(h.RecordedS), plural(len(h.Gaps), say("word.gap"), say("word.gaps")))
}

// HalfPO2From says where a half's PO2 comes from.
func (p *page) HalfPO2From(h analysis.Half) string {
	switch h.PO2From {
	case "recorded":
		return say("halves.po2-recorded")
	case "mid-value":
		return say("halves.po2-mid-value")
	}
	return unknown
}

// HalvesQuantity names what was compared.
func (p *page) HalvesQuantity(c analysis.HalvesComparison) string { return halvesQuantity(c) }

func halvesQuantity(c analysis.HalvesComparison) string {
	switch c.Quantity {
	case "po2":
		return say("halves.po2")
	case "depth":
		return say("halves.depth")
	case "ambient":
		return say("halves.ambient")
	}
	return say("halves.helium")
}

// HalvesAmount is a figure of a comparison.
func (p *page) HalvesAmount(v analysis.Float, unit string) string { return halvesAmount(v, unit) }

func halvesAmount(v analysis.Float, unit string) string {
	if !v.Known() {
		return unknown
	}
	switch unit {
	case "m":
		return fixed(v, 1) + " m"
	case "fraction":
		return fixed(100*v, 1) + " %"
	}
	return bar(v) + " bar"
}

// HalvesWorst is the largest difference and when it was.
func (p *page) HalvesWorst(c analysis.HalvesComparison) string { return p.clock.halvesWorst(c.Worst) }

func (c clock) halvesWorst(v analysis.Value) string {
	if !v.Value.Known() {
		return unknown
	}
	return say("value.at", halvesAmount(v.Value, v.Unit), c.since(v.AtS))
}

// HalvesOver is how long the limit was passed.
func (p *page) HalvesOver(c analysis.HalvesComparison) string {
	return say("halves.over-limit", duration(c.OverS), duration(c.ComparedS), halvesAmount(c.Limit, c.Unit))
}

// HalvesOff say what each half did while the other was off.
func (p *page) HalvesOff() []string { return halvesOff(p.Debrief, p.clock) }

func halvesOff(d *analysis.Debrief, c clock) []string {
	var out []string
	for _, h := range d.Halves.Halves {
		for _, o := range h.Off {
			s := say("halves.off", h.Half, c.since(o.FromS), c.since(o.ToS), duration(o.ToS-o.FromS))
			s += around(say("halves.off-po2"), o.PO2BeforeBar, o.PO2AfterBar) + around(say("halves.off-set-point"), o.SetPointBeforeBar, o.SetPointAfterBar)
			if o.OtherMeanBar.Known() {
				s += " " + say("halves.off-other", o.Other, bar(o.OtherMeanBar), bar(o.OtherLowBar), bar(o.OtherHighBar))
			}
			if len(o.OtherSetPointsBar) > 0 {
				s += " " + say("halves.off-other-set-point", list(o.OtherSetPointsBar, bar))
			}
			if o.OtherOpenS.Known() {
				s += " " + say("halves.off-valve", seconds(o.OtherOpenS))
			}
			if o.OtherUndecidedS > 0 {
				s += " " + say("halves.off-undecided", duration(o.OtherUndecidedS))
			}
			if o.WorstFromEstimate.Value.Known() {
				s += " " + say("halves.off-estimate", bar(o.EstimateMeanBar), o.Other, signed(o.WorstFromEstimate.Value), c.since(o.WorstFromEstimate.AtS))
			}
			out = append(out, s)
		}
	}
	return out
}

// around says what a figure was before and after, as far as that is known.
func around(what string, before, after analysis.Float) string {
	switch {
	case before.Known() && after.Known():
		return " " + say("halves.before-and-after", what, bar(before), bar(after))
	case before.Known():
		return " " + say("halves.before", what, bar(before))
	case after.Known():
		return " " + say("halves.after", what, bar(after))
	}
	return ""
}

// halvesRow is one policy over all cells and over each half alone.
type halvesRow struct {
	Policy string
	Cells  []string
}

// HalvesSets are the sets of cells that the policies were replayed over.
func (p *page) HalvesSets() []string { return halvesSets(p.Debrief) }

func halvesSets(d *analysis.Debrief) []string {
	var out []string
	for _, r := range d.Halves.Replays {
		if r.Policy != d.Halves.Replays[0].Policy {
			break
		}
		if r.Over == "all" {
			out = append(out, say("halves.all-cells"))
			continue
		}
		out = append(out, say("halves.half-alone", r.Over, cellList(r.Cells)))
	}
	return out
}

// HalvesRows are the replays, a policy a row.
func (p *page) HalvesRows() []halvesRow { return halvesRows(p.Debrief, p.clock) }

func halvesRows(d *analysis.Debrief, c clock) []halvesRow {
	var out []halvesRow
	for _, r := range d.Halves.Replays {
		if n := len(out); n == 0 || out[n-1].Policy != r.Policy {
			out = append(out, halvesRow{Policy: r.Policy})
		}
		s := say("halves.from-estimate", bar(r.MeanFromEstimateBar), c.halvesWorst(r.WorstFromEstimate))
		if r.UndecidedS > 0 {
			s += say("halves.undecided-for", duration(r.UndecidedS))
		}
		if r.NoneS > 0 {
			s += say("halves.none-for", duration(r.NoneS))
		}
		row := &out[len(out)-1]
		row.Cells = append(row.Cells, s)
	}
	return out
}
