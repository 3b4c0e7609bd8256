package ingest

import (
	"fmt"
	"math"

	"afterloop/analysis/gas"
)

// setCells makes the cells from their columns.
func (rd *reader) setCells(d *Dive) {
	for _, n := range rd.t.cellNumbers() {
		d.Cells = append(d.Cells, rd.cell(n, d))
	}
	for i := range d.Cells {
		if recordedValues(d.Cells[i].PO2Bar) > 0 {
			return
		}
	}
	rd.problems.add(wholeFile, wholeFile, Problem{Line: rd.headerLine, Read: rd.headerText, Severity: Warning, Code: "no-readings",
		Treatment: "a log in which no cell has a reading", Want: wantCells})
}

func recordedValues(x []float64) int {
	n := 0
	for _, v := range x {
		if !IsMissing(v) {
			n++
		}
	}
	return n
}

func (rd *reader) cell(n int, d *Dive) Cell {
	cell := Cell{Number: n, CalMV: Missing(), CalPO2Bar: Missing()}
	if m := rd.meta.cells[n]; m != nil {
		cell.Serial, cell.Installed, cell.CalMV, cell.CalPO2Bar = m.serial, m.installed, m.calMV, m.calPO2Bar
	}
	mv := rd.t.find(columnKey{quantity: cellMVQuantity, number: n})
	if mv != nil {
		cell.MV = mv.values
	}
	if IsMissing(cell.CalPO2Bar) && (mv != nil || !IsMissing(cell.CalMV)) {
		cell.CalPO2Bar = d.Meta.Calibration.PO2Bar()
	}
	if vote := rd.t.find(columnKey{quantity: cellVoteQuantity, number: n}); vote != nil {
		cell.Vote = make([]UnitVote, len(vote.codes))
		for i, v := range vote.codes {
			cell.Vote[i] = UnitVote(v)
		}
	}
	po2 := rd.t.find(columnKey{quantity: cellPO2Quantity, number: n})
	calibrated := mv != nil && !IsMissing(cell.CalPO2Bar/cell.CalMV)
	if po2 == nil || recorded(po2) == nil && calibrated {
		rd.fromMV(&cell, mv)
		return cell
	}
	cell.PO2Bar, cell.StepBar, cell.AtDisplayLimit = po2.values, po2.step(), atDisplayLimit(po2)
	return cell
}

// PO2Bar is the PO2 of the calibration gas, NaN where the log does not state
// gas and pressure:
//
//	PO2 = O2 (P - pH2O)
//
// with pH2O the saturated vapour at the temperature stated, or at 37 C, where
// the gas was humid, else 0.
func (c Calibration) PO2Bar() float64 {
	dry := c.PressureBar
	if c.Humid != nil && *c.Humid {
		temp := c.TempC
		if IsMissing(temp) {
			temp = bodyTempC
		}
		dry = gas.Dry(dry, gas.SaturatedVapourBar(temp))
	}
	return c.GasO2 * dry
}

const bodyTempC = 37

// fromMV computes PO2 from millivolts: PO2 = mV calPO2 / calmV.
func (rd *reader) fromMV(cell *Cell, mv *column) {
	perMV := cell.CalPO2Bar / cell.CalMV
	if IsMissing(perMV) {
		rd.problems.add(wholeFile, wholeFile, Problem{Line: mv.line, Column: mv.name, Read: mv.name, Severity: Warning, Code: "no-calibration",
			Treatment: "millivolts whose PO2 is not known",
			Want:      fmt.Sprintf("cell%[1]d_cal_mv, and cell%[1]d_cal_po2_bar or cal_gas_o2 with cal_pressure_bar", cell.Number)})
		cell.PO2Bar = rd.t.missingSeries()
		return
	}
	cell.FromMV = true
	cell.StepBar = mv.step() * perMV
	cell.PO2Bar = mapSeries(cell.MV, func(v float64) float64 { return v * perMV })
	rd.dropImpossiblePO2(cell, mv)
}

// dropImpossiblePO2 leaves out what millivolts cannot mean; the millivolts stay.
func (rd *reader) dropImpossiblePO2(cell *Cell, mv *column) {
	for i, p := range cell.PO2Bar {
		if p < 0 || p > maxPO2Bar || math.IsInf(p, 0) {
			rd.problems.add(wholeFile, i, Problem{Line: rd.t.line[i], Column: mv.name, Read: mv.asWritten(cell.MV[i]), Severity: Warning,
				Code: "impossible", Treatment: "a PO2 that is not recorded; the millivolts are kept", Want: fmt.Sprintf("millivolts that give 0 to %d bar", maxPO2Bar)})
			cell.PO2Bar[i] = Missing()
		}
	}
}
