package ingest

import (
	"fmt"
	"math"
)

// Check verifies what package analysis relies on, and says the first rule that
// does not hold; [Read] never returns a dive that breaks one.
//
//   - there is a row and a cell; every series that is not nil has one element per row
//   - TimeS is finite and strictly increasing; Line is positive
//   - AmbientBar is there, and above 0 and finite where it is not NaN; it is NaN
//     where the row recorded neither pressure nor depth, never interpolated
//   - every other number is finite or NaN; PO2, set points, valve seconds and
//     cylinder pressures are not negative; helium lies in -0.05 to 1.05, for noise
//   - cells (at most [MaxCells]), valves and other numbered parts are from 1,
//     ascending, each once; halves by their letter
//   - Breathing, OpenGas and Diluent are there; the gases can exist
//   - events and notes are on rows, in their order
//   - surface pressure and density are finite and above 0
func (d *Dive) Check() error {
	checks := []func() error{d.checkTime, d.checkPressure, d.checkCells, d.checkValves, d.checkSeries,
		d.checkNumbered, d.checkGases, d.checkMarks}
	for _, check := range checks {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func broken(format string, args ...any) error {
	return fmt.Errorf("ingest: broken rule: "+format, args...)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (d *Dive) checkTime() error {
	if d.Rows() == 0 {
		return broken("no rows")
	}
	if len(d.Line) != d.Rows() {
		return broken("%d lines for %d rows", len(d.Line), d.Rows())
	}
	for i, tS := range d.TimeS {
		if !finite(tS) || i > 0 && !(tS > d.TimeS[i-1]) {
			return broken("time %g on row %d is not finite and later than the row before", tS, i)
		}
		if d.Line[i] < 1 {
			return broken("row %d has no line", i)
		}
	}
	return nil
}

// series checks length and range; NaN is let pass.
func (d *Dive) series(name string, x []float64, lowest, highest float64) error {
	if x == nil {
		return nil
	}
	if len(x) != d.Rows() {
		return broken("%s has %d elements for %d rows", name, len(x), d.Rows())
	}
	for i, v := range x {
		if v < lowest || v > highest {
			return broken("%s is %g on row %d, outside %g to %g", name, v, i, lowest, highest)
		}
	}
	return nil
}

func (d *Dive) checkPressure() error {
	if d.AmbientBar == nil {
		return broken("no ambient pressure")
	}
	switch d.AmbientFrom {
	case AmbientMeasured, AmbientPressureDepth, AmbientFromDepth:
	default:
		return broken("ambient pressure from %q", d.AmbientFrom)
	}
	for name, v := range map[string]float64{"surface pressure": d.Meta.SurfacePressureBar, "water density": d.Meta.WaterDensityKgM3} {
		if !finite(v) || v <= 0 {
			return broken("%s is %g", name, v)
		}
	}
	if err := d.series("ambient pressure", d.AmbientBar, math.SmallestNonzeroFloat64, math.MaxFloat64); err != nil {
		return err
	}
	return d.series("depth", d.DepthM, -math.MaxFloat64, math.MaxFloat64)
}

func (d *Dive) checkCells() error {
	if len(d.Cells) == 0 || len(d.Cells) > MaxCells {
		return broken("%d cells", len(d.Cells))
	}
	last := 0
	for i := range d.Cells {
		if n := d.Cells[i].Number; n <= last {
			return broken("cell %d after cell %d", n, last)
		}
		last = d.Cells[i].Number
		if err := d.checkCell(&d.Cells[i]); err != nil {
			return err
		}
	}
	return nil
}

func (d *Dive) checkCell(c *Cell) error {
	name := fmt.Sprintf("cell %d", c.Number)
	if len(c.PO2Bar) != d.Rows() {
		return broken("%s has %d readings for %d rows", name, len(c.PO2Bar), d.Rows())
	}
	if c.Vote != nil && len(c.Vote) != d.Rows() || c.AtDisplayLimit != nil && len(c.AtDisplayLimit) != d.Rows() {
		return broken("%s has votes or marks of another length", name)
	}
	for i, v := range c.Vote {
		if v > VoteManualOut {
			return broken("%s has vote %d on row %d", name, v, i)
		}
	}
	if !(c.StepBar >= 0) {
		return broken("%s has step %g", name, c.StepBar)
	}
	if err := d.series(name, c.PO2Bar, 0, math.MaxFloat64); err != nil {
		return err
	}
	return d.series(name+" mV", c.MV, -math.MaxFloat64, math.MaxFloat64)
}

func (d *Dive) checkValves() error {
	last := 0
	for _, v := range d.Valves {
		if v.Number <= last {
			return broken("valve %d after valve %d", v.Number, last)
		}
		last = v.Number
		if v.OpenS == nil {
			return broken("valve %d has no seconds", v.Number)
		}
		for _, x := range [][]float64{v.OpenS, v.Openings} {
			if err := d.series(fmt.Sprintf("valve %d", v.Number), x, 0, math.MaxFloat64); err != nil {
				return err
			}
		}
	}
	return nil
}
