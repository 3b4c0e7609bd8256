package cell

import (
	"fmt"
	"math"
	"slices"
)

// judgeCeiling reports a cell's ceiling, as its own reading, or the highest
// reading without a sign of one.
func (d *dive) judgeCeiling(out *Diagnosis, v *verdict, i int) {
	q, f, r := &v.pairs[i], v.fits[i], &out.Cells[i]
	if f.shape != ceiling {
		_, hi := q.span(q.y)
		r.CeilingBar = Interval{Value: math.NaN(), Low: hi, High: math.NaN(), Reason: fmt.Sprintf("no limit seen up to %.2f bar", hi)}
		return
	}
	p := d.passages(q, f)
	lo, hi := q.kneeInterval(f)
	first := f.gain * knee(f.kneeBar, f.sinkPerS, p.fromS-q.timeS[0])
	r.CeilingBar = Interval{Value: first, Low: first - f.gain*(f.kneeBar-lo), High: first + f.gain*(hi-f.kneeBar)}
	if p.aboveS < d.p.CorrelationS {
		r.CeilingBar.Reason = "hardly passed"
		return
	}
	g := d.ceilingFault(q, f, p, i, r.CeilingBar)
	wander := d.wanderMargin(v, i)
	margin := math.Min(math.Min(f.margin, v.refMargin(i, ceiling)), wander)
	from := d.partFrom(v, i)
	if 2*len(from) <= d.company(v, i) {
		d.undecidedCeiling(out, i, from, f, p)
		return
	}
	alone := d.company(v, i) < 2
	beyond := p.beyondS >= d.p.CorrelationS
	if beyond || p.count == 0 || wander < d.p.LikelyMargin || (alone && wander < d.p.SureMargin) {
		margin = math.Min(margin, d.p.PossibleMargin)
		g.Alternatives = append(g.Alternatives, "an offset of this cell, or of the others, that comes and goes")
	}
	if alone && (beyond || p.count == 0 || wander < d.p.LikelyMargin) {
		d.undecidedCeiling(out, i, from, f, p)
		return
	}
	g.Confidence = d.p.grade(margin, g.LinesOfEvidence, (p.topBar-f.kneeBar)/d.p.CeilingExcessBar-1, q.misfit(f))
	out.Faults = append(out.Faults, g)
}

// ceilingFault is the fault with its evidence, not yet graded.
func (d *dive) ceilingFault(q *pair, f fit, p passage, i int, at Interval) Fault {
	g := Fault{Kind: Limited, Onset: Interval{Value: p.fromS, Low: p.fromS, High: p.fromS}, Cell: d.CellNumber[i], FromS: p.fromS, ToS: math.NaN(),
		Value: at.Value, Low: at.Low, High: at.High, Unit: "bar",
		LinesOfEvidence: p.count,
		Evidence: []string{
			fmt.Sprintf("above %.2f bar it moves by %.2f of what the others move, for %.0f s, while PO2 reaches %.2f bar; below it follows them", at.Value, f.slope, p.aboveS, p.topBar),
			fmt.Sprintf("%d times PO2 passes the ceiling in one go, up or down, and the cell parts from the others, or joins them, there", p.count),
		},
		Alternatives: []string{"a load or wiring that cuts the cell's signal off"}}
	if f.sinkPerS*(q.timeS[len(q.timeS)-1]-q.timeS[0]) > 0.02 {
		g.Evidence = append(g.Evidence, fmt.Sprintf("the ceiling sinks by %.0f %% an hour", 100*3600*f.sinkPerS))
	}
	return g
}

// wanderMargin is how much dearer it is to explain cell i without a ceiling, see
// [pair.wander]. Where several cells are limited against one, an offset of that one is a
// single fault that explains them all, if they agree with each other.
func (d *dive) wanderMargin(v *verdict, i int) float64 {
	f := v.fits[i]
	offset := v.pairs[i].wander(f)
	margin := offset - f.penalised
	if d.company(v, i) > 1 {
		return margin
	}
	joint := margin
	for j, o := range v.fits {
		if j == i || o.shape != ceiling || len(v.pairs[j].y) == 0 {
			continue
		}
		q := d.newPair(v.views, v.views.through[j][v.views.quick], v.views.through[i], d.scatter(j), d.scatter(i))
		joint += q.best().penalised - o.penalised
	}
	return math.Min(margin, joint)
}

// company is how many good cells a cell was held against.
func (d *dive) company(v *verdict, i int) int {
	n := 0
	for j := range d.y {
		if j != i && v.good[j] {
			n++
		}
	}
	return n
}

// partFrom are the good cells from which cell i parts like a limited one when it is held
// against each by itself. Where it keeps with half of them or more, it is
// the others that part from all: they only spoil the mean.
func (d *dive) partFrom(v *verdict, i int) []int {
	var out []int
	for j := range d.y {
		if j == i || !v.good[j] {
			continue
		}
		q := d.newPair(v.views, v.views.through[i][v.views.quick], v.views.through[j], d.scatter(i), d.scatter(j))
		if d.company(v, i) == 1 || q.best().shape == ceiling {
			out = append(out, j)
		}
	}
	return out
}

// undecidedCeiling records that two cells part, and that it may as well be the other one
// that left: the cell held against one other only is not named for that.
func (d *dive) undecidedCeiling(out *Diagnosis, i int, from []int, f fit, p passage) {
	c := &out.Cells[i].CeilingBar
	*c = unknown("another cell parts from it, and an offset of that one explains it as well")
	u := Disagreement{Cells: []int{d.CellNumber[i]}, Odd: d.numbers(from), Ratio: p.topBar / (f.kneeBar + f.slope*(p.topBar-f.kneeBar)), FromS: p.fromS, Reason: p.undecided()}
	for _, e := range out.Undecided { // one entry for all who part from the same one
		if slices.Equal(e.Odd, u.Odd) && e.FromS <= u.FromS+d.p.OnsetVagueS && u.FromS <= e.FromS+d.p.OnsetVagueS {
			return
		}
	}
	out.Undecided = append(out.Undecided, u)
}
