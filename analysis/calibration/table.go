package calibration

import (
	"bytes"
	_ "embed" // the committed table
	"encoding/json"
	"fmt"
)

// SchemaID names the version of the table's JSON form.
const SchemaID = "afterloop/calibration/1"

// Note is said wherever a figure of the table is shown.
const Note = "calibrated on simulation only"

// The sets of dives that a table may come from. The verdicts were developed on
// development dives, so that such a table flatters them; nobody looked at a
// sealed dive before the verdicts were frozen.
const (
	Development = "development"
	Sealed      = "sealed"
)

//go:embed table.json
var committed []byte

// Table is the headline of one measurement.
type Table struct {
	Schema string `json:"schema"`
	Note   string `json:"note"`
	// Set is development or sealed.
	Set string `json:"set"`
	// Version is that of the program that was measured.
	Version string `json:"version"`
	// Checks are the checks of faults that were measured, with their versions: a
	// table says nothing of a later version of a check.
	Checks   []Check  `json:"checks"`
	Families []Family `json:"families"`
}

// Check is one check of faults at the time of the measurement.
type Check struct {
	ID      string `json:"id"`
	Version int    `json:"version"`
}

// Family is what was measured on one family of simulated dives. Shares are
// fractions; intervals are 95 %.
type Family struct {
	Family    string `json:"family"`
	FirstSeed uint64 `json:"first_seed"`
	Dives     int    `json:"dives"`
	Failed    int    `json:"failed"` // dives on which the program failed
	Faults    int    `json:"faults"`
	RightPart Rate   `json:"right_part"` // of faults
	RightKind Rate   `json:"right_kind"` // of faults
	// Undecidable dives were told to be undecidable.
	UndecidableTold Rate `json:"undecidable_told"`
	// UndecidableSettled are others of them that the helium sensor aboard settled rightly.
	UndecidableSettled int `json:"undecidable_settled_by_helium"`

	FalseAlarms Count `json:"false_alarms"` // over all dives, per dive
	// HealthyFalseAlarms are those on dives without any fault, per hour that could be assessed.
	HealthyFalseAlarms Count `json:"healthy_false_alarms"`
	HealthyClean       Rate  `json:"healthy_clean"` // healthy dives without a false alarm
	MisIsolated        int   `json:"mis_isolated"`  // faults for which a wrong part was named
	SureAndWrong       int   `json:"sure_and_wrong"`

	// Grades are the findings of each confidence, and how many of them were right.
	Grades []Grade `json:"grades"`

	OnsetErrorMedianS     Figure `json:"onset_error_median_s"`
	T90ErrorMedian        Figure `json:"t90_error_median_fraction"`
	CeilingErrorMedianBar Figure `json:"ceiling_error_median_bar"`

	EstimateRMSMedianBar Figure `json:"estimate_rms_median_bar"`
	EstimateRMSWorstBar  Figure `json:"estimate_rms_worst_bar"`
	// RatioMedian is the estimate's error over that of the recorded vote.
	RatioMedian  Figure `json:"estimate_over_vote_median"`
	Coverage     Figure `json:"band_coverage_by_dive"`
	CoverageLow  Figure `json:"band_coverage_low"`
	CoverageHigh Figure `json:"band_coverage_high"`
	WidthBar     Figure `json:"band_width_median_bar"`
}

// Rate is a share of cases with its Wilson interval; unknown where there are none.
type Rate struct {
	Right int    `json:"right"`
	Of    int    `json:"of"`
	Low   Figure `json:"low"`
	High  Figure `json:"high"`
}

// Count is a number of events with the exact Poisson upper limit of their rate
// (95 %, one-sided).
type Count struct {
	Count int    `json:"count"`
	Per   Figure `json:"per"` // dives or hours
	Rate  Figure `json:"rate"`
	High  Figure `json:"rate_high"`
}

// Grade is one grade of confidence.
type Grade struct {
	Confidence string `json:"confidence"`
	Rate
}

// Current is the table committed with this version.
func Current() Table {
	t, err := Parse(committed)
	if err != nil {
		panic("calibration: the committed table is not well-formed") // a test reads it
	}
	return t
}

// Parse reads a table and says what is wrong with it.
func Parse(text []byte) (Table, error) {
	var t Table
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&t); err != nil {
		return t, fmt.Errorf("calibration: %w", err)
	}
	return t, t.Check()
}

// FamilyOf finds a family's figures.
func (t Table) FamilyOf(name string) (Family, bool) {
	for _, f := range t.Families {
		if f.Family == name {
			return f, true
		}
	}
	return Family{}, false
}
