package score

import "afterloop/analysis"

// Float is a number that may not be known (null in JSON).
type Float = analysis.Float

// Log is one dive: what was wrong, what was found, and how far the two agree.
type Log struct {
	Family   string `json:"family"`
	Seed     uint64 `json:"seed"`
	Scenario string `json:"scenario"` // of the family; see `afterloop scenario list`
	Profile  string `json:"profile"`
	Cells    int    `json:"cells"`
	SampleS  Float  `json:"sample_s"`
	// Helium tells whether a helium sensor was recorded: it can settle a gain.
	Helium bool `json:"helium_sensor"`
	// Failed says why the program could not debrief the dive, or is empty.
	Failed string `json:"failed,omitempty"`
	// Healthy dives have nothing wrong, not even something that never showed.
	Healthy bool `json:"healthy"`
	// Undecidable are cells alike in gain that no witness can tell from the others;
	// UndecidableLeak is a leak that a lower VO2 explains as well. Such a leak is
	// not among the faults.
	Undecidable     []int     `json:"undecidable"`
	UndecidableLeak bool      `json:"undecidable_leak"`
	Faults          []Fault   `json:"expected"`
	Found           []Finding `json:"found"`
	// CellsDisagree tells whether the debrief says that cells disagree.
	CellsDisagree bool `json:"cells_disagree"`
	// SureAndWrong says in words what was sure and wrong.
	SureAndWrong    []string     `json:"sure_and_wrong"`
	Checks          []Outcome    `json:"checks"`
	AssessableHours Float        `json:"assessable_hours"`
	Estimate        Accuracy     `json:"estimate"`
	Simple          []SimpleRule `json:"simple_rules"`
}

// Verdicts on a fault.
const (
	RightKind = "right-kind" // right part and right kind
	RightPart = "right-part" // right part, wrong kind or too many kinds
	WrongPart = "wrong-part" // nothing on its part, but a healthy part named at that time
	Missed    = "missed"     // nothing at that time
)

// Fault is one true fault and what became of it.
type Fault struct {
	Kind  string `json:"kind"` // of the finding that is wanted
	Cell  int    `json:"cell,omitempty"`
	Valve int    `json:"valve,omitempty"`
	FromS Float  `json:"from_s"`
	ToS   Float  `json:"to_s"` // end of the dive where it lasts
	// T90S of a slow cell, CeilingBar of a limited one, as they truly are.
	T90S       float64 `json:"t90_s,omitempty"`
	CeilingBar float64 `json:"ceiling_bar,omitempty"`
	Verdict    string  `json:"verdict"`
	// Said are the kinds found on the part at that time, each once.
	Said []string `json:"said"`
	// Confidence, OnsetErrorS (from_s found less the true one) of a right kind; the
	// latter only where the fault starts during the dive.
	Confidence  string `json:"confidence,omitempty"`
	OnsetErrorS Float  `json:"onset_error_s"`
	// NotAssessed: nothing was said on the part, and the check of this kind ended so.
	NotAssessed bool `json:"not_assessed"`
	// Trivial: one of the simple rules names this cell and no healthy one.
	Trivial bool `json:"trivial"`
	// T90Error is relative, of slow cells; CeilingErrorBar of limited ones. Not
	// known where the debrief gives no figure, or for other kinds.
	T90Error        Float `json:"t90_error_fraction"`
	CeilingErrorBar Float `json:"ceiling_error_bar"`
}

// Verdicts on a finding.
const (
	Right        = "right"
	WrongKind    = "wrong-kind"  // the part is faulty then, but otherwise
	WrongTime    = "wrong-time"  // the part is faulty, but not then
	FalseAlarm   = "false-alarm" // the part has no fault
	MisIsolated  = "wrong-part"  // a false alarm while another part is faulty and not named
	OpenQuestion = "undecidable" // the log can't settle it: neither right nor wrong
	OnlyNote     = "note"        // borderline: not counted
)

// Finding is one finding of a fault.
type Finding struct {
	Kind       string `json:"kind"`
	Cell       int    `json:"cell,omitempty"`
	Valve      int    `json:"valve,omitempty"`
	Severity   string `json:"severity"`
	Confidence string `json:"confidence"`
	FromS      Float  `json:"from_s"`
	ToS        Float  `json:"to_s"`
	Verdict    string `json:"verdict"`
}

// Outcome is how one check of faults ended.
type Outcome struct {
	Check    string           `json:"check"`
	Outcome  analysis.Outcome `json:"outcome"`
	Fraction Float            `json:"assessable_fraction"`
}

// Accuracy is how near the estimate came to the true PO2 at the cells, over all
// rows of the log.
type Accuracy struct {
	Rows    int   `json:"rows"`
	VoteRMS Float `json:"vote_rms_bar"` // of the PO2 that the unit recorded
	RMS     Float `json:"rms_bar"`
	// ScaledRMS is what is left after the best constant factor, Scale: an error of
	// gain that all cells share, which no log without a witness can tell.
	ScaledRMS Float `json:"scaled_rms_bar"`
	Scale     Float `json:"scale"`
	Inside    int   `json:"rows_inside_band"`
	WidthBar  Float `json:"band_width_bar"` // median
}

// SimpleRule is what one simple rule made of the cells.
type SimpleRule struct {
	Rule        string `json:"rule"`
	Detected    int    `json:"detected"` // faults of cells during which any cell was named
	Named       int    `json:"named"`    // whose cell was named
	Exact       int    `json:"exact"`    // whose cell was named, and no healthy one in the whole dive
	FalseAlarms int    `json:"false_alarms"`
}
