package gas

import "math"

// deadBandBar is how far the inert pressure may go up and down without gas of the
// diluent having come in: the saw-tooth of oxygen let in and used moves it too.
// Ours: wider than any saw-tooth, so that what is counted is a lower bound.
const deadBandBar = 0.3

// LeastWashIn follows the share of helium in the inert part of a loop that holds
// startHe at first and takes in no more diluent than it must. Where the inert
// pressure p_i = P_d - PO2 rises, that rise is diluent with the share dilHe; where it
// falls, gas is vented as it is:
//
//	d(h p_i) = h_dil dp_i   while p_i rises,   h stays while it falls
//
// Rises and falls within 0.3 bar do not count, nor do flushes and diluent that
// makes up for vented gas: the truth lies between this and dilHe, the share of a
// loop in which the diluent has replaced all else. Slices have one element a row;
// NaN in po2Bar or dryBar leaves h as it is, NaN in dilHe makes it unknown until
// the diluent is known again. The result has one element a row.
func LeastWashIn(po2Bar, dryBar, dilHe []float64, startHe float64) []float64 {
	if len(po2Bar) != len(dryBar) || len(po2Bar) != len(dilHe) {
		panic("gas: columns of unequal length")
	}
	out := make([]float64, len(po2Bar))
	h, reached := startHe, math.NaN()
	for i := range out {
		inert := math.Max(0, dryBar[i]-po2Bar[i])
		switch {
		case math.IsNaN(dilHe[i]):
			h = math.NaN()
		case math.IsNaN(h): // whatever came before, the diluent says no more
			h = dilHe[i]
		}
		switch {
		case math.IsNaN(inert):
		case math.IsNaN(reached):
			reached = inert
		case inert > reached:
			h = (h*reached + dilHe[i]*(inert-reached)) / inert
			reached = inert
		default:
			reached = math.Min(reached, inert+deadBandBar)
		}
		out[i] = h
	}
	return out
}
