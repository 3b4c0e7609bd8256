package analysis

// Outcome is how a check ended; the five are never collapsed into fewer.
type Outcome string

// The five outcomes of a check.
const (
	Found        Outcome = "found"
	NotFound     Outcome = "not_found"
	Borderline   Outcome = "borderline"
	NotAssessed  Outcome = "not_assessed"
	DoesNotApply Outcome = "does_not_apply"
)

// Check is one question that was put to the log.
type Check struct {
	ID                 string  `json:"id"`
	Version            int     `json:"version"`
	Title              string  `json:"title"`
	Looks              string  `json:"looks_for"`
	Outcome            Outcome `json:"outcome"`
	Reason             string  `json:"reason"`
	AssessableFraction Float   `json:"assessable_fraction"`
}

// Severity of a finding.
type Severity string

// Severities of a finding.
const (
	Note    Severity = "note"
	Caution Severity = "caution"
	Warning Severity = "warning"
)

// Confidence in a finding, by the written rule in [ConfidenceRule].
type Confidence string

// Confidences, from strong to weak.
const (
	Sure     Confidence = "sure"
	Likely   Confidence = "likely"
	Possible Confidence = "possible"
)

// Finding is one event worth talking about. One event is one finding, even if it grows.
type Finding struct {
	ID           string     `json:"id"` // stable within a debrief: kind and a counter
	Kind         string     `json:"kind"`
	Title        string     `json:"title"`
	Check        string     `json:"check"`
	CheckVersion int        `json:"check_version"`
	Severity     Severity   `json:"severity"`
	Confidence   Confidence `json:"confidence"`
	WhySure      string     `json:"why_confidence"`
	// Cell or Valve is the one part the evidence names, or nil; Cells are all concerned.
	Cell  *int  `json:"cell"`
	Cells []int `json:"cells"`
	Valve *int  `json:"valve"`
	FromS Float `json:"from_s"`
	ToS   Float `json:"to_s"`
	// Observed is what was seen, without a cause.
	Observed     string   `json:"observed"`
	Onset        Value    `json:"onset"`
	Worst        Value    `json:"worst"`
	End          Value    `json:"end"`
	Limit        Value    `json:"limit"`
	LimitSource  string   `json:"limit_source"`
	Others       string   `json:"others"`
	Evidence     []string `json:"evidence"`
	Alternatives []string `json:"alternatives"`
	WouldChange  string   `json:"would_change"`
	Advice       Advice   `json:"advice"`
}

// Value is a figure at a moment; At is unknown where the figure has no moment.
type Value struct {
	Value Float  `json:"value"`
	Unit  string `json:"unit"`
	AtS   Float  `json:"at_s"`
}

// Advice is what to do, for the three readers.
type Advice struct {
	Diver      string `json:"diver"`
	Technician string `json:"technician"`
	Instructor string `json:"instructor"`
}
