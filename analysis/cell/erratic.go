package cell

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
)

// findErratic looks for excursions that the others do not share: the difference
// to the others, less its own running median over half the counting window.
//
//	d(t) = r(t) - median r over 60 s,  r = y - ratio * median of the others
//
// A slow cell differs smoothly; so an excursion also counts only where the
// cell's own readings are rough there: |y(i-1) - 2 y(i) + y(i+1)| large.
//
// The cell with the largest excursion is taken first and set aside, so that it does
// not pass for an excursion of the others.
func (d *dive) findErratic(out *Diagnosis) {
	var v *verdict
	var excused []stretch
	for {
		s, ok := d.worstStretch(excused)
		if !ok {
			return
		}
		if v == nil {
			first := d.relate(d.p.HealthyT90S)
			v = &first
		}
		if d.explained(v, s) {
			excused = append(excused, s)
			continue
		}
		out.Faults = append(out.Faults, d.erraticFault(s))
		d.setAside(out, s.cell, d.TimeS[s.from], d.TimeS[s.to])
	}
}

// worstStretch is the erratic stretch with the largest excursion among the readings
// not yet set aside, those already excused left out.
func (d *dive) worstStretch(excused []stretch) (stretch, bool) {
	var worst stretch
	for k := range d.y {
		rough := d.roughness(k)
		if d.n < 2 || !d.roughEnough(rough) {
			continue
		}
		dev := d.deviation(k, d.others(k))
		for _, s := range d.excursionSpans(k, dev, rough) {
			s.cell, s.worst = k, largest(dev[s.from:s.to+1])
			if s.worst > worst.worst && !overlaps(excused, s) {
				worst = s
			}
		}
	}
	return worst, worst.worst > 0
}

func overlaps(all []stretch, s stretch) bool {
	for _, e := range all {
		if e.cell == s.cell && e.from <= s.to && s.from <= e.to {
			return true
		}
	}
	return false
}

// explained tells whether the relations to the others fit within the stretch (see
// MisfitNats): then a quick cell shows sharp pulses of oxygen that slow ones can't.
func (d *dive) explained(v *verdict, s stretch) bool {
	for j := range d.y {
		q := &v.pairs[j]
		concerned := j == s.cell || len(v.pairs[s.cell].y) == 0
		if concerned && len(q.y) > 0 && q.misfitWithin(v.fits[j], d.blocks, s.from, s.to) > d.p.MisfitNats {
			return false
		}
	}
	return true
}

// roughEnough tells whether there can be any excursion at all.
func (d *dive) roughEnough(rough []float64) bool {
	n := 0
	for _, v := range rough {
		if v > d.p.ErraticExcursionBar/2 {
			n++
		}
	}
	return n >= d.p.ErraticCount
}

// deviation is the cell's difference to the others without its slow part.
func (d *dive) deviation(k int, ref []float64) []float64 {
	ratio := d.usualRatio(k, ref, -1, -1)
	r := make([]float64, d.Rows())
	for i := range r {
		r[i] = d.y[k][i] - ratio*ref[i]
		if math.IsNaN(ref[i]) {
			r[i] = math.NaN()
		}
	}
	base := runningMedian(d.TimeS, r, 60)
	for i := range r {
		r[i] -= base[i]
	}
	return r
}

// roughness is the second difference at each row, 0 where there is none.
func (d *dive) roughness(k int) []float64 {
	y := d.y[k]
	out := make([]float64, len(y))
	for i := 1; i+1 < len(y); i++ {
		if d.Gap(i-1) || d.Gap(i) {
			continue
		}
		if v := math.Abs(y[i-1] - 2*y[i] + y[i+1]); v > 0 {
			out[i] = v
		}
	}
	return out
}

// stretch is an erratic stretch of rows and its number of excursions.
type stretch struct {
	cell, from, to, count int
	worst                 float64
}

// excursionSpans finds the stretches with at least ErraticCount excursions
// within ErraticWithinS. An excursion ends when the deviation is back below half
// the limit or changes sign.
func (d *dive) excursionSpans(cell int, dev, rough []float64) []stretch {
	limit := d.p.ErraticExcursionBar - d.CellStepBar[cell] // a reading is known to a step
	leastRough := d.p.ErraticExcursionBar / 2
	if f := d.feigned(cell); f > 0 { // what rounding feigns is no excursion
		limit, leastRough = d.p.ErraticExcursionBar+f, leastRough+2*f
	}
	var at []int
	side := 0.0
	for i, v := range dev {
		switch {
		case math.IsNaN(v):
		case math.Abs(v) > limit && rough[i] > leastRough && side*v <= 0:
			at, side = append(at, i), v
		case math.Abs(v) < d.p.ErraticExcursionBar/2:
			side = 0
		}
	}
	var out []stretch
	c := d.p.ErraticCount
	for a := 0; a+c <= len(at); a++ {
		if d.TimeS[at[a+c-1]]-d.TimeS[at[a]] > d.p.ErraticWithinS {
			continue
		}
		if n := len(out); n > 0 && d.TimeS[at[a]]-d.TimeS[out[n-1].to] <= d.p.ErraticWithinS {
			out[n-1].to = at[a+c-1]
			continue
		}
		out = append(out, stretch{from: at[a], to: at[a+c-1]})
	}
	for s := range out {
		for _, i := range at {
			if i >= out[s].from && i <= out[s].to {
				out[s].count++
			}
		}
		d.widen(&out[s], dev, rough)
	}
	return out
}

// widen moves the ends of a span outwards while the cell stays rough: over
// 0.03 bar at least every 15 s.
func (d *dive) widen(s *stretch, dev, rough []float64) {
	const roughBar, pauseS = 0.04, 15
	for i := s.from; i >= 0 && d.TimeS[s.from]-d.TimeS[i] <= pauseS; i-- {
		if rough[i] > roughBar && math.Abs(dev[i]) > roughBar {
			s.from = i
		}
	}
	for i := s.to; i < len(dev) && d.TimeS[i]-d.TimeS[s.to] <= pauseS; i++ {
		if rough[i] > roughBar && math.Abs(dev[i]) > roughBar {
			s.to = i
		}
	}
}

// largest is the largest magnitude in x, NaN left out.
func largest(x []float64) float64 {
	worst := 0.0
	for _, v := range x {
		if a := math.Abs(v); a > worst {
			worst = a
		}
	}
	return worst
}

func (d *dive) erraticFault(s stretch) Fault {
	f := Fault{Kind: Erratic, Onset: Interval{Value: d.TimeS[s.from], Low: d.TimeS[s.from], High: d.TimeS[s.from]}, Cell: d.CellNumber[s.cell], FromS: d.TimeS[s.from], ToS: d.TimeS[s.to],
		Value: s.worst, Low: d.p.ErraticExcursionBar, High: s.worst, Unit: "bar",
		Confidence: Likely, LinesOfEvidence: 2,
		Evidence: []string{
			fmt.Sprintf("%d excursions of more than %.2f bar, the largest %.2f bar", s.count, d.p.ErraticExcursionBar, s.worst),
			"the other cells do not share them",
		},
		Alternatives: []string{"a wet or loose contact", "water on the face of the cell"}}
	if s.count >= 2*d.p.ErraticCount && d.n >= 3 {
		f.Confidence = Sure
	}
	return f
}

// runningMedian is the median over windowS centred on each row; the window is
// thinned to about 30 readings so that the cost stays linear.
func runningMedian(timeS, x []float64, windowS float64) []float64 {
	out := make([]float64, len(x))
	lo, hi := 0, 0
	buf := make([]float64, 0, 64)
	for i := range x {
		for hi < len(x) && timeS[hi] <= timeS[i]+windowS/2 {
			hi++
		}
		for timeS[lo] < timeS[i]-windowS/2 {
			lo++
		}
		buf = buf[:0]
		stride := 1 + (hi-lo)/31
		for j := lo; j < hi; j += stride {
			if !math.IsNaN(x[j]) {
				buf = append(buf, x[j])
			}
		}
		out[i] = loop.Quantile(buf, 0.5)
	}
	return out
}
