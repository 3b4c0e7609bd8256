// Package fit answers how a measured quantity runs along another: a straight
// line by least squares, a straight line that a few wild points cannot bend, a
// curve, and the places where a run of values breaks.
//
// It is mathematics only and, with package gas, the bottom of the module: it
// imports nothing of it, and everything else may import it. Inputs are slices of
// equal length without NaN, which the caller leaves out; a length mismatch
// panics. Where too few points stand for a figure it is NaN.
//
// Sources: least squares as in any textbook, checked against the certified
// values of the NIST Statistical Reference Datasets (StRD); H. Theil, "A
// rank-invariant method of linear and polynomial regression analysis" (1950) and
// P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau",
// J. Am. Stat. Assoc. 63:1379 (1968); optimal partitioning: B. Jackson et al.,
// "An algorithm for optimal partitioning of data on an interval", IEEE Signal
// Processing Letters 12:105 (2005).
package fit

import "math"

func sameLength(x, y []float64) {
	if len(x) != len(y) {
		panic("fit: x and y differ in length")
	}
}

var nan = math.NaN()
