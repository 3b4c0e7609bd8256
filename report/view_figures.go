package report

import (
	"slices"
	"strings"

	"afterloop/analysis"
)

// figure is one entry of the figures at a glance.
type figure struct {
	Name              link
	Value, Unit, Note string
	Explain           string // what it is, for a student
}

// Figures are the figures at a glance.
func (p *page) Figures() []figure {
	f := p.Dive
	out := []figure{
		{link{"", say("figures.duration-of-the-record")}, duration(f.DurationS), "", "", say("explain.figure.duration")},
		{link{"", say("figures.under-water")}, duration(f.SubmergedS), "", "", say("explain.figure.under-water")},
		{link{"", say("figures.greatest-depth")}, atLeast(p.Debrief) + fixed(f.MaxDepthM, 1), "m", depthRemark(p.Debrief), say("explain.figure.greatest-depth")},
		{link{"", say("figures.mean-depth-under-water")}, atLeast(p.Debrief) + fixed(f.MeanDepthM, 1), "m", meanDepthRemark(p.Debrief), say("explain.figure.mean-depth")},
		{link{"", say("figures.on-the-loop")}, duration(f.OnLoopS), "", onOpen(f), say("explain.figure.on-loop")},
		{p.Def("headline", say("figures.cns-worst-of-what-may")), cnsText(p.Exposure.Headline.CNSPercent, p.Exposure.Headline.IsLowerBound), "", p.headlineNote(), p.meaning("headline")},
		{p.Def("otu", say("figures.pulmonary-dose")), fixed(p.Exposure.Headline.OTU, 0), "OTU", "", p.meaning("otu")},
		{link{"", say("figures.set-points")}, orUnknown(list(f.SetPointsBar, bar)), "bar", "", say("explain.figure.set-points")},
		{p.Def("ambient", say("figures.surface-pressure")), bar(f.SurfaceBar), "bar", assumed(f.SurfaceAssumed), p.meaning("ambient")},
		{link{"", say("figures.water-density")}, fixed(f.DensityKgM3, 0), "kg/m³", assumed(f.DensityAssumed), say("explain.figure.density")},
		{link{"", say("figures.diluent")}, orUnknown(f.Diluent), "", openGas(f), say("explain.figure.diluent")},
		{link{"", say("figures.loop-volume")}, quantity(f.LoopVolumeL, "L"), "", "", say("explain.figure.volume")},
	}
	if t := p.Tracking; t != nil {
		out = append(out, figure{p.Def("tracking-error", say("figures.mean-po2-set-point")), bar(t.MAEBar), "bar", say("figures.over", duration(t.AssessedS)) + p.byEstimate(func(e *analysis.Tracking) string { return bar(e.MAEBar) }), p.meaning("tracking-error")},
			figure{p.Def("within", say("figures.within-0-10-bar-of")), share(t.Within010), "", strings.TrimPrefix(p.byEstimate(func(e *analysis.Tracking) string { return share(e.Within010) }), "; "), p.meaning("within")})
	}
	for i := range out { // what is not known has no unit
		if v := out[i].Value; v == unknown || v == notKnown {
			out[i].Value, out[i].Unit = notKnown, ""
		}
	}
	return out
}

// meaning is the text of a definition.
func (p *page) meaning(id string) string {
	for _, d := range p.Definitions {
		if d.ID == id {
			return d.Text
		}
	}
	return ""
}

// byEstimate is what the estimate makes of the same figure: the unit's own PO2 may
// have followed cells that were wrong.
func (p *page) byEstimate(figure func(*analysis.Tracking) string) string {
	if p.TrackingEstimate == nil {
		return ""
	}
	return "; " + say("figures.by-the-estimate", figure(p.TrackingEstimate))
}

// sourceWords says in words whose PO2 a dose rests on.
func sourceWords(source string) string {
	switch source {
	case "unit":
		return say("source.unit")
	case "mid-value":
		return say("source.mid-value")
	case "model":
		return say("source.model")
	case "model-high":
		return say("source.model-high")
	}
	return orUnknown(source)
}

func orUnknown(s string) string {
	if s == "" {
		return notKnown
	}
	return s
}

func assumed(yes bool) string {
	if yes {
		return say("figures.assumed-the-log-does-not")
	}
	return say("figures.as-stated-in-the-log")
}

func onOpen(f analysis.DiveFacts) string {
	if f.OpenCircuitS.Known() && f.OpenCircuitS > 0 {
		return say("figures.and-open", duration(f.OpenCircuitS))
	}
	return ""
}

func openGas(f analysis.DiveFacts) string {
	if f.OpenCircuitGas == "" {
		return ""
	}
	return say("figures.open-gas", f.OpenCircuitGas)
}

func (p *page) headlineNote() string {
	h := p.Exposure.Headline
	return say("figures.by", sourceWords(h.Source)) + rangeNote("; ", p.Debrief, "")
}

// HeadlineText is the exposure's headline in one sentence.
func (p *page) HeadlineText() string { return headlineText(p.Debrief) }

func headlineText(d *analysis.Debrief) string {
	h := d.Exposure.Headline
	if !h.CNSPercent.Known() {
		return say("figures.no-exposure-could-be-computed")
	}
	s := say("figures.cns-and-otu-by-the",
		cnsText(h.CNSPercent, h.IsLowerBound), rangeNote(" (", d, ")"), fixed(h.OTU, 0), sourceWords(h.Source))
	if d.Dive.Cells == 1 {
		s += " " + say("figures.one-cell")
	}
	return s
}

// rangeNote is the headline's range, where it is one. A lower bound has no range: it
// is the least that its own source allows, and the other sources say what the
// figure may have been instead.
func rangeNote(before string, d *analysis.Debrief, after string) string {
	h := d.Exposure.Headline
	if h.IsLowerBound {
		if s := strings.Join(boundNotes(d), "; "); s != "" {
			return before + s + after
		}
		return ""
	}
	if s := between(h.Low, h.High, percent); s != percent(h.CNSPercent) && s != unknown {
		return before + say("figures.range", s) + after
	}
	return ""
}

// boundNotes are what is known beside a headline that is a lower bound.
func boundNotes(d *analysis.Debrief) []string {
	h := d.Exposure.Headline
	var out []string
	if h.Low.Known() && percent(h.Low) != percent(h.CNSPercent) {
		out = append(out, say("figures.others-from", percent(h.Low)))
	}
	switch {
	case !h.High.Known():
		out = append(out, say("figures.nothing-bounds"))
	case percent(h.High) != percent(h.CNSPercent):
		out = append(out, say("figures.gaps-up-to", "≥ "+percent(h.High)))
	}
	for _, s := range d.Exposure.BySource {
		if s.Source == h.Source && s.SecondsAboveTable > 0 {
			out = append(out, say("figures.beyond", duration(s.SecondsAboveTable)))
		}
	}
	return out
}

// trackingRow is one line of the table of tracking.
type trackingRow struct {
	Source, Part                             string
	AssessedS, MeanErrorBar, MAEBar, RMSEBar analysis.Float
	IAEBarS, Within005, Within010            analysis.Float
}

// trackings are those that were computed: on the unit's PO2, on the estimate.
func (p *page) trackings() []*analysis.Tracking {
	var out []*analysis.Tracking
	for _, t := range []*analysis.Tracking{p.Tracking, p.TrackingEstimate} {
		if t != nil {
			out = append(out, t)
		}
	}
	return out
}

// TrackingRows are the whole dive and its phases, for each source.
func (p *page) TrackingRows() []trackingRow {
	var rows []trackingRow
	for _, t := range p.trackings() {
		rows = append(rows, trackingRow{t.Source, "all", t.AssessedS, t.MeanErrorBar, t.MAEBar, t.RMSEBar, t.IAEBarS, t.Within005, t.Within010})
		for _, ph := range t.ByPhase {
			rows = append(rows, trackingRow{t.Source, ph.Phase, ph.AssessedS, ph.MeanErrorBar, ph.MAEBar, ph.RMSEBar, 0, ph.Within005, ph.Within010})
		}
	}
	return rows
}

// TrackingNotes are the remarks on tracking.
func (p *page) TrackingNotes() []string {
	var all [][]string
	for _, t := range p.trackings() {
		var notes []string
		if t.UnattainableS > 0 {
			notes = append(notes, say("figures.on-for-the-set-point", duration(t.UnattainableS)))
		}
		if t.AboveDryS > 0 {
			notes = append(notes, say("figures.on-for-the-set-point-2", duration(t.AboveDryS)))
		}
		if t.OscillationHalfWaves > 0 {
			notes = append(notes, say("figures.on-oscillation-with-period-about", plural(t.OscillationHalfWaves, say("word.half-wave"), say("word.half-waves")), duration(t.OscillationPeriodS)))
		}
		all = append(all, notes)
	}
	if len(all) == 2 && slices.Equal(all[0], all[1]) { // the same of both sources
		all = all[:1]
		for i, n := range all[0] {
			all[0][i] = strings.ToUpper(n[:1]) + n[1:]
		}
		return all[0]
	}
	var out []string
	for k, t := range p.trackings() {
		for _, n := range all[k] {
			out = append(out, say("figures.tracking-note", t.Source, n))
		}
	}
	return out
}

// change is one response to a change of set point, with its source.
type change struct {
	Source string
	analysis.SetPointChange
}

// TrackingChanges are the responses to changes of set point.
func (p *page) TrackingChanges() []change {
	var out []change
	for _, t := range p.trackings() {
		for _, c := range t.Changes {
			out = append(out, change{t.Source, c})
		}
	}
	return out
}

// CellMVs are the cells with millivolts.
func (p *page) CellMVs() []analysis.Cell {
	var out []analysis.Cell
	for _, c := range p.Cells {
		if c.MV != nil {
			out = append(out, c)
		}
	}
	return out
}

// ManualVotes are the votes that were made by hand, cell by cell.
func (p *page) ManualVotes() []analysis.VotedOut {
	var out []analysis.VotedOut
	for _, c := range p.Cells {
		out = append(out, c.ManualVotes...)
	}
	return out
}
