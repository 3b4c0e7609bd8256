package report

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/ingest"
)

// topPO2Bar bounds the PO2 axes. Readings above (9.99 is a display's limit)
// would press everything else flat; they run off the top, and a remark says so.
const topPO2Bar = 3.0

var auto = math.NaN()

// drawCharts makes all drawings of a debrief; nil where it carries no series.
func drawCharts(d *analysis.Debrief) []chart {
	s := d.Series
	if s == nil || len(s.TimeS) == 0 {
		return nil
	}
	g := &drawing{d: d, s: s, clock: newClock(d.Dive.FirstS), open: openCircuit(s)}
	charts := []chart{g.diveChart(), g.cellsChart(), g.voteChart(), g.trackingChart(), g.injectionChart(), g.exposureChart()}
	charts = append(charts, g.supplyChart()...)
	charts = append(charts, g.gasCharts()...)
	return append(charts, g.halvesCharts()...)
}

func (g *drawing) diveChart() chart {
	s, f := g.s, g.d.Dive
	depth := panel{name: say("chart.depth-m"), height: 190, inverse: true, min: 0, max: auto, phases: true}
	if known(s.DepthM) {
		depth.lines = append(depth.lines, g.line(colDepth, say("chart.depth"), say("chart.depth"), "m", strokeDepth, 1, s.DepthM))
	} else if known(s.AmbientBar) {
		depth = panel{name: say("chart.ambient-pressure-bar"), height: 190, inverse: true, min: auto, max: auto, phases: true,
			lines: []line{g.line(colAmbient, say("chart.ambient-pressure"), say("chart.ambient"), "bar", strokeDepth, 2, s.AmbientBar)}}
	}
	depth.lines = append(depth.lines, g.eventLines()...)
	po2 := g.po2Panel(110, append(append(g.unitLines(), g.setPointLines()...), g.bandLines()...)...)
	msg := say("chart.no-depth")
	if f.MaxDepthM.Known() {
		msg = say("chart.deepest-m-under-water", atLeast(g.d)+fixed(f.MaxDepthM, 1), duration(f.SubmergedS))
	}
	if len(f.SetPointsBar) > 0 {
		msg += say("dive.set-points", list(f.SetPointsBar, bar))
	}
	return g.build(chart{ID: "dive", Title: say("chart.dive"), Message: msg + ".", Remarks: g.po2Remarks(po2)}, depth, po2)
}

func (g *drawing) cellsChart() chart {
	p := g.po2Panel(250, g.unitLines()...)
	for k, c := range g.s.Cells {
		p.lines = append(p.lines, g.line(colCell(c.Number), say("chart.cell", c.Number), fmt.Sprint(c.Number), "bar", numbered(k), 3, c.PO2Bar))
	}
	p.lines = append(p.lines, g.estimateLines()...)
	p = g.capped(p)
	return g.build(chart{ID: "cells", Title: say("chart.cells"), Message: g.cellsMessage(), Remarks: g.po2Remarks(p)}, p)
}

func (g *drawing) cellsMessage() string {
	most := analysis.Value{Value: analysis.Float(notANumber)}
	cell := 0
	for _, c := range g.d.Cells {
		if v := c.MaxFromMedian; v.Value.Known() && !(math.Abs(float64(v.Value)) <= math.Abs(float64(most.Value))) {
			most, cell = v, c.Cell
		}
	}
	if cell == 0 {
		return say("chart.readings-of", plural(len(g.s.Cells), say("word.cell"), say("word.cells")))
	}
	return say("chart.farthest-from-the-median-of", cell, signed(most.Value), g.clock.at(most.AtS))
}

// po2Panel is a panel of pressures with the axis bounded.
func (g *drawing) po2Panel(height int, lines ...line) panel {
	return g.capped(panel{name: say("chart.po2-bar"), height: height, min: auto, max: auto, lines: lines})
}

func (g *drawing) capped(p panel) panel {
	if highest(p.lines) > topPO2Bar {
		p.max = topPO2Bar
	}
	return p
}

func highest(lines []line) float64 {
	top := 0.0
	for _, ln := range lines {
		for _, v := range ln.values {
			if v > top && !math.IsInf(v, 0) {
				top = v
			}
		}
	}
	return top
}

func (g *drawing) po2Remarks(p panel) []string {
	top := highest(p.lines)
	if top <= topPO2Bar {
		return nil
	}
	return []string{say("chart.the-drawing-ends-at-bar", bar(topPO2Bar), bar(analysis.Float(top)))}
}

func (g *drawing) unitLines() []line {
	if !known(g.s.UnitPO2Bar) {
		return nil
	}
	return []line{g.line(colUnit, say("chart.unit-po2"), say("chart.unit"), "bar", strokeUnit, 3, g.s.UnitPO2Bar)}
}

func (g *drawing) setPointLines() []line {
	if !known(g.s.SetPointBar) {
		return nil
	}
	return []line{g.line(colSetPoint, say("chart.set-point"), say("chart.set-point"), "bar", strokeSetPoint, 3, g.s.SetPointBar)}
}

// estimateLines are the estimate with its band, and PO2 by helium.
func (g *drawing) estimateLines() []line {
	lines := g.bandLines()
	if s := g.s; known(s.HeliumBar) {
		lines = append(lines, g.line(colHelium, say("chart.po2-by-helium"), say("chart.helium"), "bar", strokeHelium, 3, s.HeliumBar))
	}
	return lines
}

// bandLines are the estimate and the ends of its band.
func (g *drawing) bandLines() []line {
	s := g.s
	var lines []line
	if known(s.EstimateBar) {
		lines = append(lines, g.line(colEstimate, say("chart.estimate"), say("chart.est"), "bar", strokeEstimate, 3, s.EstimateBar))
	}
	if known(s.EstimateLowBar) && known(s.EstimateHighBar) {
		lines = append(lines, g.line(colLow, say("chart.estimate-low-end-95"), "", "bar", strokeBand, 3, s.EstimateLowBar),
			g.line(colHigh, say("chart.estimate-high-end-95"), "", "bar", strokeBand, 3, s.EstimateHighBar))
	}
	return lines
}

// eventLines marks the log's events on the depth line.
func (g *drawing) eventLines() []line {
	if len(g.d.Recording.Events) == 0 || !known(g.s.DepthM) {
		return nil
	}
	var data []point
	for i, e := range g.d.Recording.Events {
		if i >= maxBands {
			break
		}
		if row := rowAt(g.s.TimeS, float64(e.AtS)); row >= 0 && !math.IsNaN(g.s.DepthM[row]) {
			data = append(data, point{g.s.TimeS[row], g.s.DepthM[row]}, point{g.s.TimeS[row], math.NaN()})
		}
	}
	if len(data) == 0 {
		return nil
	}
	return []line{{name: say("chart.events-in-the-log"), unit: "m", stroke: stroke{inkOrange, "solid", 0}, decimals: 1, data: data, symbol: "diamond", mute: true}}
}

func list(v []analysis.Float, print func(analysis.Float) string) string {
	parts := make([]string, len(v))
	for i, x := range v {
		parts[i] = print(x)
	}
	return strings.Join(parts, ", ")
}

// unitOut tells whether the unit recorded the cell as voted out.
func unitOut(v ingest.UnitVote) bool { return v == ingest.VoteOut || v == ingest.VoteManualOut }
