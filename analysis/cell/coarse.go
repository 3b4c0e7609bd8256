package cell

import (
	"fmt"
	"math"
)

// Rounding limits what a cell's readings can tell. While its step is not much more
// than the noise, the noise moves readings across the step's edges and means over
// blocks keep little of it. A coarser step stays: a quiet PO2 shows one reading for
// minutes, off by up to half a step, and two cells with nothing wrong differ by a
// step, or differ now and agree then. So from CoarseStepBar on
//
//   - a residual between two cells has the scale CoarseScaleRel of their steps, not
//     the 1/sqrt(12) of an error that changes from row to row;
//   - what is said to move or to jump must do so by more than rounding can feign;
//   - beyond TooCoarseBar cells are not compared at all: the thresholds of the
//     faults are a few hundredths of a bar, and the log can't tell them from rounding.

// coarse tells whether a cell's rounding is coarser than noise hides.
func (d *dive) coarse(k int) bool { return d.CellStepBar[k] > d.p.CoarseStepBar }

// tooCoarse tells whether a cell's rounding is too coarse to compare it with others.
func (d *dive) tooCoarse(k int) bool { return d.CellStepBar[k] > d.p.TooCoarseBar }

// scatter is the scale of a cell's part of a residual.
func (d *dive) scatter(k int) float64 {
	if !d.coarse(k) {
		return d.noise[k]
	}
	return math.Max(d.noise[k], d.p.CoarseScaleRel*d.CellStepBar[k])
}

// feigned is how far rounding alone can move the difference between cell k and the
// others, or one of them: half a step of each, either way; 0 where noise hides it.
func (d *dive) feigned(k int) float64 {
	widest := 0.0
	for j := range d.y {
		if j != k && d.coarse(j) {
			widest = math.Max(widest, d.CellStepBar[j])
		}
	}
	if d.coarse(k) {
		widest += d.CellStepBar[k]
	}
	return widest
}

// leaveOutCoarse takes the readings that are too coarse out of what follows.
func (d *dive) leaveOutCoarse() {
	for k := range d.y {
		if d.tooCoarse(k) {
			d.blankReadings(k, math.Inf(-1), math.Inf(1))
		}
	}
}

// withdraw takes back the figures of cells that were left out: without readings they
// would be those of a sound cell.
func (d *dive) withdraw(out *Diagnosis, v *verdict) {
	for k := range d.y {
		if d.tooCoarse(k) {
			v.good[k] = false
			nothing := unknown(d.tooCoarseFor(k, Slow))
			r := &out.Cells[k]
			r.T90S, r.Gain, r.CeilingBar, r.DriftPerH = nothing, nothing, nothing, nothing
		}
	}
}

// named tells whether a cell was found to have a fault.
func (out *Diagnosis) named(cell int, k Kind) bool {
	for _, f := range out.Faults {
		if f.Cell == cell && f.Kind == k && !f.Borderline {
			return true
		}
	}
	return false
}

// tooCoarseFor is the reason why rounding keeps a question about cell k open, or empty.
func (d *dive) tooCoarseFor(k int, of Kind) string {
	rounded := fmt.Sprintf("the readings are rounded to %.3g bar", d.CellStepBar[k])
	switch {
	case of == Frozen && d.tooCoarse(k):
		return rounded + ": a quiet PO2 shows one reading for minutes"
	case of == Erratic && d.coarse(k):
		return fmt.Sprintf("%s: excursions of %.2f to %.2f bar can't be told from it", rounded, d.p.ErraticExcursionBar, d.p.ErraticExcursionBar+d.feigned(k))
	case d.tooCoarse(k):
		return rounded + ", too coarse to compare cells by"
	}
	return ""
}
