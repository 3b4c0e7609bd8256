package loop

import (
	"math"
	"slices"
)

// Record is one dive as columns. Every slice that is not nil is as long as
// TimeS; NaN means "not recorded". TimeS is finite and strictly increasing.
// Pressures are absolute bar, fractions lie in 0..1, moments are in seconds on
// the log's own time axis.
type Record struct {
	TimeS, DepthM, AmbientBar []float64

	CellsBar    [][]float64 // one column per cell
	CellStepBar []float64   // rounding step of each cell's readings; 0: not known
	CellNumber  []int       // the number each cell carries in the log, from 1

	UnitPO2Bar, SetPointBar []float64 // nil where the log has no such column

	Valves []Valve

	LoopHe     []float64 // measured helium fraction; nil without such a column
	HeBasisWet bool      // measured in humid gas
	HeSigma    float64   // stated standard error of LoopHe; NaN: not stated

	FO2Dil, FHeDil []float64 // diluent in use at each row; nil or NaN: not known

	OnLoop   []bool // false while the diver breathes open circuit; nil: always on the loop
	GapAfter []bool // a gap in the record lies between this row and the next; nil: none
	// Masked rows lie in or near a flush, a manual addition or a bailout, where the
	// gas at the cells need not be that of a well-mixed loop; see [MaskEvents].
	Masked []bool

	Events []Event
	Known  []KnownGas

	// LoopVolumeL at ambient pressure and FlowLMin (STPD, while a valve is open);
	// NaN where not known.
	LoopVolumeL, FlowLMin float64
	// Water vapour in the loop lies between these; see METHODS, "Gas".
	VapourLowBar, VapourHighBar float64
}

// Valve is one oxygen valve as it was commanded.
type Valve struct {
	Number   int
	OpenS    []float64 // seconds commanded open since the previous row
	Openings []float64 // openings since the previous row; nil where not recorded
}

// EventKind is one of the log's fixed event words.
type EventKind string

// The events that concern the loop.
const (
	DiluentFlush   EventKind = "diluent_flush"
	OxygenFlush    EventKind = "oxygen_flush"
	ManualOxygen   EventKind = "manual_oxygen"
	ManualDiluent  EventKind = "manual_diluent"
	Bailout        EventKind = "bailout"
	BackOnLoop     EventKind = "on_loop"
	CalibrationRun EventKind = "calibration"
)

// Event is something that the log says happened at a moment.
type Event struct {
	AtS  float64
	Kind EventKind
}

// KnownGas is a stretch in which the PO2 at the cells is known from outside,
// within an interval: a calibration, air at the surface, the plateau of a flush.
type KnownGas struct {
	FromS, ToS      float64
	LowBar, HighBar float64
	Basis           string // what makes it known, in words
}

// Rows is the number of rows.
func (r Record) Rows() int { return len(r.TimeS) }

// AmbientAt is the ambient pressure of row i, or NaN.
func (r Record) AmbientAt(i int) float64 { return at(r.AmbientBar, i) }

// Gap tells whether a gap in the record lies between row i and row i+1.
func (r Record) Gap(i int) bool { return r.GapAfter != nil && r.GapAfter[i] }

// Usable tells whether the gas at the cells may be taken for that of a
// well-mixed, breathed loop at row i.
func (r Record) Usable(i int) bool {
	return (r.Masked == nil || !r.Masked[i]) && (r.OnLoop == nil || r.OnLoop[i])
}

// finestStepBar is the least rounding step among the cells; 0 where one is not known.
func (r Record) finestStepBar() float64 {
	if len(r.CellStepBar) == 0 {
		return 0
	}
	return slices.Min(r.CellStepBar)
}

// UsualStepS is the median interval between rows, in seconds; NaN with fewer
// than two rows.
func (r Record) UsualStepS() float64 {
	if len(r.TimeS) < 2 {
		return math.NaN()
	}
	h := make([]float64, 0, len(r.TimeS)-1)
	for i := 1; i < len(r.TimeS); i++ {
		h = append(h, r.TimeS[i]-r.TimeS[i-1])
	}
	return quantileInPlace(h, 0.5)
}

// at is x[i], or NaN where there is no such column.
func at(x []float64, i int) float64 {
	if x == nil {
		return math.NaN()
	}
	return x[i]
}

// MaskParams says how long after an event the gas at the cells is not judged.
type MaskParams struct {
	BeforeS float64 `json:"mask_before_s"` // s; 10, ours: an event is logged when it is over, or at the next row
	AfterS  float64 `json:"mask_after_s"`  // s; 60, ours: a flush lasts some 15 to 30 s, and mixing takes a few breaths
}

// DefaultMaskParams returns the defaults.
func DefaultMaskParams() MaskParams { return MaskParams{BeforeS: 10, AfterS: 60} }

// MaskEvents marks the rows near flushes and manual additions, and those on open
// circuit with their margins. It reads Events and OnLoop; it changes nothing.
func MaskEvents(r Record, p MaskParams) []bool {
	m := make([]bool, r.Rows())
	for _, e := range r.Events {
		switch e.Kind {
		case DiluentFlush, OxygenFlush, ManualOxygen, ManualDiluent, Bailout, BackOnLoop:
			markSpan(m, r.TimeS, e.AtS-p.BeforeS, e.AtS+p.AfterS)
		}
	}
	for i := 0; r.OnLoop != nil && i < len(m); i++ {
		if r.OnLoop[i] {
			continue
		}
		j := i
		for j+1 < len(m) && !r.OnLoop[j+1] {
			j++
		}
		markSpan(m, r.TimeS, r.TimeS[i]-p.BeforeS, r.TimeS[j]+p.AfterS)
		i = j
	}
	return m
}

// markSpan sets the rows whose time lies from..to.
func markSpan(m []bool, timeS []float64, from, to float64) {
	i, _ := slices.BinarySearch(timeS, from)
	for ; i < len(m) && timeS[i] <= to; i++ {
		m[i] = true
	}
}

// PhaseKind is what the depth does.
type PhaseKind string

// The kinds of phase that matter to the loop: see METHODS, "Tracking".
const (
	Descent PhaseKind = "descent"
	Ascent  PhaseKind = "ascent"
	Level   PhaseKind = "level"
)

// Phase is a run of rows From..To (inclusive) of one kind.
type Phase struct {
	Kind     PhaseKind
	From, To int
}

// Phases splits the record by the slope of depth over windowS (30 s in METHODS):
// a descent is faster than rateMMin (3 m/min), an ascent faster the other way,
// the rest is level. A gap ends a phase. Rows without depth are left out.
func Phases(r Record, windowS, rateMMin float64) []Phase {
	var out []Phase
	rate := Slope(r.TimeS, r.DepthM, windowS)
	for i, v := range rate {
		if math.IsNaN(v) {
			continue
		}
		k := Level
		switch v *= 60; {
		case v > rateMMin:
			k = Descent
		case v < -rateMMin:
			k = Ascent
		}
		if n := len(out); n > 0 && out[n-1].Kind == k && out[n-1].To == i-1 && !r.Gap(i-1) {
			out[n-1].To = i
			continue
		}
		out = append(out, Phase{k, i, i})
	}
	return out
}
