package cell

import "math"

// Kind names a fault of a cell; the definitions are in METHODS, "Faults".
type Kind string

// The faults of a cell.
const (
	Slow          Kind = "slow-cell"
	Limited       Kind = "current-limited-cell"
	Miscalibrated Kind = "miscalibrated-cell"
	Drifting      Kind = "drifting-cell"
	Frozen        Kind = "frozen-cell"
	Erratic       Kind = "erratic-cell"
)

// Confidence in a fault; [Confidences] holds the rule.
type Confidence string

// Confidences, from strong to weak.
const (
	Sure     Confidence = "sure"
	Likely   Confidence = "likely"
	Possible Confidence = "possible"
)

// Interval is an estimate with its 95 % interval; where nothing can be said all
// three are NaN and Reason says why. Where only a bound is known Value is NaN (a
// ceiling never reached has a Low alone). Reason may also qualify a known value.
type Interval struct {
	Value, Low, High float64
	Reason           string
}

// Known tells whether the interval has a value.
func (v Interval) Known() bool { return !math.IsNaN(v.Value) }

// Has tells whether x lies within the interval.
func (v Interval) Has(x float64) bool { return x >= v.Low && x <= v.High }

// unknown is an interval that says nothing, with the reason.
func unknown(reason string) Interval {
	return Interval{math.NaN(), math.NaN(), math.NaN(), reason}
}

// Fault is one thing wrong with one cell over one span of time.
type Fault struct {
	Kind       Kind
	Cell       int     // the cell's number in the log
	FromS, ToS float64 // ToS is NaN where it lasts to the end of the record
	// Onset is the range of moments at which it may have begun, where it began
	// during the dive and is read off a change of the cell's behaviour; else all NaN.
	Onset Interval
	// Value with its interval: T90 (s), ceiling (bar), gain (1), change of gain
	// over the dive (1), reading at which it stands (bar), excursion (bar).
	Value, Low, High float64
	Unit             string
	Confidence       Confidence
	// Borderline is an outcome, not a fault: the interval holds the limit.
	Borderline      bool
	Evidence        []string // one sentence for each independent line
	Alternatives    []string
	LinesOfEvidence int
}

// Report is what is known of one cell.
type Report struct {
	Cell       int
	T90S       Interval // s; of a cell that became slow, from then on; Reason tells where it is by comparison only
	Gain       Interval // against the cells taken as reference, or absolute where a witness settled it
	CeilingBar Interval // bar, as the cell's reading; with Low alone: no limit seen below it
	DriftPerH  Interval // change of gain per hour
	NoiseBar   Interval // standard deviation of one reading
	Faults     []Kind
	Unusable   []Span // stretches in which its readings say nothing (frozen, erratic)
}

// Span is a stretch of time.
type Span struct{ FromS, ToS float64 }

// Disagreement is a difference in gain that no witness settles.
type Disagreement struct {
	Cells   []int   // the largest group that reads alike, or the likelier; not thereby right
	Odd     []int   // those that differ from it
	Ratio   float64 // gain of the odd ones over theirs
	FromS   float64
	Reason  string
	Settled bool // numbers alone favour Cells clearly (three against one)
}

// Check is one question put to the cells and whether it could be answered.
type Check struct {
	Kind     Kind
	Cell     int
	Assessed bool
	Reason   string
}

// Diagnosis is the judgement of all cells of a dive.
type Diagnosis struct {
	Cells       []Report
	Faults      []Fault
	Undecided   []Disagreement
	Checks      []Check
	Excitations []string
	Reference   []int   // the cells by which the others were judged
	T90VisibleS float64 // the smallest T90 that this log can tell from a quick cell
	// AscentsJudged are the windows around ascents that could be fitted; NotFollowing says
	// that in them no cell's reading followed PO2, and is nil where some did.
	AscentsJudged int
	NotFollowing  *NotFollowing

	excitations []excitation
	clock       clock // T90 of the reference by the ascents alone
	allSlow     bool
}
