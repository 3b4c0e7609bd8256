package report

import (
	"bufio"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"math"

	"afterloop/analysis"
)

// Around is what another package puts around a bare record: its own words above
// and below the charts, its style sheet and its script. Before and After must
// come from html/template; CSS and Script are constants of the program.
type Around struct {
	Title, Kind   string
	Before, After template.HTML
	CSS, Script   string
	// Extra are recorded columns that a debrief carries only as a result (the
	// measured helium fraction), to be drawn as they were recorded.
	Extra []ExtraColumn
}

// ExtraColumn is one of them; NaN is "not recorded".
type ExtraColumn struct {
	ID, Name, Short, Unit string
	Decimals              int
	Values                []float64
}

// WriteRecord writes what a log holds and nothing that was concluded from it:
// the recorded columns, drawn on one time axis with cursor and replay, and what
// another package puts around them. Findings, checks, verdicts, the estimate,
// replays of the vote, doses and their texts are not in the page's bytes.
func WriteRecord(w io.Writer, d *analysis.Debrief, a Around) error {
	p, err := newRecordPage(Bare(d), a)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := templates().ExecuteTemplate(out, "record.html", p); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return out.Flush()
}

// Bare is a debrief of which only what was recorded is left. It is built up from
// nothing rather than cut down, so that a field that is added to a debrief stays out.
func Bare(d *analysis.Debrief) *analysis.Debrief {
	b := &analysis.Debrief{Tool: d.Tool, Sources: append([]analysis.Source{}, d.Sources...)}
	b.Parameters.Vote = d.Parameters.Vote // the distance that the panel beside the charts marks
	f := d.Dive
	b.Dive = analysis.DiveFacts{Name: f.Name, Diver: f.Diver, Unit: f.Unit, Start: f.Start, FirstS: f.FirstS, LastS: f.LastS, DurationS: f.DurationS,
		SubmergedS: f.SubmergedS, MaxDepthM: f.MaxDepthM, MeanDepthM: f.MeanDepthM, SampleS: f.SampleS, Cells: f.Cells, Valves: f.Valves,
		SurfaceBar: f.SurfaceBar, SurfaceAssumed: f.SurfaceAssumed, DensityKgM3: f.DensityKgM3, DensityAssumed: f.DensityAssumed,
		Diluent: f.Diluent, OpenCircuitGas: f.OpenCircuitGas, LoopVolumeL: f.LoopVolumeL, OxygenFlowLMin: f.OxygenFlowLMin, SetPointsBar: f.SetPointsBar}
	b.Recording.Gaps, b.Recording.Notes, b.Recording.Events = d.Recording.Gaps, d.Recording.Notes, d.Recording.Events
	if s := d.Series; s != nil {
		b.Series = &analysis.Series{TimeS: s.TimeS, DepthM: s.DepthM, AmbientBar: s.AmbientBar, SetPointBar: s.SetPointBar,
			UnitPO2Bar: s.UnitPO2Bar, Cells: s.Cells, Valves: s.Valves, OnLoop: s.OnLoop, GapAfter: s.GapAfter}
	}
	return b
}

// recordPage is what the template of a bare record sees.
type recordPage struct {
	*page
	A            Around
	RecordPolicy string
	OwnCSS       template.CSS
	OwnScript    template.JS
}

func newRecordPage(d *analysis.Debrief, a Around) (*recordPage, error) {
	p := &page{Debrief: d, clock: newClock(d.Dive.FirstS), CSS: template.CSS(styles()), Script: template.JS(pageScript()),
		EChartsPacked: template.HTML(echartsPacked()), EChartsVersion: echartsField("version")}
	r := &recordPage{page: p, A: a, OwnCSS: template.CSS(a.CSS), OwnScript: template.JS(a.Script),
		RecordPolicy: policy(digest(styles())+digest(a.CSS), echartsDigest()+digest(pageScript())+digest(a.Script))}
	if d.Series == nil || len(d.Series.TimeS) == 0 {
		return r, nil
	}
	g := &drawing{d: d, s: d.Series, clock: p.clock, open: openCircuit(d.Series)}
	p.Charts = []chart{g.diveChart(), g.recordedCells(), g.recordedValves(), g.extraChart(a.Extra)}
	packed := packSeries(d.Series)
	for _, x := range a.Extra {
		if known(x.Values) {
			packed.add(x.ID, x.Values, mostDecimals)
		}
	}
	p.Samples = template.HTML(packed.text.String())
	var err error
	p.Data, err = json.Marshal(p.pageData(packed.Columns))
	return r, err
}

// Drawings are the charts that have something to show.
func (r *recordPage) Drawings() []chart {
	var out []chart
	for _, c := range r.Charts {
		if c.Drawn() {
			out = append(out, c)
		}
	}
	return out
}

// Title is the page's own, not the dive's.
func (r *recordPage) Title() string { return r.A.Title }

// recordedCells are the readings, and below them when the unit had which cell out.
func (g *drawing) recordedCells() chart {
	p := g.po2Panel(280, g.unitLines()...)
	for k, c := range g.s.Cells {
		p.lines = append(p.lines, g.line(colCell(c.Number), say("chart.cell", c.Number), say("record.short", c.Number), "bar", numbered(k), 3, c.PO2Bar))
	}
	p = g.capped(p)
	msg := say("chart.readings-of", plural(len(g.s.Cells), say("word.cell"), say("word.cells"))) + " " + say("record.lanes")
	return g.build(chart{ID: "cells", Title: say("chart.cells"), Message: msg, Remarks: g.po2Remarks(p)}, p, g.lanes())
}

// recordedValves are the seconds that each valve was commanded open.
func (g *drawing) recordedValves() chart {
	var panels []panel
	for k, v := range g.s.Valves {
		if k < maxValvePanels {
			panels = append(panels, g.valvePanel(k, v))
		}
	}
	panels = append(panels, g.po2Panel(140, append(g.unitLines(), g.setPointLines()...)...))
	return g.build(chart{ID: "injection", Title: say("chart.oxygen-injection"), Message: say("record.valves")}, panels...)
}

func (g *drawing) extraChart(extra []ExtraColumn) chart {
	var panels []panel
	for _, x := range extra {
		panels = append(panels, panel{name: x.Name, height: 120, min: math.NaN(), max: math.NaN(),
			lines: []line{g.line(x.ID, x.Name, x.Short, x.Unit, strokeHelium, x.Decimals, x.Values)}})
	}
	return g.build(chart{ID: "extra", Title: say("record.extra"), Message: say("record.extra-message")}, panels...)
}
