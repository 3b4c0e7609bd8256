package supply

import (
	"math"
	"sort"
)

// Valve is one oxygen valve as commanded.
type Valve struct {
	Number int
	// OpenS is the seconds commanded open since the row before; NaN not recorded.
	OpenS []float64
	// Failed marks rows in which it is known, from elsewhere, to have given nothing; nil means none.
	Failed []bool
}

// Span is a stretch of time with what the dive did in it.
type Span struct {
	Kind       string
	FromS, ToS float64
}

// Hand is an addition of gas that the log records, with no amount.
type Hand struct {
	AtS     float64
	Oxygen  bool // else diluent
	IsFlush bool
}

// Input is one dive in columns. Every slice has one element per row of TimeS,
// which is finite and strictly increasing; NaN means "not recorded", a nil column
// that there is none.
type Input struct {
	TimeS      []float64
	GapAfter   []bool    // a gap of the record follows the row; nil: none
	AmbientBar []float64 // absolute
	// TempC is the temperature of the water; a cylinder in it is taken to follow.
	TempC []float64
	// O2CylBar and DilCylBar are absolute pressures.
	O2CylBar, DilCylBar []float64
	Valves              []Valve
	OnLoop              []bool
	// PO2Bar is the PO2 of the loop, DryBar the pressure of its dry gas.
	PO2Bar, DryBar []float64
	FO2Diluent     []float64
	Hands          []Hand
	// UnderFromS and UnderToS are the first and the last moment under water, NaN for none.
	UnderFromS, UnderToS float64
	// Phases are the phases of the dive in order; Level are the stretches at one depth,
	// on the loop, in which no gas was added that the log holds.
	Phases []Span
	Level  []Span
	// CylinderL, FlowLMin (STPD, one valve, while open) and LoopVolumeL are NaN where not stated.
	CylinderL, FlowLMin, LoopVolumeL float64
	LoopTempC                        float64
	// VO2 is the consumption in L/min STPD by the log; VO2UsesFlow tells that it rests
	// on the stated flow, and so is no account of its own beside the valves'.
	VO2         Range
	VO2UsesFlow bool
	// VO2From are the stretches that VO2 was found in; beyond them it may be anything within PlanVO2.
	VO2From []Span
	// PlanVO2 (L/min STPD) and PlanVolumeL stand in for what the log does not give.
	PlanVO2, PlanVolumeL Range
	Batteries            []Voltage
}

// Voltage is one battery's.
type Voltage struct {
	Number int
	V      []float64
	// Valves are the numbers of the valves that it drives; empty where not stated.
	Valves []int
	// Lost marks rows that lack readings which the rows before had; nil: none.
	Lost []bool
}

// value reads a column in which nil means "not recorded".
func value(column []float64, i int) float64 {
	if column == nil {
		return math.NaN()
	}
	return column[i]
}

// on reads a column of flags in which nil means the given default.
func on(flags []bool, i int, whenNil bool) bool {
	if flags == nil {
		return whenNil
	}
	return flags[i]
}

// rowsWithin are the rows [a, b) with fromS <= time <= toS.
func rowsWithin(tS []float64, fromS, toS float64) (a, b int) {
	a = sort.SearchFloat64s(tS, fromS)
	return a, sort.Search(len(tS), func(i int) bool { return tS[i] > toS })
}

// knownIn gathers the known values of v in rows [a, b).
func knownIn(v []float64, a, b int) []float64 {
	if v == nil || a >= b {
		return nil
	}
	out := make([]float64, 0, b-a)
	for i := a; i < b; i++ {
		if x := v[i]; !math.IsNaN(x) {
			out = append(out, x)
		}
	}
	return out
}
