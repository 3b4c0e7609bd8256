package days

import (
	"afterloop/analysis"
)

// Report is everything that a series of dives tells.
type Report struct {
	Schema     string              `json:"schema"`
	Tool       analysis.Tool       `json:"tool"`
	Parameters Params              `json:"parameters"`
	Diver      string              `json:"diver"` // or empty
	Assessable analysis.Assessable `json:"assessable"`
	// Answer is what was found, in sentences.
	Answer   []string           `json:"answer"`
	Worst24h Window             `json:"worst_24h"`
	Findings []analysis.Finding `json:"findings"`
	Checks   []analysis.Check   `json:"checks"`
	Dives    []Dive             `json:"dives"`
	Days     []Day              `json:"days"`
	// LeftOut are logs that were given and are in no figure.
	LeftOut     []LeftOut             `json:"left_out"`
	Assumptions []analysis.Assumption `json:"assumptions"`
	Definitions []analysis.Definition `json:"definitions"`
	Series      *Series               `json:"-"`
}

// Figure is a figure by each dive's headline source, with its range over the
// sources that are believed and what gaps leave open. High is null where nothing
// bounds it.
type Figure struct {
	Value        analysis.Float `json:"value"`
	Low          analysis.Float `json:"low"`
	High         analysis.Float `json:"high"`
	IsLowerBound bool           `json:"is_lower_bound"`
}

// Window is the worst 24 hours.
type Window struct {
	// Percent is of the 24-hour limit, step rule, without decay.
	Percent Figure `json:"percent"`
	From    string `json:"from"` // RFC 3339, empty without any exposure
	To      string `json:"to"`
	// Shares are what each dive took in it, by the headline.
	Shares []Share `json:"shares"`
}

// Share is one dive's part of a window.
type Share struct {
	Dive    int            `json:"dive"`
	Percent analysis.Float `json:"percent"`
}

// Dive is one log of the series, in order of time.
type Dive struct {
	Number int    `json:"number"` // from 1
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Name   string `json:"dive"`
	Unit   string `json:"unit"`
	// From and To are the first and the last row, RFC 3339 with the offset of the log's start.
	From string `json:"from"`
	To   string `json:"to"`
	// StartSupplied tells that the start is not the log's own.
	StartSupplied    bool           `json:"start_supplied"`
	DurationS        analysis.Float `json:"duration_s"`
	SurfaceIntervalS analysis.Float `json:"surface_interval_s"` // since the dive before; null for the first
	MaxDepthM        analysis.Float `json:"max_depth_m"`
	Source           string         `json:"source"` // of the PO2; empty where there is none
	// CNSPercent is of this dive alone, CNSBeforePercent what the convention of the
	// 90-minute half-time leaves of earlier ones at its start, CNSAfterPercent both.
	CNSPercent       Figure `json:"cns_percent"`
	CNSBeforePercent Figure `json:"cns_before_percent"`
	CNSAfterPercent  Figure `json:"cns_after_percent"`
	// Worst24hPercent is the worst 24 hours that end within the dive.
	Worst24hPercent analysis.Float `json:"worst_24h_percent"`
	OTU             Figure         `json:"otu"`
	AboveTableS     analysis.Float `json:"seconds_above_table"`
	GapS            analysis.Float `json:"gap_s"`
	// CoveredS is time left out because another log covers it.
	CoveredS analysis.Float `json:"covered_s"`
	Days     []string       `json:"days"`
	Remarks  []string       `json:"remarks"`
}

// Day is one local calendar day with a dive.
type Day struct {
	Date    string   `json:"date"`
	Offsets []string `json:"offsets"`
	Dives   []int    `json:"dives"`
	// Run counts the runs of diving days from 1, DayOfRun the days within one; 0
	// where the day has no pulmonary dose and no run is on.
	Run      int    `json:"run"`
	DayOfRun int    `json:"day_of_run"`
	OTU      Figure `json:"otu"`
	// LimitOTU is the limit of the n-th day, RunOTU the run so far, RunLimitOTU n
	// times the limit of the day. LimitVerified is false for days 2 to 10 (memory).
	LimitOTU        analysis.Float `json:"limit_otu"`
	RunOTU          Figure         `json:"run_otu"`
	RunLimitOTU     analysis.Float `json:"run_limit_otu"`
	LimitVerified   bool           `json:"limit_verified"`
	Worst24hPercent analysis.Float `json:"worst_24h_percent"`
	// ESOT is null unless it was asked for.
	ESOT      *ESOT          `json:"esot"`
	ExposedS  analysis.Float `json:"exposed_s"` // above 0.5 bar
	RecordedS analysis.Float `json:"recorded_s"`
}

// ESOT is the equivalent surface oxygen time of a day.
type ESOT struct {
	Value          analysis.Float `json:"value"`
	Limit          analysis.Float `json:"limit"` // DMAC 35 (memory); null beyond 10 days
	InsideFraction analysis.Float `json:"inside_fraction"`
	Standing       string         `json:"standing"`
}

// LeftOut is a log that is in no figure.
type LeftOut struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"` // or empty
	// Kind is duplicate, no-start, no-po2, covered, other-diver or unreadable.
	Kind   string `json:"kind"`
	Reason string `json:"reason"`
}

// loses tells whether exposure is missing from the figures because of it.
func (l LeftOut) loses() bool {
	return l.Kind == "no-start" || l.Kind == "no-po2" || l.Kind == "unreadable"
}

// Series is what the page draws; hours since the first row of the series.
type Series struct {
	AtH, Worst24h []float64 // per cent
	CNSH, CNS     []float64 // per cent, with decay between the dives
	Dives         []Span
	Hours         []Hour
	LastH         float64
}

// Span is a dive on the time axis.
type Span struct {
	Number   int
	FromH    float64
	ToH      float64
	AfterCNS float64
}

// Hour is a mark on the time axis: a local midnight with its date, or an hour of the day.
type Hour struct {
	AtH      float64
	Label    string
	Midnight bool
}
