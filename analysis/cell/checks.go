package cell

import (
	"fmt"
	"math"
)

// listChecks says for each cell and kind whether the question could be answered.
func (d *dive) listChecks(out *Diagnosis, v *verdict) {
	for i := range d.y {
		for _, k := range []Kind{Slow, Limited, Miscalibrated, Drifting, Frozen, Erratic} {
			reason := d.whyNot(out, v, i, k)
			out.Checks = append(out.Checks, Check{Kind: k, Cell: d.CellNumber[i], Assessed: reason == "", Reason: reason})
		}
	}
}

// whyNot is the reason why a question can't be answered, or empty.
func (d *dive) whyNot(out *Diagnosis, v *verdict, i int, k Kind) string {
	r := out.Cells[i]
	minutes := (d.TimeS[d.Rows()-1] - d.TimeS[0]) / 60
	switch {
	case out.NotFollowing != nil && (k == Slow || k == Limited) && !out.named(r.Cell, k):
		return noneFollows
	case d.tooCoarseFor(i, k) != "" && !out.named(r.Cell, k):
		return d.tooCoarseFor(i, k)
	case d.n < 2 && k != Slow:
		return "no other cell to compare it with"
	case k == Slow && !r.T90S.Known():
		return r.T90S.Reason
	case k == Slow && len(out.excitations) < 2:
		return fmt.Sprintf("PO2 moved by %.2f bar or more only %d times", d.p.StepBar, len(out.excitations))
	case k == Slow && math.IsInf(r.T90S.High, 1):
		return "nothing moved fast enough"
	case k == Limited && !r.CeilingBar.Known() && math.IsNaN(r.CeilingBar.Low):
		return r.CeilingBar.Reason
	case k == Miscalibrated && !r.Gain.Known():
		return r.Gain.Reason
	case k == Drifting && !r.DriftPerH.Known():
		return r.DriftPerH.Reason
	case k == Drifting && minutes < d.p.DriftLeastS/60:
		return fmt.Sprintf("the record lasts %.0f min", minutes)
	case k == Frozen && !d.anyMove(i):
		return fmt.Sprintf("the others move by less than %.2f bar", d.p.FrozenMoveBar)
	}
	return ""
}

// anyMove tells whether the other cells move enough to show a frozen one.
func (d *dive) anyMove(i int) bool {
	lo, hi := extremes(d.others(i))
	return hi-lo >= d.p.FrozenMoveBar
}
