package tracking

import "math"

// Input is one dive in columns. Every slice has one element per row of TimeS,
// which is finite and strictly increasing; NaN means "not recorded".
type Input struct {
	TimeS []float64
	// DepthM in metres, or nil: then a metre is taken as 0.1 bar of AmbientBar.
	DepthM []float64
	// AmbientBar is the absolute ambient pressure.
	AmbientBar []float64
	// SetPointBar in force, or nil where none was recorded: then nothing is assessed.
	SetPointBar []float64
	// PO2Bar is the PO2 that is judged: the unit's own, or an estimate.
	PO2Bar []float64
	// OnLoop tells whether the diver breathed from the loop; nil means always.
	OnLoop []bool
	// GapAfter marks rows that a gap of the record follows; nil means none.
	GapAfter []bool
	// VapourBar is the water vapour in the loop, taken off ambient pressure for
	// the pressure of the dry gas.
	VapourBar float64
}

// check panics where the columns are not of one length: that is a mistake of
// the calling program and never one of the data.
func (in Input) check() {
	n := len(in.TimeS)
	for _, s := range [][]float64{in.DepthM, in.AmbientBar, in.SetPointBar, in.PO2Bar} {
		if s != nil && len(s) != n {
			panic("tracking: columns differ in length")
		}
	}
	if in.OnLoop != nil && len(in.OnLoop) != n || in.GapAfter != nil && len(in.GapAfter) != n {
		panic("tracking: columns differ in length")
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

// depth is the depth at row i, or what stands in for it.
func (in Input) depth(i int) float64 {
	if in.DepthM != nil {
		return in.DepthM[i]
	}
	return value(in.AmbientBar, i) * 10
}

// rowS is how long row i holds: until the next row; the last row, and the row
// before a gap, as long as the row before it.
func rowS(tS []float64, gapAfter []bool, i int) float64 {
	if i+1 < len(tS) && !on(gapAfter, i, false) {
		return tS[i+1] - tS[i]
	}
	if i > 0 && !on(gapAfter, i-1, false) {
		return tS[i] - tS[i-1]
	}
	return 0
}

// attainability of a set point at one row.
type attainability uint8

const (
	notKnown     attainability = iota // something needed was not recorded, or off the loop
	unattainable                      // above ambient pressure
	aboveDry                          // below ambient, above the pressure of the dry gas
	attainable
)

// attain judges the set point of row i against the pressure there.
func (in Input) attain(i int) attainability {
	sp, ambient := value(in.SetPointBar, i), value(in.AmbientBar, i)
	switch {
	case !on(in.OnLoop, i, true) || math.IsNaN(sp) || math.IsNaN(ambient):
		return notKnown
	case sp > ambient+tolBar:
		return unattainable
	case sp > ambient-in.VapourBar+tolBar:
		return aboveDry
	}
	return attainable
}

// ErrorBar is PO2 - set point by row, where it counts: on the loop, with a set
// point no higher than ambient pressure and a PO2; NaN elsewhere.
func ErrorBar(in Input) []float64 {
	in.check()
	e := make([]float64, len(in.TimeS))
	for i := range e {
		e[i] = math.NaN()
		if a := in.attain(i); a == attainable || a == aboveDry {
			e[i] = value(in.PO2Bar, i) - in.SetPointBar[i]
		}
	}
	return e
}
