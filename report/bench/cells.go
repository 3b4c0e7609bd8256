package bench

import (
	"fmt"
	"html/template"
	"io"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/bench"
	"afterloop/report"
)

// functions are what the templates print with, beside those of package report.
func functions() template.FuncMap {
	return template.FuncMap{"value": value, "range95": range95, "outcomeWord": outcomeWord, "inc": func(i int) int { return i + 1 }}
}

// value prints a figure with n decimals, or a dash.
func value(v analysis.Float, n int) string {
	if !v.Known() {
		return "–"
	}
	return minus(fmt.Sprintf("%.*f", n, float64(v)))
}

// range95 prints an estimate with its interval, or why there is none.
func range95(v analysis.Interval, n int) string {
	if !v.Value.Known() {
		if v.Reason == "" {
			return "–"
		}
		return "– " + v.Reason
	}
	s := value(v.Value, n)
	if v.Low.Known() && v.High.Known() {
		s += " [" + value(v.Low, n) + " to " + value(v.High, n) + "]"
	}
	return s
}

// outcomeWord is an outcome in words for the terminal.
func outcomeWord(o analysis.Outcome) string {
	switch o {
	case analysis.Found:
		return "OUTSIDE"
	case analysis.Borderline:
		return "borderline"
	case analysis.NotFound:
		return "within"
	case analysis.NotAssessed:
		return "NOT ASSESSED"
	}
	return "does not apply"
}

// cellsPage is what the template of a cell test sees.
type cellsPage struct {
	frame
	*bench.CellReport
	Time  *plot
	Cells []cellView
}

// cellData is embedded under a name of its own, since a cell has a field Cell.
type cellData = bench.Cell

// cellView is one cell with its drawing.
type cellView struct {
	cellData
	Plot *plot
}

// WriteCells writes the page of a test of cells.
func WriteCells(w io.Writer, r *bench.CellReport) error {
	title := r.Test.Name
	if title == "" {
		title = "Test of cells in a pressure pot"
	}
	p := cellsPage{frame: newFrame(title, "Cell linearity test on the bench"), CellReport: r}
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
func potPlot(r *bench.CellReport) *plot {
	s := r.Series
	_, high := extent(s.PressureBar, s.PO2Bar)
	from, to := s.TimeS[0], s.TimeS[len(s.TimeS)-1]
	p := newPlot("pot", "The pot", fmt.Sprintf("Pressure up to %s bar absolute, PO2 up to %s bar; shaded: the levels that were read.", value(r.Test.MaxBar, 2), value(r.Test.MaxPO2Bar, 2)),
		"time, s", "bar", [2]float64{from, to}, [2]float64{0, high * 1.05})
	for k, l := range r.Levels {
		p.shade(float64(l.FromS), float64(l.ToS), "judged", fmt.Sprint(k+1))
	}
	p.line("pressure", report.NumberedStroke(0), s.TimeS, s.PressureBar)
	p.line("PO2", report.NumberedStroke(1), s.TimeS, s.PO2Bar)
	p.spreadLabels()
	return p
}

// departurePlot is a cell's departure from its own line over PO2.
func departurePlot(r *bench.CellReport, c bench.Cell) *plot {
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
	low, _ := extent(lows, limits)
	_, high := extent(highs, limits)
	_, limit := extent(limits)
	_, right := extent(xs)
	msg := "Reading less the cell's own line; dashed: the limit. Filled: on the way up, within or beyond; ring: on the way down; cross: beyond the limit."
	p := newPlot(fmt.Sprintf("cell%d", c.Cell), fmt.Sprintf("Cell %d: departure from the line", c.Cell), msg, "PO2 in the pot, bar", "departure, bar",
		[2]float64{0, right * 1.04}, around(math.Min(low, -limit), math.Max(high, limit), 0.06))
	zero := []float64{0, right * 1.04}
	p.line("", report.MutedStroke(), zero, []float64{0, 0})
	par := r.Parameters
	edge := []float64{par.DepartureBar, par.DepartureFraction*zero[1] + par.DepartureBar}
	p.line("limit", report.LimitStroke(), zero, edge)
	p.line("", report.LimitStroke(), zero, []float64{-edge[0], -edge[1]})
	for i, pt := range c.Points {
		shape := "dot"
		switch {
		case pt.State == "beyond":
			shape = "cross"
		case !r.Levels[i].Rising:
			shape = "ring"
		}
		d := pt.Departure
		p.point(float64(r.Levels[i].PO2Bar), float64(d.Value), float64(d.Low), float64(d.High), shape, report.NumberedStroke(c.Cell-1),
			fmt.Sprintf("level %d, PO2 %s bar: %s bar, %s", pt.Level, value(r.Levels[i].PO2Bar, 2), range95(d, 3), pt.State))
	}
	return p
}
