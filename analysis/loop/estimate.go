package loop

import (
	"math"
	"slices"
)

// Estimate is the PO2 at the cells as the loop's physics has it, by Kalman
// filter and fixed-interval smoother on the loop equation. Every slice has one
// number in every row, also in gaps and on open circuit, where the band widens
// (the helium witness apart); bands are meant to hold 95 % of the truth.
type Estimate struct {
	PO2Bar, LowBar, HighBar                []float64 // looks ahead
	LiveBar, LiveLowBar, LiveHighBar       []float64 // from the past alone
	HeliumBar, HeliumLowBar, HeliumHighBar []float64 // the helium witness; NaN where it is none

	GainBy        []float64 // estimated gain of each cell
	BandMedianBar float64   // median width of the band
	// ScaleBy is what the mean of the cells is divided by, ScaleLow and ScaleHigh
	// the 95 % bounds of the scale that all cells share, as factors on PO2Bar: what
	// the log leaves unsettled.
	ScaleBy, ScaleLow, ScaleHigh float64
}

// Smooth estimates the PO2 at the cells from their readings, the loop equation,
// depth and openings. cells says where each cell is used and with what lag; a
// cell without a state is taken as healthy. The estimate does not depend on how
// the cells are numbered.
//
// The relative gains of the cells come from comparing them; the scale they
// share comes from the priors and, where there is one, from a witness: helium, or
// gas known from outside ([KnownGas]). What the band holds: the scale, the smoother's own error, and a lag known to T90SD
// only, which moves the estimate by its time constant times dp/dt.
func Smooth(r Record, cells []CellState, p Params) Estimate {
	cols := columns(r, cells, p)
	relativeGains(r, cols, p)
	scale := priorScale(cols, cells, p)
	crude := consensus(cols, r.Rows())
	fitted := fitDelay(r, cols, crude, p)
	ps := newPass(r, fitted, cols, drives(r, crude, fitted))
	po2, sd := ps.smooth(ps.start(firstKnown(crude)))
	he := Helium(r, p)
	for _, lik := range []func(float64) float64{heliumScale(r, he, po2, p), knownScale(r, po2, p)} {
		if lik != nil {
			scale.times(lik)
		}
	}
	for i, slope := range Slope(r.TimeS, po2, math.Max(6, 2*r.UsualStepS())) {
		sd[i] = math.Hypot(sd[i], orElse(slope, 0)*p.T90SD/math.Ln10)
	}
	e := banded(po2, sd, scale)
	bounded(r, e.PO2Bar, e.LowBar, e.HighBar)
	for _, c := range cols {
		e.GainBy = append(e.GainBy, math.Exp(c.logGain)*e.ScaleBy)
	}
	e.LiveBar, e.LiveLowBar, e.LiveHighBar = live(r, p)
	bounded(r, e.LiveBar, e.LiveLowBar, e.LiveHighBar)
	e.HeliumBar, e.HeliumLowBar, e.HeliumHighBar = he.PO2Bar, he.LowBar, he.HighBar
	return e
}

// priorScale is what the cells alone say of the scale they share.
func priorScale(cols []column, cells []CellState, p Params) scalePosterior {
	off, logs := make([]bool, len(cols)), make([]float64, len(cols))
	for k := range cols {
		off[k] = k < len(cells) && cells[k].GainOff
		logs[k] = cols[k].logGain
	}
	return newScalePosterior(logs, off, p)
}

// banded puts the estimate at the mean of the scale and gives it the 95 % band
// of scale and standard error together.
func banded(c, sd []float64, scale scalePosterior) Estimate {
	f, lo, hi := scale.factor()
	n := len(c)
	e := Estimate{PO2Bar: make([]float64, n), LowBar: make([]float64, n), HighBar: make([]float64, n), ScaleBy: 1 / f, ScaleLow: lo / f, ScaleHigh: hi / f}
	width := make([]float64, n)
	for i := range c {
		e.PO2Bar[i] = c[i] * f
		e.LowBar[i] = e.PO2Bar[i] - math.Hypot(c[i]*(f-lo), 1.96*sd[i])
		e.HighBar[i] = e.PO2Bar[i] + math.Hypot(c[i]*(hi-f), 1.96*sd[i])
		width[i] = e.HighBar[i] - e.LowBar[i]
	}
	e.BandMedianBar = Quantile(width, 0.5)
	return e
}

// bounded keeps series within what is possible: 0 <= p <= P - pH2O, with the
// least vapour that there may be.
func bounded(r Record, series ...[]float64) {
	vapour := orElse(r.VapourLowBar, 0)
	for _, x := range series {
		for i := range x {
			x[i] = math.Max(0, x[i])
			if most := r.AmbientAt(i) - vapour; x[i] > most {
				x[i] = math.Max(0, most)
			}
		}
	}
}

// consensus is the median of the used readings at each row, at their common
// scale; rows without any take the last before them.
func consensus(cols []column, rows int) []float64 {
	out := make([]float64, rows)
	last := math.NaN()
	v := make([]float64, 0, len(cols))
	for i := range out {
		v = v[:0]
		for k := range cols {
			if z := cols[k].z[i]; !math.IsNaN(z) {
				v = append(v, z*math.Exp(-cols[k].logGain))
			}
		}
		if len(v) > 0 {
			slices.Sort(v)
			last = (v[(len(v)-1)/2] + v[len(v)/2]) / 2
		}
		out[i] = last
	}
	return out
}

// firstKnown is the first number in x; 0.5 bar where there is none.
func firstKnown(x []float64) float64 {
	for _, v := range x {
		if !math.IsNaN(v) {
			return v
		}
	}
	return 0.5
}
