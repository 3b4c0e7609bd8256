// Package tightness answers how fast a loop that was closed and pressed (positive
// test) or sucked (negative test) loses its pressure difference, how sure that
// is against a limit, and from which second on it was certain.
//
// The rate is that of the pressure, in mbar/min, positive towards ambient. What a
// rate means as a flow depends on how much gas a change of pressure moves: for a
// soft loop at absolute pressure P, volume V, compliance C,
//
//	Q = (V/P + C) dP/dt
//
// and C can exceed V/P, so that a flow is given only where the compliance is
// stated or was measured with a known volume. For a rigid vessel (C = 0) that is
// the usual pressure-decay equation, in molar form that of 40 CFR 1065.644:
//
//	n = (V/R) (p2/T2 - p1/T1) / (t2 - t1)
//
// ASTM E2930-13(2021), the standard practice of that equation, "does not apply to
// deformable vessels": it formally excludes a loop with counterlungs.
//
// A temperature that rises by dT lifts the pressure by
//
//	dP = k P dT/T,  k = (V/P) / (V/P + C)
//
// with k = 1 for a rigid vessel and less for a soft one. 1 K is some 3.5 mbar,
// the size of a leak limit.
//
// Pressures of the loop are mbar relative to ambient, ambient is absolute bar,
// temperature is in degrees Celsius; NaN is "not recorded".
package tightness

import "math"

// Params are the thresholds.
type Params struct {
	// LimitMbarMin is the limit: mbar/min, default 2 (ours: the equipment's own procedure states one).
	LimitMbarMin float64 `json:"limit_mbar_min"`
	// TestS is how long a test should last: s, default 60 (common practice).
	TestS float64 `json:"test_s"`
	// ResolutionMbar is how well the pressure is known at best: mbar, default 0.1 (common practice); the file's own rounding counts where it is coarser.
	ResolutionMbar float64 `json:"resolution_mbar"`
	// LeastS is the shortest stretch that is judged: s, default 20 (ours).
	LeastS float64 `json:"least_s"`
	// JumpMbar is the smallest step of pressure that counts as a disturbance: mbar, default 0.5 (ours).
	JumpMbar float64 `json:"jump_mbar"`
	// DisturbedS is left out on either side of a disturbance: s, default 3 (ours).
	DisturbedS float64 `json:"disturbed_s"`
	// SettleS is how long settling may last: s, default 40 (ours).
	SettleS float64 `json:"settle_s"`
	// SettleFactor: an early stretch whose rate per mbar of pressure is more than
	// this many times the later one is no leak, default 1.6 (ours).
	SettleFactor float64 `json:"settle_factor"`
	// ReliefFactor: one that is this many times as fast and ends at once is a relief valve, default 5 (ours).
	ReliefFactor float64 `json:"relief_factor"`
	// UnknownTempKMin is the drift of temperature that can't be excluded where none was recorded: K/min, default 0.2 (ours).
	UnknownTempKMin float64 `json:"unknown_temp_k_min"`
	// Confidence is the level of all intervals, default 0.95.
	Confidence float64 `json:"confidence"`
}

// DefaultParams are the defaults of each field.
func DefaultParams() Params {
	return Params{LimitMbarMin: 2, TestS: 60, ResolutionMbar: 0.1, LeastS: 20, JumpMbar: 0.5, DisturbedS: 3, SettleS: 40, SettleFactor: 1.6,
		ReliefFactor: 5, UnknownTempKMin: 0.2, Confidence: 0.95}
}

// Input is one test.
type Input struct {
	TimeS      []float64
	LoopMbar   []float64
	StepMbar   float64 // rounding of LoopMbar
	AmbientBar []float64
	TempC      []float64 // nil: not recorded
	TempStepK  float64
	Positive   bool
	// ClosedS is when the loop was closed and OpenedS when it was opened again, NaN
	// where not recorded; DisturbedS and KnownS are moments.
	ClosedS, OpenedS   float64
	DisturbedS, KnownS []float64
	KnownVolumeL       float64 // added at each of KnownS, negative: taken out
	LoopVolumeL        float64 // NaN: not known
	ComplianceLMbar    float64 // NaN: not known
}

// Estimate is a value with its interval; NaN throughout where nothing is known.
type Estimate struct{ Value, Low, High float64 }

var nan = math.NaN()

func unknown() Estimate { return Estimate{nan, nan, nan} }

// MolarConstant is R in J/(mol K) as 40 CFR 1065.644 prints it.
const MolarConstant = 8.314472

// DecayMolS is the leak of a rigid vessel of volumeM3 by 40 CFR 1065.644, in
// mol/s, from pressure p1 at temperature t1K to p2 at t2K, Pa and K, in s seconds:
//
//	n = (V/R) (p2/T2 - p1/T1) / (t2 - t1)
func DecayMolS(volumeM3, p1, t1K, p2, t2K, s float64) float64 {
	return volumeM3 / MolarConstant * (p2/t2K - p1/t1K) / s
}

const zeroCelsiusK = 273.15
