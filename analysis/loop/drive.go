package loop

import "math"

// drives is what acts on the loop before each row: openings on their way to the
// cells, make-up and venting, events.
func drives(r Record, po2 []float64, p Params) []drive {
	out := make([]drive, r.Rows())
	open := arriving(r, p.DelayS)
	vapour := vapourMid(r)
	for i := 1; i < len(out); i++ {
		d := &out[i]
		d.h = r.TimeS[i] - r.TimeS[i-1]
		pd0, pd1 := r.AmbientAt(i-1)-vapour, r.AmbientAt(i)-vapour
		x := math.Min(po2[i-1]/pd1, 1)
		if !(x > 0) {
			x = 0.5
		}
		d.open, d.valve = open[i], (1-x)*open[i]
		if dp := pd1 - pd0; dp > 0 {
			d.depth = orElse(at(r.FO2Dil, i), 0.21) * dp
		} else if dp < 0 {
			d.depth = x * dp
		}
		d.event = !r.Usable(i) || !r.Usable(i-1) || r.Gap(i-1)
	}
	return out
}

// arriving is the seconds open of all valves that reach the cells between the
// row before and each row: openings smeared by a first-order lag of delayS.
func arriving(r Record, delayS float64) []float64 {
	out := make([]float64, r.Rows())
	pipe := 0.0 // seconds open still under way
	for i := 1; i < len(out); i++ {
		h := r.TimeS[i] - r.TimeS[i-1]
		fed := openS(r, i)
		a := math.Exp(-h / delayS)
		// what was under way leaves at a; what is fed evenly over h leaves as a ramp response
		left := pipe*a + fed*delayS*(1-a)/h
		out[i] = pipe + fed - left
		pipe = left
	}
	return out
}

// openS is the seconds that all valves together were commanded open before row i.
func openS(r Record, i int) float64 {
	s := 0.0
	for _, v := range r.Valves {
		s += orElse(v.OpenS[i], 0)
	}
	return s
}

// vapourMid is the middle of the range of water vapour, 0 where none is given.
func vapourMid(r Record) float64 {
	m := (r.VapourLowBar + r.VapourHighBar) / 2
	return orElse(m, 0)
}

// orElse is v, or e where v is NaN.
func orElse(v, e float64) float64 {
	if math.IsNaN(v) {
		return e
	}
	return v
}

// delaysS are the delays tried for the way of oxygen to the cells: at once, up
// to a few breaths of a large loop.
var delaysS = [...]float64{0.5, 1.5, 4, 10}

// fitDelay sets p.DelayS to the delay with the largest likelihood of the
// readings; p is left alone where the log has no openings. The first
// delayRows rows are enough for that.
func fitDelay(r Record, cols []column, po2 []float64, p Params) Params {
	const delayRows = 2000
	if len(r.Valves) == 0 {
		return p
	}
	best, top := p.DelayS, math.Inf(-1)
	for _, d := range delaysS {
		p.DelayS = d
		ps := newPass(r, p, cols, drives(r, po2, p))
		if l := ps.logLik(ps.start(firstKnown(po2)), min(r.Rows(), delayRows)); l > top {
			best, top = d, l
		}
	}
	p.DelayS = best
	return p
}
