package cell

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
)

// stand is a stretch of rows from..to (inclusive) in which a cell stands still.
type stand struct {
	cell     int
	from, to int
	value    float64 // the reading it stands at
	move     float64 // how far the others move meanwhile
	below    float64 // how far they pass below it, gain removed
	above    float64
	alone    bool // one of the others moves, another stands as well
}

// findFrozen looks for cells that stand still while PO2 moves. A current-limited
// cell at coarse rounding stands still too, but only while PO2 is above it: so
// the others must pass below the reading, or the cell must have read higher
// elsewhere (it has no ceiling there). Since the ratio to the others, and so
// "below", is not to be had from a cell that is limited most of the time, the
// candidates are compared with the others first, and what a ceiling explains is no
// freezing.
func (d *dive) findFrozen(out *Diagnosis) {
	var all []stand
	for k := range d.y {
		ref := d.others(k)
		for _, r := range d.standing(k) {
			d.measure(&r, k, ref)
			if d.frozen(k, r) {
				r.cell = k
				all = append(all, r)
			}
		}
	}
	if len(all) == 0 {
		return
	}
	v := d.relate(d.p.HealthyT90S)
	for _, r := range all {
		if !d.limitedThere(&v, r) {
			f := d.frozenFault(r.cell, r)
			if r.alone || d.TimeS[r.to]-d.TimeS[r.from] < 2*d.usualStand(r.cell, all) {
				f.Confidence = Possible
				f.Alternatives = append(f.Alternatives, "PO2 is quiet, and what moves is another cell's reading alone")
			}
			out.Faults = append(out.Faults, f)
			d.setAside(out, r.cell, d.TimeS[r.from], d.TimeS[r.to])
		}
	}
}

// limitedThere tells whether the cell's relation to the others is that of a quick
// limited one, fits (half a nat for each effective sample at most), and predicts the
// reading at which it stands, within two steps of rounding.
func (d *dive) limitedThere(v *verdict, r stand) bool {
	q, f := &v.pairs[r.cell], v.fits[r.cell]
	if f.shape != ceiling || len(q.y) == 0 || q.t90(f.tau) > d.p.SlowT90S || f.cost > d.p.MisfitNats*q.effective() {
		return false
	}
	predict := q.predict(f)
	within := math.Max(2*d.CellStepBar[r.cell], 2*d.p.ModelBar)
	for k, b := range d.blocks {
		if q.weight[k] > 0 && b.from >= r.from && b.to <= r.to && math.Abs(predict(k)-r.value) > within {
			return false
		}
	}
	return true
}

// frozen applies the definition; and, short of it, two things that no sound cell does:
// stand for FrozenLongS while PO2 passes by five of its steps of rounding and half as
// far as the definition asks, and passes below it or although the cell's own noise
// otherwise changes its reading every few rows.
func (d *dive) frozen(k int, r stand) bool {
	const steps = 5
	if r.alone && d.tooCoarse(k) {
		return false
	}
	if r.move >= d.beyondRounding(k, d.p.FrozenMoveBar) {
		return r.below >= d.leastBelow(k) || d.noCeiling(k, r) || d.neverMoves(r)
	}
	least := math.Max(d.p.FrozenMoveBar/2, steps*d.CellStepBar[k])
	long := d.TimeS[r.to]-d.TimeS[r.from] >= d.p.FrozenLongS
	return long && r.move >= least && (r.below >= d.leastBelow(k) || d.noise[k] >= d.CellStepBar[k]/2)
}

// leastBelow is how far the others must pass below a reading before no ceiling and no
// rounding explains it.
func (d *dive) leastBelow(k int) float64 { return d.beyondRounding(k, d.p.FrozenBelowBar) }

// beyondRounding is least, or where rounding is coarse what rounding feigns and half
// of a movement on top.
func (d *dive) beyondRounding(k int, least float64) float64 {
	if f := d.feigned(k); f > 0 {
		return math.Max(least, f+d.p.FrozenMoveBar/2)
	}
	return least
}

// setAside takes a cell's readings out of the comparisons that follow.
func (d *dive) setAside(out *Diagnosis, k int, from, to float64) {
	const marginS = 2
	out.Cells[k].Unusable = append(out.Cells[k].Unusable, Span{from, to})
	d.blankReadings(k, from-marginS, to+marginS)
}

// standing lists the longest runs of at least FrozenForS in which the cell keeps
// one value. (One step of rounding either way is allowed for single rows.)
func (d *dive) standing(k int) []stand {
	var out []stand
	y, step := d.CellsBar[k], d.CellStepBar[k]
	for i := 0; i < len(y); {
		j := i
		for j+1 < len(y) && !d.Gap(j) && math.Abs(y[j+1]-y[i]) <= step/2 {
			j++
		}
		if d.TimeS[j]-d.TimeS[i] >= d.p.FrozenForS && j-i >= 6 {
			out = append(out, stand{from: i, to: j, value: y[i]})
		}
		i = j + 1
	}
	return joinRuns(out, d.TimeS, step)
}

// usualStand is how long the cell stands at one value under water outside the stretches
// in question: at coarse rounding a quiet PO2 does that.
func (d *dive) usualStand(k int, all []stand) float64 {
	const wetM = 0.5
	y, longest, from := d.CellsBar[k], 0.0, 0
	for i := range y {
		if i == 0 || d.Gap(i-1) || !(math.Abs(y[i]-y[from]) <= d.CellStepBar[k]/2) || !(d.DepthM[i] > wetM) || inStand(all, k, i) {
			from = i
		}
		longest = math.Max(longest, d.TimeS[i]-d.TimeS[from])
	}
	return longest
}

func inStand(all []stand, k, i int) bool {
	for _, r := range all {
		if r.cell == k && i >= r.from && i <= r.to {
			return true
		}
	}
	return false
}

// joinRuns merges runs at one value (within a step) with no more than 5 s between them.
func joinRuns(in []stand, timeS []float64, step float64) []stand {
	var out []stand
	for _, r := range in {
		if n := len(out); n > 0 && timeS[r.from]-timeS[out[n-1].to] <= 5 && math.Abs(r.value-out[n-1].value) <= step*1.01 {
			out[n-1].to = r.to
			continue
		}
		out = append(out, r)
	}
	return out
}

// measure fills in what the others do during the run: how far the one that moves
// most does (lag only hides movement), and how far they pass below and above
// the reading, scaled by the usual ratio of the cell to them outside the run.
func (d *dive) measure(r *stand, k int, ref []float64) {
	ratio := d.usualRatio(k, ref, r.from, r.to)
	for j, y := range d.y {
		lo, hi := extremes(y[r.from : r.to+1])
		if j == k || lo > hi {
			continue
		}
		r.move = math.Max(r.move, hi-lo)
	}
	r.alone = d.loneMover(r, k)
	lo, hi := extremes(ref[r.from : r.to+1])
	r.below, r.above = r.value-lo*ratio, hi*ratio-r.value
}

// loneMover tells whether just one of the others moves, and another hardly does: then
// it may be that one which is wrong.
func (d *dive) loneMover(r *stand, k int) bool {
	moving, standing := 0, 0
	for j, y := range d.y {
		lo, hi := extremes(y[r.from : r.to+1])
		switch {
		case j == k || lo > hi:
		case hi-lo > math.Max(d.p.FrozenMoveBar/2, d.feigned(k)+1e-9):
			moving++
		default:
			standing++
		}
	}
	return moving == 1 && standing > 0
}

// extremes are the least and the largest of x, NaN left out.
func extremes(x []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range x {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	return lo, hi
}

// usualRatio is the median of cell over others outside rows from..to.
func (d *dive) usualRatio(k int, ref []float64, from, to int) float64 {
	var q []float64
	stride := 1 + d.Rows()/2000
	for i := 0; i < d.Rows(); i += stride {
		if v := d.y[k][i] / ref[i]; (i < from || i > to) && ref[i] > 0.1 && !math.IsNaN(v) {
			q = append(q, v)
		}
	}
	if len(q) < 10 {
		return 1
	}
	return loop.Quantile(q, 0.5)
}

// noCeiling tells whether the cell read clearly higher outside the run, so that
// no ceiling can hold it where it stands.
func (d *dive) noCeiling(k int, r stand) bool {
	margin := d.beyondRounding(k, d.p.FrozenMoveBar)
	n := 0.0
	for i := 1; i < d.Rows(); i++ {
		if (i < r.from || i > r.to) && d.y[k][i] > r.value+margin {
			n += d.TimeS[i] - d.TimeS[i-1]
		}
	}
	return n >= d.p.FrozenForS && r.above >= margin
}

// neverMoves tells whether the run is nearly the whole record: a limited cell follows
// at least while PO2 is low.
func (d *dive) neverMoves(r stand) bool {
	const share = 0.9
	return d.TimeS[r.to]-d.TimeS[r.from] >= share*(d.TimeS[d.Rows()-1]-d.TimeS[0])
}

func (d *dive) frozenFault(k int, r stand) Fault {
	f := Fault{Kind: Frozen, Onset: Interval{Value: d.TimeS[r.from], Low: d.TimeS[r.from], High: d.TimeS[r.from]}, Cell: d.CellNumber[k], FromS: d.TimeS[r.from], ToS: d.TimeS[r.to],
		Value: r.value, Low: r.value - d.CellStepBar[k]/2, High: r.value + d.CellStepBar[k]/2, Unit: "bar",
		Confidence: Likely, LinesOfEvidence: 1}
	if r.to == d.Rows()-1 {
		f.ToS = math.NaN()
	}
	f.Evidence = []string{fmt.Sprintf("stands at %.3g bar for %.0f s while the others move through %.2f bar", r.value, d.TimeS[r.to]-d.TimeS[r.from], r.move)}
	if r.below >= d.leastBelow(k) {
		f.LinesOfEvidence++
		f.Evidence = append(f.Evidence, fmt.Sprintf("they pass %.2f bar below it, which no ceiling explains", r.below))
	}
	if d.n >= 3 && r.move >= 1.5*d.p.FrozenMoveBar+d.feigned(k) && r.below >= 2*d.leastBelow(k) {
		f.Confidence = Sure
	}
	f.Alternatives = []string{"readings not refreshed by the recorder"}
	return f
}
