package bench

import (
	"fmt"
	"io"
	"math"

	"afterloop/analysis/bench"
	"afterloop/report"
	"afterloop/report/paper"
)

// cellsPage is what the template of a cell test sees.
type cellsPage struct {
	paper.Frame
	*bench.CellReport
	Time  *paper.Plot
	Cells []cellView
}

// cellData is embedded under a name of its own, since a cell has a field Cell.
type cellData = bench.Cell

// cellView is one cell with its drawing.
type cellView struct {
	cellData
	Plot *paper.Plot
}

// WriteCells writes the page of a test of cells.
func WriteCells(w io.Writer, r *bench.CellReport) error {
	title := r.Test.Name
	if title == "" {
		title = "Test of cells in a pressure pot"
	}
	p := cellsPage{Frame: paper.NewFrame(title, "Cell linearity test on the bench"), CellReport: r}
	p.Safety, p.Caution, p.By, p.ByVersion, p.SchemaID = bench.Safety, bench.OxygenCaution, r.Tool.Name, r.Tool.Version, r.Schema
	if r.Series != nil && len(r.Series.TimeS) > 1 {
		p.Time = potPlot(r)
	}
	for _, c := range r.Cells {
		p.Cells = append(p.Cells, cellView{c, departurePlot(r, c)})
	}
	return write(w, "cells.html", p)
}

// potPlot is the pot over time: pressure and PO2, the levels shaded.
func potPlot(r *bench.CellReport) *paper.Plot {
	s := r.Series
	_, high := paper.Extent(s.PressureBar, s.PO2Bar)
	from, to := s.TimeS[0], s.TimeS[len(s.TimeS)-1]
	p := paper.NewPlot("pot", "The pot", fmt.Sprintf("Pressure up to %s bar absolute, PO2 up to %s bar; shaded: the levels that were read.", paper.Value(r.Test.MaxBar, 2), paper.Value(r.Test.MaxPO2Bar, 2)),
		"time, s", "bar", [2]float64{from, to}, [2]float64{0, high * 1.05})
	for k, l := range r.Levels {
		p.Shade(float64(l.FromS), float64(l.ToS), "judged", fmt.Sprint(k+1))
	}
	p.Line("pressure", report.NumberedStroke(0), s.TimeS, s.PressureBar)
	p.Line("PO2", report.NumberedStroke(1), s.TimeS, s.PO2Bar)
	p.SpreadLabels()
	return p
}

// departurePlot is a cell's departure from its own line over PO2.
func departurePlot(r *bench.CellReport, c bench.Cell) *paper.Plot {
	var xs, lows, highs, limits []float64
	for i, pt := range c.Points {
		if pt.Departure.Value.Known() {
			xs = append(xs, float64(r.Levels[i].PO2Bar))
			lows, highs = append(lows, float64(pt.Departure.Low)), append(highs, float64(pt.Departure.High))
			limits = append(limits, float64(pt.LimitBar))
		}
	}
	if len(xs) == 0 {
		return nil
	}
	low, _ := paper.Extent(lows, limits)
	_, high := paper.Extent(highs, limits)
	_, limit := paper.Extent(limits)
	_, right := paper.Extent(xs)
	msg := "Reading less the cell's own line; dashed: the limit. Filled: on the way up; ring: on the way down; cross: beyond the limit, either way."
	p := paper.NewPlot(fmt.Sprintf("cell%d", c.Cell), fmt.Sprintf("Cell %d: departure from the line", c.Cell), msg, "PO2 in the pot, bar", "departure, bar",
		[2]float64{0, right * 1.04}, paper.Around(math.Min(low, -limit), math.Max(high, limit), 0.06))
	zero := []float64{0, right * 1.04}
	p.Line("", report.MutedStroke(), zero, []float64{0, 0})
	par := r.Parameters
	edge := []float64{par.DepartureBar, par.DepartureFraction*zero[1] + par.DepartureBar}
	p.Line("limit", report.LimitStroke(), zero, edge)
	p.Line("", report.LimitStroke(), zero, []float64{-edge[0], -edge[1]})
	for i, pt := range c.Points {
		shape := "dot"
		switch {
		case pt.State == "beyond":
			shape = "cross"
		case !r.Levels[i].Rising:
			shape = "ring"
		}
		d := pt.Departure
		p.Point(float64(r.Levels[i].PO2Bar), float64(d.Value), float64(d.Low), float64(d.High), shape, report.NumberedStroke(c.Cell-1),
			fmt.Sprintf("level %d, PO2 %s bar: %s bar, %s", pt.Level, paper.Value(r.Levels[i].PO2Bar, 2), paper.Range95(d, 3), pt.State))
	}
	return p
}
