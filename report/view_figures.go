package report

import (
	"fmt"

	"afterloop/analysis"
)

// figure is one entry of the figures at a glance.
type figure struct {
	Name              link
	Value, Unit, Note string
}

// Figures are the figures at a glance.
func (p *page) Figures() []figure {
	f := p.Dive
	out := []figure{
		{link{"", "Duration of the record"}, duration(f.DurationS), "", ""},
		{link{"", "Under water"}, duration(f.SubmergedS), "", ""},
		{link{"", "Greatest depth"}, fixed(f.MaxDepthM, 1), "m", ""},
		{link{"", "Mean depth under water"}, fixed(f.MeanDepthM, 1), "m", ""},
		{link{"", "On the loop"}, duration(f.OnLoopS), "", onOpen(f)},
		{p.Def("headline", "CNS, worst of what may have been breathed"), cnsText(p.Exposure.Headline.CNSPercent, p.Exposure.Headline.IsLowerBound), "", p.headlineNote()},
		{p.Def("otu", "Pulmonary dose"), fixed(p.Exposure.Headline.OTU, 0), "OTU", ""},
		{link{"", "Set points"}, orUnknown(list(f.SetPointsBar, bar)), "bar", ""},
		{p.Def("ambient", "Surface pressure"), bar(f.SurfaceBar), "bar", assumed(f.SurfaceAssumed)},
		{link{"", "Water density"}, fixed(f.DensityKgM3, 0), "kg/m³", assumed(f.DensityAssumed)},
		{link{"", "Diluent"}, orUnknown(f.Diluent), "", openGas(f)},
		{link{"", "Loop volume"}, quantity(f.LoopVolumeL, "L"), "", ""},
	}
	if t := p.Tracking; t != nil {
		out = append(out, figure{p.Def("tracking-error", "Mean |PO2 − set point|"), bar(t.MAEBar), "bar", "over " + duration(t.AssessedS)},
			figure{p.Def("within", "Within 0.10 bar of the set point"), share(t.Within010), "", ""})
	}
	return out
}

func orUnknown(s string) string {
	if s == "" {
		return notKnown
	}
	return s
}

func assumed(yes bool) string {
	if yes {
		return "assumed: the log does not say"
	}
	return "as stated in the log"
}

func onOpen(f analysis.DiveFacts) string {
	if f.OpenCircuitS.Known() && f.OpenCircuitS > 0 {
		return "and " + duration(f.OpenCircuitS) + " on open circuit"
	}
	return ""
}

func openGas(f analysis.DiveFacts) string {
	if f.OpenCircuitGas == "" {
		return ""
	}
	return "open-circuit gas " + f.OpenCircuitGas
}

func (p *page) headlineNote() string {
	h := p.Exposure.Headline
	return "by " + orUnknown(h.Source) + rangeNote("; ", h, "")
}

// HeadlineText is the exposure's headline in one sentence.
func (p *page) HeadlineText() string { return headlineText(p.Debrief) }

func headlineText(d *analysis.Debrief) string {
	h := d.Exposure.Headline
	if !h.CNSPercent.Known() {
		return "No exposure could be computed from this log."
	}
	return fmt.Sprintf("CNS %s%s and %s OTU, by %s: the worst of what may have been breathed.",
		cnsText(h.CNSPercent, h.IsLowerBound), rangeNote(" (", h, ")"), fixed(h.OTU, 0), orUnknown(h.Source))
}

// rangeNote is the headline's range, where it is one.
func rangeNote(before string, h analysis.ExposureHeadline, after string) string {
	if s := between(h.Low, h.High, percent); s != percent(h.CNSPercent) && s != unknown {
		return before + "range " + s + " %" + after
	}
	return ""
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
	var notes []string
	for _, t := range p.trackings() {
		if t.UnattainableS > 0 {
			notes = append(notes, fmt.Sprintf("On %s: for %s the set point lay above ambient pressure and could not be reached; that time is left out.", t.Source, duration(t.UnattainableS)))
		}
		if t.AboveDryS > 0 {
			notes = append(notes, fmt.Sprintf("On %s: for %s the set point lay above the pressure of dry gas.", t.Source, duration(t.AboveDryS)))
		}
		if t.OscillationHalfWaves > 0 {
			notes = append(notes, fmt.Sprintf("On %s: oscillation with %s, period about %s.", t.Source, plural(t.OscillationHalfWaves, "half-wave", "half-waves"), duration(t.OscillationPeriodS)))
		}
	}
	return notes
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
