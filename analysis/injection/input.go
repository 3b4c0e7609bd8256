package injection

import "math"

// Signal says which PO2 the responses are read from.
type Signal uint8

// The signals. The median of the cells is the default: it does not depend on
// what the unit's vote did.
const (
	MedianOfCells Signal = iota
	UnitPO2
)

// Valve is one oxygen valve as commanded.
type Valve struct {
	Number int
	// OpenS is the seconds commanded open since the row before; NaN not recorded.
	OpenS []float64
	// Openings counts the openings since the row before; nil where not recorded.
	Openings []float64
	// Failed marks rows in which the valve is known, from elsewhere, not to have
	// delivered what was commanded; nil means none. Its seconds then count as
	// commanded, but no oxygen is reckoned from them and no balance is drawn over them.
	Failed []bool
}

// Input is one dive in columns. Every slice has one element per row of TimeS,
// which is finite and strictly increasing; NaN means "not recorded".
type Input struct {
	TimeS []float64
	// DepthM in metres, or nil: then a metre is taken as 0.1 bar of AmbientBar.
	DepthM []float64
	// AmbientBar is the absolute ambient pressure.
	AmbientBar []float64
	// SetPointBar in force, or nil: then no need is reckoned.
	SetPointBar []float64
	// PO2Bar is the unit's PO2, or nil.
	PO2Bar []float64
	// CellsBar are the cells' readings.
	CellsBar [][]float64
	// Valves as commanded; none where the log has no such columns.
	Valves []Valve
	// OnLoop tells whether the diver breathed from the loop; nil means always.
	OnLoop []bool
	// GapAfter marks rows that a gap of the record follows; nil means none.
	GapAfter []bool
	// Masked marks rows in which something else moves PO2: a flush, oxygen or
	// diluent added by hand; nil means none.
	Masked []bool
	// FO2Diluent is the oxygen fraction of the diluent in force, or nil.
	FO2Diluent []float64
	// LoopVolumeL and FlowLMin (STPD, one valve, while open) are NaN where not stated.
	LoopVolumeL, FlowLMin float64
	// VapourBar is the water vapour in the loop; LoopTempC its temperature, NaN
	// for [Params].AssumedLoopTempC.
	VapourBar, LoopTempC float64
	// CellT90S is the time of the cells behind the signal to 90 % of a step, where
	// known; NaN or 0 for [Params].AssumedCellT90S.
	CellT90S float64
	// ResponseFrom chooses the signal.
	ResponseFrom Signal
}

// check panics where the columns are not of one length: that is a mistake of
// the calling program and never one of the data.
func (in Input) check() {
	n := len(in.TimeS)
	columns := [][]float64{in.DepthM, in.AmbientBar, in.SetPointBar, in.PO2Bar, in.FO2Diluent}
	columns = append(columns, in.CellsBar...)
	flags := [][]bool{in.OnLoop, in.GapAfter, in.Masked}
	for _, v := range in.Valves {
		columns = append(columns, v.OpenS, v.Openings)
		flags = append(flags, v.Failed)
	}
	for _, c := range columns {
		if c != nil && len(c) != n {
			panic("injection: columns differ in length")
		}
	}
	for _, f := range flags {
		if f != nil && len(f) != n {
			panic("injection: columns differ in length")
		}
	}
}

// on reads a column of flags in which nil means the given default.
func on(flags []bool, i int, whenNil bool) bool {
	if flags == nil {
		return whenNil
	}
	return flags[i]
}

// value reads a column in which nil means "not recorded".
func value(column []float64, i int) float64 {
	if column == nil {
		return math.NaN()
	}
	return column[i]
}

// known is x where it is a positive number, else the other.
func known(x, other float64) float64 {
	if x > 0 {
		return x
	}
	return other
}

// depth is the depth at row i, or what stands in for it.
func (in Input) depth(i int) float64 {
	if in.DepthM != nil {
		return in.DepthM[i]
	}
	return value(in.AmbientBar, i) * 10
}

// beforeS is the time that row i looks back on: since the row before; for the
// first row, and the one after a gap, as long as the row after it.
func (in Input) beforeS(i int) float64 {
	if i > 0 && !on(in.GapAfter, i-1, false) {
		return in.TimeS[i] - in.TimeS[i-1]
	}
	if i+1 < len(in.TimeS) && !on(in.GapAfter, i, false) {
		return in.TimeS[i+1] - in.TimeS[i]
	}
	return 0
}

// openS is the seconds commanded at row i by the valve, 0 where not recorded.
func (v Valve) openS(i int) float64 {
	if s := value(v.OpenS, i); s > 0 {
		return s
	}
	return 0
}
