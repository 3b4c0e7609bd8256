package cell

import (
	"fmt"
	"math"
)

// judgeDrift reports how a cell's gain changes against the good ones'.
func (d *dive) judgeDrift(out *Diagnosis, v *verdict, i int) {
	q, f, r := &v.pairs[i], v.fits[i], &out.Cells[i]
	end := d.TimeS[d.Rows()-1]
	if f.shape != drift {
		r.DriftPerH = q.noDrift(f)
		return
	}
	span := (end - f.onsetS) / f.gain
	change, se := f.ratePerS*span, f.rateSE*span
	r.DriftPerH = Interval{Value: f.ratePerS / f.gain * 3600, Low: (f.ratePerS - 2*f.rateSE) / f.gain * 3600,
		High: (f.ratePerS + 2*f.rateSE) / f.gain * 3600}
	if math.Abs(change)-2*se < d.p.DriftMin {
		return
	}
	g := Fault{Kind: Drifting, Onset: q.driftOnset(f), Cell: d.CellNumber[i], FromS: f.onsetS, ToS: math.NaN(),
		Value: change, Low: change - 2*se, High: change + 2*se, Unit: "1",
		Evidence: []string{fmt.Sprintf("from %.0f s on its gain changes by %+.0f %% (%+.0f to %+.0f %%) to the end", f.onsetS, 100*change, 100*(change-2*se), 100*(change+2*se))}}
	for j := range d.y {
		if j != i && v.good[j] {
			g.LinesOfEvidence++
		}
	}
	g.Evidence = append(g.Evidence, fmt.Sprintf("%d other cells keep their gain to each other", g.LinesOfEvidence))
	g.Alternatives = []string{"the others drift together the other way"}
	margin := math.Min(f.margin, v.refMargin(i, drift))
	if margin < d.p.PossibleMargin {
		d.undecidedDrift(out, i, f)
		return
	}
	g.Confidence = d.p.grade(margin, g.LinesOfEvidence, (math.Abs(change)-2*se)/d.p.DriftMin-1, q.misfit(f))
	out.Faults = append(out.Faults, g)
}

// undecidedDrift records that gains part and nothing tells whose.
func (d *dive) undecidedDrift(out *Diagnosis, i int, f fit) {
	u := Disagreement{Odd: []int{d.CellNumber[i]}, FromS: f.onsetS, Ratio: f.gain,
		Reason: "their gains part during the dive, and nothing tells which of them changes"}
	for j, n := range d.CellNumber {
		if j != i {
			u.Cells = append(u.Cells, n)
		}
	}
	out.Undecided = append(out.Undecided, u)
}

// noDrift bounds the change of gain of a cell that is steady.
func (q *pair) noDrift(f fit) Interval {
	b := fit{shape: drift, gain: f.gain, cost: math.Inf(1)}
	q.tryDrift(&b, f.tau, q.timeS[0])
	if f.shape == ceiling || math.IsInf(b.cost, 1) {
		return unknown("its ceiling hides it")
	}
	return Interval{Value: b.ratePerS / b.gain * 3600, Low: (b.ratePerS - 2*b.rateSE) / b.gain * 3600,
		High: (b.ratePerS + 2*b.rateSE) / b.gain * 3600}
}

// driftOnset is the onset of a drift with the range in which the cost is within
// halfChi of the least.
func (q *pair) driftOnset(f fit) Interval {
	at := func(onset float64) float64 {
		b := fit{shape: drift, gain: f.gain, cost: math.Inf(1)}
		q.tryDrift(&b, f.tau, onset)
		return b.cost
	}
	const stepS, mostS = 15, 900
	v := Interval{Value: f.onsetS, Low: f.onsetS - stepS, High: f.onsetS + stepS}
	for v.Low > f.onsetS-mostS && at(v.Low) < f.cost+halfChi {
		v.Low -= stepS
	}
	for v.High < f.onsetS+mostS && at(v.High) < f.cost+halfChi {
		v.High += stepS
	}
	return v
}
