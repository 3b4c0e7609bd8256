package score

// Family sums up the dives of one family.
type Family struct {
	Family    string `json:"family"`
	FirstSeed uint64 `json:"first_seed"`
	Dives     int    `json:"dives"`
	Failed    int    `json:"failed"`
	All       Kind   `json:"all_kinds"`
	// Kinds are those that occur in the truth, Scenarios those of the family.
	Kinds       []Kind        `json:"kinds"`
	Scenarios   []Scenario    `json:"scenarios"`
	TakenFor    []TakenFor    `json:"taken_for"`
	FalseAlarms FalseAlarms   `json:"false_alarms"`
	Grades      []Grade       `json:"grades"`
	Checks      []CheckShare  `json:"checks"`
	Undecidable Undecidable   `json:"undecidable"`
	Estimate    EstimateShare `json:"estimate"`
	Simple      []SimpleShare `json:"simple_rules"`
	// T90Error is relative, of slow cells; CeilingErrorBar of limited ones.
	T90Error        Distribution `json:"t90_error_fraction"`
	CeilingErrorBar Distribution `json:"ceiling_error_bar"`
}

// Kind is what became of the faults of one kind.
type Kind struct {
	Kind   string `json:"kind"` // "all" for all of them
	Faults int    `json:"faults"`
	// Detected: something is said at that time, on this part or, wrongly, another.
	Detected  Rate `json:"detected"`
	RightPart Rate `json:"right_part"`
	RightKind Rate `json:"right_kind"`
	Sure      Rate `json:"said_sure"` // of the right kinds
	// NotAssessed faults are missed ones whose check ended "not assessed";
	// RightPartAssessed leaves them out.
	NotAssessed       int  `json:"not_assessed"`
	RightPartAssessed Rate `json:"right_part_of_assessed"`
	// Trivial faults are those that a simple rule finds; the rest is in RightPartRest.
	Trivial       int  `json:"trivial"`
	RightPartRest Rate `json:"right_part_of_not_trivial"`
	// OnsetErrorS is the size of the error over right kinds that start during the
	// dive. DelayS is how much later the finding starts than the fault (negative:
	// earlier), a fault whose kind was not found being missing: never.
	OnsetErrorS Distribution `json:"onset_error_s"`
	DelayS      Distribution `json:"delay_s"`
}

// Scenario is one scenario of the family in short.
type Scenario struct {
	Scenario    string `json:"scenario"`
	Dives       int    `json:"dives"`
	Faults      int    `json:"faults"`
	RightPart   int    `json:"right_part"`
	RightKind   int    `json:"right_kind"`
	FalseAlarms int    `json:"false_alarms"`
	SureWrong   int    `json:"sure_and_wrong"`
	OnsetS      Float  `json:"onset_error_median_s"`
	RatioMedian Float  `json:"estimate_over_vote_median"`
	Coverage    Float  `json:"band_coverage_by_dive"`
}

// TakenFor is a line of the table of confusions: so many faults of a kind were
// taken for this ("" for nothing).
type TakenFor struct {
	Kind     string `json:"kind"`
	TakenFor string `json:"taken_for"`
	Count    int    `json:"count"`
}

// FalseAlarms are findings on parts that have no fault.
type FalseAlarms struct {
	All     Count `json:"all"`     // over all dives, per dive
	Healthy Count `json:"healthy"` // over healthy dives, per hour that could be assessed
	// HealthyClean are healthy dives without a false alarm, AllClean dives of any sort.
	HealthyClean Rate `json:"healthy_clean"`
	AllClean     Rate `json:"all_clean"`
	MisIsolated  int  `json:"mis_isolated"` // faults for which a wrong part was named
	SureAndWrong int  `json:"sure_and_wrong"`
	Notes        int  `json:"notes"` // borderline notes, not counted
}

// Grade is what a grade of confidence is worth: a finding is right where its part
// has a fault of its kind at its time. Findings that the truth can't settle are
// left out and counted in Open.
type Grade struct {
	Confidence string `json:"confidence"`
	Open       int    `json:"undecidable"`
	Rate
}

// CheckShare is how one check ended over the dives.
type CheckShare struct {
	Check        string `json:"check"`
	Found        int    `json:"found"`
	NotFound     int    `json:"not_found"`
	Borderline   int    `json:"borderline"`
	NotAssessed  int    `json:"not_assessed"`
	DoesNotApply int    `json:"does_not_apply"`
	// Assessable is the mean share of cells or of the dive that could be judged.
	Assessable Float `json:"assessable_fraction"`
}

// Undecidable are dives that the log can't settle, or only by helium.
type Undecidable struct {
	// Gains are dives with cells alike in gain: told by a finding that cells disagree.
	Gains Rate `json:"gains_told"`
	// Settled are those not told in which the very cells that are off were named, and
	// no other, with a helium sensor aboard: the one witness that can.
	Settled int `json:"gains_settled_by_helium"`
	// Overclaimed are those in which a gain was called more than possible without it.
	Overclaimed int  `json:"gains_overclaimed"`
	Leaks       Rate `json:"leaks_not_claimed"` // no leak, or only a possible one
}

// EstimateShare is how near the estimate comes, dive by dive.
type EstimateShare struct {
	VoteRMSBar Distribution `json:"vote_rms_bar"`
	RMSBar     Distribution `json:"rms_bar"`
	Ratio      Distribution `json:"over_vote"` // estimate's error over the recorded vote's
	// ScaledRMSBar is left after each dive's best constant factor, ScaledRatio the
	// same over the vote, ScaleError the size of the factor less 1: the floor under
	// an estimate whose cells share an error of gain.
	ScaledRMSBar Distribution `json:"scaled_rms_bar"`
	ScaledRatio  Distribution `json:"scaled_over_vote"`
	ScaleError   Distribution `json:"scale_error"`
	// Coverage is the mean over dives of the share of rows within the band, Pooled
	// the share of all rows, CoverageWorst the dive with the least.
	Coverage       Mean  `json:"coverage_by_dive"`
	CoveragePooled Float `json:"coverage_pooled"`
	CoverageWorst  Float `json:"coverage_worst_dive"`
	WidthBar       Float `json:"band_width_median_bar"`
}

// SimpleShare is what a simple rule, or the diagnosis by the same measure, makes of cells.
type SimpleShare struct {
	Rule         string `json:"rule"`
	Text         string `json:"text"`
	Detected     Rate   `json:"detected"`
	Named        Rate   `json:"named"`
	Exact        Rate   `json:"exact"`
	FalseAlarms  Count  `json:"false_alarms"`
	HealthyClean Rate   `json:"healthy_clean"`
}
