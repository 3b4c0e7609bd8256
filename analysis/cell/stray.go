package cell

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
)

// stray is a stretch of rows from..to (inclusive) in which a cell reads beside the
// others after a jump that no PO2 can make.
type stray struct {
	cell, from, to int
	jumpBar        float64 // the jump, up or down, less what the others did
	ratio          float64 // the cell over the others in the stretch
	lasts          bool    // to the end of the record
}

// findStray looks for cells that jump. PO2 moves no faster than depth and oxygen can
// move it (see [dive.mostMove]); a reading that moves faster, where another cell does
// not follow, and stays away, tells of its own cell only. The others are not
// thereby limited because they did not come along. What happened to the cell the
// log can't say: the stretch is set aside and nobody is named for it.
func (d *dive) findStray(out *Diagnosis) []stray {
	var all []stray
	if d.n < 2 {
		return nil
	}
	for k := range d.y {
		for i := 1; i+1 < d.Rows(); {
			s, ok := d.strayAt(k, i)
			if !ok {
				i++
				continue
			}
			all = joinStray(all, s)
			i = max(i+1, s.to)
		}
	}
	for _, s := range all { // not before all are found: two cells may jump together
		d.setAside(out, s.cell, d.TimeS[s.from], d.TimeS[s.to])
	}
	return all
}

// joinStray adds a stretch to those of the cells so far: the way back from one shows as
// a jump too, and is the same one.
func joinStray(all []stray, s stray) []stray {
	if n := len(all); n > 0 && all[n-1].cell == s.cell && s.from <= all[n-1].to+1 {
		l := &all[n-1]
		l.from, l.to, l.lasts = min(l.from, s.from), max(l.to, s.to), l.lasts || s.lasts
		return all
	}
	return append(all, s)
}

// strayAt judges the step of cell k up to row i: from the row before, and over
// StrayOverS where a cell's own lag has spread the jump.
func (d *dive) strayAt(k, i int) (stray, bool) {
	for _, from := range d.stepsBack(i) {
		move := d.y[k][i] - d.y[k][from]
		if !(math.Abs(move) > d.p.StrayLeastBar) || math.Abs(move) <= d.mostMove(k, from, i)+d.p.StrayLeastBar {
			continue
		}
		quiet := d.quietBeside(k, from, i, move)
		if len(quiet) == 0 {
			continue
		}
		if s, ok := d.departure(k, from, i, quiet); ok {
			return s, true
		}
	}
	return stray{}, false
}

// stepsBack are the rows from which a step to row i is measured: the one before, and
// the first within StrayOverS; none where the gas is not judged or the record has a gap.
func (d *dive) stepsBack(i int) []int {
	far := i - 1
	for far > 0 && d.TimeS[i]-d.TimeS[far-1] <= d.p.StrayOverS {
		far--
	}
	for j := far; j <= i; j++ {
		if !d.Usable(j) || (j < i && d.Gap(j)) {
			return nil
		}
	}
	if far == i-1 {
		return []int{far}
	}
	return []int{i - 1, far}
}

// mostMove is how far PO2 may move between two rows: with the pressure (x dP while the
// loop shrinks or vents, F_dil dP while diluent fills it: METHODS, "The loop"), and by
// oxygen, at StrayOxygenBarS while a valve is open (a little before too, since mixing
// takes some breaths), or at half that all the time where no valve is recorded.
func (d *dive) mostMove(k, from, to int) float64 {
	const lagS, restBarS = 6, 0.01
	a := d.rowAt(d.TimeS[from] - lagS)
	lo, hi := extremes(d.AmbientBar[a : to+1])
	open, dt := 0.0, d.TimeS[to]-d.TimeS[from]
	if len(d.Valves) == 0 {
		open = dt / 2
	}
	for _, v := range d.Valves {
		for i := max(d.rowAt(d.TimeS[from]-2*lagS), 1); i <= to; i++ {
			if s := v.OpenS[i]; s > 0 {
				open += s
			}
		}
	}
	x := math.Min(d.y[k][from]/d.AmbientBar[from], 1)
	if d.FO2Dil != nil && d.FO2Dil[from] > x {
		x = d.FO2Dil[from]
	}
	most := d.p.StrayOxygenBarS*open + restBarS*dt + 4*d.noise[k]
	if x > 0 && hi > lo {
		most += x * (hi - lo)
	}
	return most
}

// quietBeside are the cells that moved less than 0.4 of the step.
func (d *dive) quietBeside(k, from, to int, move float64) []int {
	var out []int
	for j := range d.y {
		if m := d.y[j][to] - d.y[j][from]; j != k && m/move < 0.4 {
			out = append(out, j)
		}
	}
	return out
}

// departure tells whether the step lasts, and from when to when the cell is away: after
// the step until it is back, or, where the cell was further off before, before it.
func (d *dive) departure(k, from, to int, quiet []int) (stray, bool) {
	gap := d.beside(k, quiet)
	before, after := d.medianWithin(gap, to, -d.p.StrayStaysS-(d.TimeS[to]-d.TimeS[from]), -(d.TimeS[to]-d.TimeS[from])), d.medianWithin(gap, to, 0, d.p.StrayStaysS)
	s := stray{cell: k, from: to, to: to, jumpBar: after - before}
	if !(math.Abs(s.jumpBar) > d.p.StrayLeastBar+d.mostMove(k, from, to)/2) {
		return s, false
	}
	if d.offBefore(k, from, to, quiet) {
		s.to = from
		s.from = d.away(gap, from, -1, after, s.jumpBar)
	} else {
		s.to = d.away(gap, to, 1, before, s.jumpBar)
	}
	s.lasts = s.to == d.Rows()-1
	s.ratio = d.ratioWithin(k, quiet, s.from, s.to)
	return s, true
}

// beside is a cell's reading less the median of some others.
func (d *dive) beside(k int, others []int) func(i int) float64 {
	buf := make([]float64, 0, d.n)
	return func(i int) float64 {
		buf = buf[:0]
		for _, j := range others {
			if v := d.y[j][i]; !math.IsNaN(v) {
				buf = append(buf, v)
			}
		}
		return d.y[k][i] - medianOf(buf)
	}
}

// medianWithin is the median of f over the rows from s to e seconds after row i.
func (d *dive) medianWithin(f func(int) float64, i int, s, e float64) float64 {
	var x []float64
	for j := d.rowAt(d.TimeS[i] + s); j < d.Rows() && d.TimeS[j] <= d.TimeS[i]+e+1e-9; j++ {
		if d.TimeS[j] >= d.TimeS[i]+s {
			x = append(x, f(j))
		}
	}
	return loop.Quantile(x, 0.5)
}

// offBefore tells whether the cell was further off its company before the step than
// after it: then the step is a return.
func (d *dive) offBefore(k, from, to int, quiet []int) bool {
	before := math.Abs(math.Log(d.ratioWithin(k, quiet, d.rowAt(d.TimeS[from]-d.p.StrayStaysS), from)))
	after := math.Abs(math.Log(d.ratioWithin(k, quiet, to, d.rowAt(d.TimeS[to]+d.p.StrayStaysS))))
	return before > after+0.02
}

// ratioWithin is the median ratio of a cell to the median of others over rows.
func (d *dive) ratioWithin(k int, others []int, from, to int) float64 {
	gap := d.beside(k, others)
	var x []float64
	for i := from; i <= to; i++ {
		y := d.y[k][i]
		x = append(x, y/(y-gap(i)))
	}
	return loop.Quantile(x, 0.5)
}

// away is the last row, going on from row i by step, before the cell has been back at
// its usual distance for StrayStaysS.
func (d *dive) away(gap func(int) float64, i, step int, usual, jump float64) int {
	near := math.Max(0.05, 0.35*math.Abs(jump))
	last := i
	for j := i; j >= 0 && j < d.Rows(); j += step {
		if v := gap(j); !math.IsNaN(v) && math.Abs(v-usual) > near {
			last = j
		} else if math.Abs(d.TimeS[j]-d.TimeS[last]) > d.p.StrayStaysS {
			return last
		}
	}
	if step < 0 {
		return 0
	}
	return d.Rows() - 1
}

// tellStray records the stretches set aside, but those in which the cell was found
// frozen or erratic: these say more.
func (d *dive) tellStray(out *Diagnosis, all []stray) {
	for _, s := range all {
		from, to := d.TimeS[s.from], d.TimeS[s.to]
		if toldOtherwise(out, d.CellNumber[s.cell], from, to) {
			continue
		}
		until := fmt.Sprintf("to %.0f s", to)
		if s.lasts {
			until = "to the end of the record"
		}
		u := Disagreement{Odd: []int{d.CellNumber[s.cell]}, Ratio: s.ratio, FromS: from,
			Reason: fmt.Sprintf("from %.0f s %s cell %d reads beside the others after a step of %+.2f bar, faster than depth and oxygen move PO2; what happened to it the log does not say, and the stretch is not used",
				from, until, d.CellNumber[s.cell], s.jumpBar)}
		for j, n := range d.CellNumber {
			if j != s.cell {
				u.Cells = append(u.Cells, n)
			}
		}
		out.Undecided = append(out.Undecided, u)
	}
}

// toldOtherwise tells whether a cell is frozen or erratic somewhere in from..to.
func toldOtherwise(out *Diagnosis, cell int, from, to float64) bool {
	for _, f := range out.Faults {
		if f.Cell == cell && (f.Kind == Frozen || f.Kind == Erratic) && !(f.FromS > to) && !(f.ToS < from) {
			return true
		}
	}
	return false
}
