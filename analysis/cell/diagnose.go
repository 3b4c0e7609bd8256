package cell

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
)

// Diagnose judges every cell of a dive. It reads the record and changes nothing;
// a record without rows or cells gives an empty diagnosis.
func Diagnose(r loop.Record, p Params) Diagnosis {
	d := newDive(r, p)
	out := d.blank()
	if d.Rows() == 0 || d.n == 0 {
		return out
	}
	d.findErratic(&out) // first, so that no erratic cell counts as movement of the others
	strays := d.findStray(&out)
	d.findFrozen(&out)
	d.tellStray(&out, strays)
	d.leaveOutCoarse()
	v := d.relate(p.HealthyT90S)
	d.readClock(&out, &v)
	d.findExcitations(&out, &v)
	for i := range d.y {
		d.judge(&out, &v, i)
	}
	d.judgeGain(&out, &v)
	d.withdraw(&out, &v)
	d.finish(&out, &v)
	return out
}

// blank is a diagnosis in which nothing is known yet.
func (d *dive) blank() Diagnosis {
	var out Diagnosis
	reason := "no other cell to compare it with"
	for i, n := range d.CellNumber {
		noise := Interval{Value: d.noise[i], Low: d.CellStepBar[i] / math.Sqrt(12), High: d.noise[i] + d.CellStepBar[i]/2}
		if math.IsNaN(d.noise[i]) {
			noise = unknown("too few readings")
		}
		out.Cells = append(out.Cells, Report{Cell: n, NoiseBar: noise,
			T90S: unknown(reason), Gain: unknown(reason), CeilingBar: unknown(reason), DriftPerH: unknown(reason)})
	}
	return out
}

// judge turns a cell's relation into intervals and, where it is one, a fault.
func (d *dive) judge(out *Diagnosis, v *verdict, i int) {
	q, f, r := &v.pairs[i], v.fits[i], &out.Cells[i]
	if len(q.y) == 0 {
		d.judgeAlone(out, v, i)
		return
	}
	if q.effective() < d.p.MinEffective {
		reason := fmt.Sprintf("too few readings beside the others' (%.0f s)", q.effective()*d.p.CorrelationS)
		r.T90S, r.Gain, r.CeilingBar, r.DriftPerH = unknown(reason), unknown(reason), unknown(reason), unknown(reason)
		return
	}
	d.judgeLag(out, v, i)
	d.judgeCeiling(out, v, i)
	d.judgeDrift(out, v, i)
	r.Gain = Interval{Value: f.gain, Low: f.gain - 2*f.gainSE, High: f.gain + 2*f.gainSE}
}

// judgeAlone is for the one good cell by which the others were judged: its T90
// is that of the ascents, its ceiling the highest reading that the others allow.
func (d *dive) judgeAlone(out *Diagnosis, v *verdict, i int) {
	r := &out.Cells[i]
	r.T90S = out.clock.t90
	reason := "no sound cell to compare it with"
	r.Gain, r.DriftPerH = unknown(reason), unknown(reason)
	r.CeilingBar = Interval{Value: math.NaN(), Low: loop.Quantile(d.y[i], 1), High: math.NaN(), Reason: "no limit seen"}
	if out.allSlow {
		d.addSlow(out, v, i, d.TimeS[0], out.clock.t90)
	}
}

// noneFollows is why nothing absolute is said of a cell where no cell follows PO2.
const noneFollows = "in the ascents no cell follows PO2: all may be at a ceiling, or very slow"

// unsureOfAll says, of cells that only agree with one another, what the ascents leave
// open: whether all of them lag. A borderline outcome is a note at most.
func (d *dive) unsureOfAll(out *Diagnosis, v *verdict) {
	c := out.clock
	if out.NotFollowing != nil {
		for i := range out.Cells {
			none := unknown(noneFollows)
			out.Cells[i].T90S, out.Cells[i].CeilingBar = none, none
		}
		return
	}
	if out.allSlow || c.t90.High <= d.p.SlowT90S {
		return
	}
	suspect := c.forSlow >= 2 && c.forSlow > c.forQuick && c.t90.Value > d.p.BorderlineT90S
	for i := range d.y {
		r := &out.Cells[i]
		if !v.good[i] || !r.T90S.Known() {
			continue
		}
		r.T90S.Reason = "by comparison with the others; no ascent here shows that they do not all lag"
		if c.windows > 0 && c.t90.High <= d.p.ClockMostS {
			r.T90S.High = math.Max(r.T90S.High, c.t90.High)
		}
		if suspect {
			out.Faults = append(out.Faults, d.borderline(i, d.TimeS[0], c.t90))
		}
	}
}

// finish fills in what follows from the rest.
func (d *dive) finish(out *Diagnosis, v *verdict) {
	var width []float64
	for i := range d.y {
		if v.good[i] {
			out.Reference = append(out.Reference, d.CellNumber[i])
		}
		if t := out.Cells[i].T90S; t.Known() && v.good[i] {
			width = append(width, t.High-t.Value)
		}
	}
	d.unsureOfAll(out, v)
	out.T90VisibleS = v.quick + loop.Quantile(width, 0.5)
	for _, f := range out.Faults {
		for i := range out.Cells {
			if c := &out.Cells[i]; c.Cell == f.Cell && !f.Borderline {
				c.Faults = append(c.Faults, f.Kind)
			}
		}
	}
	d.listChecks(out, v)
}
