// Package linearity answers how far an oxygen cell follows the PO2 that it is
// given in a pressure pot: offset, slope, departure from the line at each level,
// ceiling, hysteresis, and T90 of each step.
//
// A galvanic cell's output is proportional to PO2 as long as the diffusion
// barrier holds the PO2 at its cathode near zero (Fick's law); an old cell can't
// deliver the current that a rich gas asks for, reads low above a ceiling, and
// may still calibrate well in air. That is why the pot goes up to 3.5 bar
// (common practice, a parameter of the test and not of this package).
//
// The pot's gas: filled with a supply gas of fraction F_s from pressure P1 to P2
// and then held or vented, the well-mixed pot has
//
//	x2 = [x1 P1 + F_s (P2 - P1)] / P2    while it fills
//	x2 = x1                              while it vents
//	x_n = F_s - (F_s - x_0) (P_low / P_high)^n   after n purges
//
// so that one bar of air pressed to 3.5 bar with oxygen is 77 %, not 100. These
// are mass balances of a well-mixed, isothermal pot.
//
// Pressures are absolute bar, times seconds, readings in mV or bar; NaN is "not
// recorded". Slices have one element per row.
package linearity

import "math"

// Params are the thresholds.
type Params struct {
	// PlateauS is how long the pressure must stand to be a level: s, default 30 (ours).
	PlateauS float64 `json:"plateau_s"`
	// PlateauBar is how far it may move meanwhile: bar, default 0.04 (ours; a pot cools after filling).
	PlateauBar float64 `json:"plateau_bar"`
	// SettledS is the end of a level that counts as its reading: s, default 15 (ours).
	SettledS float64 `json:"settled_s"`
	// UnsettledFraction is how far a reading may still move within SettledS, as a
	// share of itself, default 0.02 (ours); a level beyond is left out.
	UnsettledFraction float64 `json:"unsettled_fraction"`
	// TurnBar is the smallest rise or fall that counts as filling or venting: bar, default 0.03 (ours).
	TurnBar float64 `json:"turn_bar"`
	// PressureSDBar is the standard uncertainty of the pressure: bar, default 0.01 (a gauge of class 1 up to 2.5 bar; ours).
	PressureSDBar float64 `json:"pressure_sd_bar"`
	// FractionSD is the standard uncertainty of the pot's oxygen fraction, default 0.005 (ours).
	FractionSD float64 `json:"fraction_sd"`
	// DepartureFraction is the limit for the departure from the line, as a share of the PO2, default 0.05 (common practice).
	DepartureFraction float64 `json:"departure_fraction"`
	// DepartureBar is added to it, so that low levels are not judged by a hair: bar, default 0.01 (ours).
	DepartureBar float64 `json:"departure_bar"`
	// OffsetBar is the limit for the offset of the line: bar, default 0.03 (ours).
	OffsetBar float64 `json:"offset_bar"`
	// HysteresisBar is the limit for down against up: bar, default 0.05 (ours).
	HysteresisBar float64 `json:"hysteresis_bar"`
	// T90S is the limit for T90: s, default 15 (common practice; new cells reach 90 % in 5-10 s).
	T90S float64 `json:"t90_s"`
	// CeilingSlope is the slope above a ceiling as a share of that below, at most: default 0.3.
	CeilingSlope float64 `json:"ceiling_slope"`
	// GoalBar is the PO2 up to which a cell should be shown to follow: bar, default 1.6 (common practice).
	GoalBar float64 `json:"goal_bar"`
	// Confidence is the level of all intervals, default 0.95.
	Confidence float64 `json:"confidence"`
}

// DefaultParams are the defaults of each field.
func DefaultParams() Params {
	return Params{PlateauS: 30, PlateauBar: 0.04, SettledS: 15, UnsettledFraction: 0.02, TurnBar: 0.03, PressureSDBar: 0.01, FractionSD: 0.005,
		DepartureFraction: 0.05, DepartureBar: 0.01, OffsetBar: 0.03, HysteresisBar: 0.05, T90S: 15, CeilingSlope: 0.3, GoalBar: 1.6, Confidence: 0.95}
}

// Input is one test.
type Input struct {
	TimeS []float64
	// PressureBar is absolute; VapourBar the water vapour in it (nil: dry).
	PressureBar, VapourBar []float64
	// Fraction is the oxygen fraction of the dry gas at the first row and SupplyO2
	// that of the filling gas; FractionRows, where not nil, is the fraction row by
	// row and beats both. Constant keeps Fraction for the whole test.
	Fraction, SupplyO2 float64
	FractionRows       []float64
	Constant           bool
	// Readings are the cells', StepRaw their rounding steps.
	Readings [][]float64
	StepRaw  []float64
}

// Estimate is a value with its interval; NaN throughout where nothing is known.
type Estimate struct{ Value, Low, High float64 }

// Unknown is an estimate of which nothing is known.
func Unknown() Estimate { return Estimate{nan, nan, nan} }

var nan = math.NaN()

// AfterPurges is the oxygen fraction after n times filling from lowBar to highBar
// (absolute) with gas of fraction supply and venting, from start:
//
//	x_n = F_s - (F_s - x_0) (P_low / P_high)^n
func AfterPurges(start, supply, lowBar, highBar float64, n int) float64 {
	return supply - (supply-start)*math.Pow(lowBar/highBar, float64(n))
}

// Filled is the oxygen fraction after filling from fromBar to toBar, absolute:
//
//	x2 = [x1 P1 + F_s (P2 - P1)] / P2
func Filled(fraction, supply, fromBar, toBar float64) float64 {
	return (fraction*fromBar + supply*(toBar-fromBar)) / toBar
}
