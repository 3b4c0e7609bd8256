package cell

import (
	"fmt"
	"math"
)

// readClock sets the absolute time scale: the others' lag says nothing where all
// cells lag. Where the ascents show that the reference is slow itself, the cells
// are compared again with a reference that slow; since lags add, the mean
// difference between the cells' own absolute values and those by comparison
// corrects the reference:
//
//	tau_ref' = tau_ref + mean(tau_i absolute - tau_i by comparison)
func (d *dive) readClock(out *Diagnosis, v *verdict) {
	x, noise := d.pooled(v)
	out.clock = d.absoluteT90(v.views, x, noise)
	c := &out.clock
	out.AscentsJudged = c.windows
	if len(d.Valves) > 0 && c.unfollowed(d.p) && d.flatTopped(x) {
		out.NotFollowing = &NotFollowing{Ascents: c.forSlow, MarginNats: c.margin, T90LowS: c.t90.Low}
	}
	if !c.saysSlow(d.p) {
		return
	}
	c.lateS = d.writtenLate(*c, v.views, x, noise)
	half := math.Hypot((c.t90.High-c.t90.Low)/2, d.p.ClockModelRel*c.t90.Value)
	*v = d.relate(c.t90.Value)
	if quick := v.quick + d.clockShift(v); quick > d.p.SlowT90S && math.Abs(quick-v.quick) > 0.02*v.quick {
		*v = d.relate(quick)
	}
	c.t90 = Interval{Value: v.quick, Low: v.quick - half, High: v.quick + half}
	out.allSlow = c.t90.Low > d.p.SlowT90S
}

// clockShift is the mean difference between the cells' absolute T90 and those by
// comparison with the reference.
func (d *dive) clockShift(v *verdict) float64 {
	sum, n := 0.0, 0
	for i, f := range v.fits {
		own := d.absoluteT90(v.views, d.y[i], d.scatter(i))
		if own.windows < 2 || f.shape != steady || math.IsInf(own.t90.High, 1) {
			continue
		}
		by := v.quick
		if len(v.pairs[i].y) > 0 {
			by = minimum(v.views.taus, v.pairs[i].profile(f)).Value
		}
		sum, n = sum+own.t90.Value-by, n+1
	}
	return sum / math.Max(float64(n), 1)
}

// pooled is the mean of the good cells, row by row, their gains taken out.
func (d *dive) pooled(v *verdict) ([]float64, float64) {
	x := make([]float64, d.Rows())
	for i := range x {
		sum, n := 0.0, 0
		for j := range d.y {
			if a := d.y[j][i]; v.good[j] && !math.IsNaN(a) {
				sum, n = sum+a/v.gain[j], n+1
			}
		}
		x[i] = sum / float64(n)
	}
	noise, n := 0.0, 0
	for j := range d.y {
		if v.good[j] {
			noise, n = noise+sq(d.scatter(j)), n+1
		}
	}
	return x, math.Sqrt(noise) / float64(n)
}

// judgeLag reports T90 and says where a cell is slow, from the start or from an onset.
func (d *dive) judgeLag(out *Diagnosis, v *verdict, i int) {
	q, f := &v.pairs[i], v.fits[i]
	t := d.t90Of(out, q, f)
	out.Cells[i].T90S = t
	from := d.TimeS[0]
	if f.shape == later {
		from = f.onsetS
	}
	switch {
	case t.Low > d.p.SlowT90S && d.lagMargin(q, f) > d.p.FaultPenalty:
		d.addSlow(out, v, i, from, t)
	case t.Has(d.p.SlowT90S) && t.Value > d.p.BorderlineT90S && !math.IsInf(t.High, 1):
		out.Faults = append(out.Faults, d.borderline(i, from, t))
	}
}

// borderline is the outcome where the limit lies within a T90's interval.
func (d *dive) borderline(i int, from float64, t Interval) Fault {
	return Fault{Kind: Slow, Cell: d.CellNumber[i], FromS: from, ToS: math.NaN(), Onset: unknown("not told"),
		Value: t.Value, Low: t.Low, High: t.High, Unit: "s", Confidence: Possible, Borderline: true,
		Evidence: []string{fmt.Sprintf("T90 %.0f s (%.0f-%.0f s): the limit of %.0f s lies within", t.Value, t.Low, t.High, d.p.SlowT90S)}}
}

// lagMargin is how much dearer the same shape is with a cell that is not slow.
func (d *dive) lagMargin(q *pair, f fit) float64 {
	best := math.Inf(1)
	for t, c := range q.profile(f) {
		if q.t90(t) <= d.p.SlowT90S {
			best = math.Min(best, c)
		}
	}
	return best - f.cost
}

// lateWords names the delay of the record that looks like a lag of all cells.
func (d *dive) lateWords(c clock) string {
	if c.lateS > 0 {
		return fmt.Sprintf("PO2 written to the log some %.0f s later than depth, with quick cells: it explains the ascents as well", c.lateS)
	}
	return fmt.Sprintf("PO2 written to the log more than %.0f s later than depth", d.p.LateMostS)
}

func (d *dive) addSlow(out *Diagnosis, v *verdict, i int, from float64, t Interval) {
	f := Fault{Kind: Slow, Cell: d.CellNumber[i], FromS: from, ToS: math.NaN(),
		Value: t.Value, Low: t.Low, High: t.High, Unit: "s", Onset: unknown("from the start")}
	if r := v.fits[i]; r.shape == later {
		f.Onset = Interval{Value: r.onsetS, Low: r.onsetLow, High: r.onsetHigh}
		f.Evidence = append(f.Evidence, fmt.Sprintf("quick before %.0f s, slow after %.0f s", r.onsetLow, r.onsetHigh))
	}
	margin, misfit := math.Inf(1), 0.0
	if q := &v.pairs[i]; len(q.y) > 0 {
		r := v.fits[i]
		margin, misfit = d.lagMargin(q, r), q.misfit(r)
		steps := d.supporting(out, q, r)
		f.LinesOfEvidence = len(steps)
		f.Evidence = append(f.Evidence, fmt.Sprintf("follows the others with T90 %.0f s (%.0f-%.0f s) in %d of %d steps: %s",
			t.Value, t.Low, t.High, len(steps), len(out.excitations), join(steps, 4)))
	}
	if out.allSlow {
		margin = math.Min(margin, out.clock.margin)
		f.LinesOfEvidence = out.clock.forSlow
		f.Evidence = append(f.Evidence, fmt.Sprintf("in %d ascents, where PO2 follows the pressure at once, the quickest cells have T90 %.0f s (%.0f-%.0f s)",
			out.clock.forSlow, out.clock.t90.Value, out.clock.t90.Low, out.clock.t90.High))
		f.Alternatives = append(f.Alternatives, "all cells at a ceiling, above which they hardly move", "oxygen or diluent added by hand during the ascents and not logged", d.lateWords(out.clock))
	} else {
		f.Alternatives = append(f.Alternatives, "water or a film on the face of the cell", "gas that reaches this cell late")
	}
	f.Confidence = d.p.grade(margin, f.LinesOfEvidence, (t.Low-d.p.SlowT90S)/d.p.SlowT90S, misfit)
	if out.allSlow && out.clock.lateS > 0 {
		f.Confidence = Possible
	}
	out.Faults = append(out.Faults, f)
}
