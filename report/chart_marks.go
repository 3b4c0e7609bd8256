package report

import (
	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"afterloop/analysis"
)

// maxBands bounds how many bands of one kind a panel draws; the lists of the
// report and the JSON hold all of them.
const maxBands = 150

// mark puts bands (gaps, open circuit, phases) and limits on a panel's first line.
func (g *drawing) mark(s *charts.SingleSeries, p panel) {
	var bands []any
	if p.phases {
		bands = append(bands, g.phaseBands()...)
	}
	bands = append(bands, levelBands(p.bands)...)
	bands = append(bands, spanBands(g.open, say("chart.open-circuit"), toneOpen)...)
	bands = append(bands, spanBands(g.d.Recording.Gaps, say("chart.gap"), toneGap)...)
	if len(bands) > 0 {
		s.MarkAreas = &opts.MarkAreas{Data: bands}
	}
	if len(p.limits) > 0 {
		s.MarkLines = limitLines(p.limits)
	}
}

func (g *drawing) phaseBands() []any {
	var bands []any
	first, last := g.s.TimeS[0], g.s.TimeS[len(g.s.TimeS)-1]
	for i, ph := range g.d.Dive.Phases {
		if i >= maxBands {
			break
		}
		name := ph.Kind
		if float64(ph.ToS-ph.FromS) < 0.07*(last-first) {
			name = "" // too narrow for a word
		}
		tone := tonePhaseA
		if i%2 == 1 {
			tone = tonePhaseB
		}
		bands = append(bands, band(ph.FromS, ph.ToS, name, tone)...)
	}
	return bands
}

func spanBands(spans []analysis.Span, name string, tone ink) []any {
	var bands []any
	for i, sp := range spans {
		if i >= maxBands {
			break
		}
		bands = append(bands, band(sp.FromS, sp.ToS, name, tone)...)
	}
	return bands
}

// band is one upright band; none where an end is not known.
func band(from, to analysis.Float, name string, tone ink) []any {
	if !from.Known() || !to.Known() {
		return nil
	}
	at := "insideBottom" // phases have their words at the top
	if tone == tonePhaseA || tone == tonePhaseB {
		at = "insideTop"
	}
	style := opts.MarkAreaStyle{
		ItemStyle: &opts.ItemStyle{Color: tone.light},
		Label:     &opts.Label{Show: opts.Bool(name != ""), Color: inkLabel.light, Position: at, FontSize: 10},
	}
	return []any{[]opts.MarkAreaData{
		{Name: name, XAxis: float64(from), MarkAreaStyle: style},
		{XAxis: float64(to)},
	}}
}

// levelEnd is one side of a level band. go-echarts' own type spells the key
// "YAxis", which the drawing library does not know.
type levelEnd struct {
	YAxis     float64         `json:"yAxis"`
	ItemStyle *opts.ItemStyle `json:"itemStyle,omitempty"`
}

// levelBands tone every other lane.
func levelBands(spans [][2]float64) []any {
	var bands []any
	for i, sp := range spans {
		if i%2 == 0 {
			bands = append(bands, []levelEnd{{sp[0], &opts.ItemStyle{Color: tonePhaseA.light}}, {sp[1], nil}})
		}
	}
	return bands
}

func limitLines(limits []limit) *opts.MarkLines {
	m := &opts.MarkLines{MarkLineStyle: opts.MarkLineStyle{
		Symbol:    []string{"none", "none"},
		Label:     &opts.Label{Show: opts.Bool(true), Position: "end", Formatter: "{b}", Color: inkLabel.light, FontSize: 10},
		LineStyle: &opts.LineStyle{Color: inkGrey.light, Width: 1, Type: "dashed"},
	}}
	for _, l := range limits {
		m.Data = append(m.Data, limitLine{opts.MarkLineNameYAxisItem{Name: l.label, YAxis: l.value},
			&opts.LineStyle{Color: inkGrey.light, Width: 1, Type: l.dash}})
	}
	return m
}

// limitLine is a mark line with a pattern of its own.
type limitLine struct {
	opts.MarkLineNameYAxisItem
	LineStyle *opts.LineStyle `json:"lineStyle"`
}

// openCircuit returns the stretches in which the diver was not on the loop.
func openCircuit(s *analysis.Series) []analysis.Span {
	var spans []analysis.Span
	start := -1
	for i, on := range s.OnLoop {
		if !on && start < 0 {
			start = i
		}
		if start >= 0 && (on || i == len(s.OnLoop)-1) {
			spans = append(spans, analysis.Span{FromS: analysis.Float(s.TimeS[start]), ToS: analysis.Float(s.TimeS[i])})
			start = -1
		}
	}
	return spans
}
