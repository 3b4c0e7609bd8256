package analysis

import (
	"afterloop/analysis/calibration"
	"afterloop/ingest"
)

// SchemaID names the version of the JSON form of a [Debrief].
const SchemaID = "afterloop/debrief/1"

// Debrief is everything that afterloop concludes from one log. Its JSON form is
// a published contract (`afterloop schema debrief`): moments (…_s, at_s, from_s,
// to_s) are on the log's own time axis, cells and valves are integers from 1,
// what is not known is null and never 0. Slices are never nil.
type Debrief struct {
	Schema     string     `json:"schema"`
	Tool       Tool       `json:"tool"`
	Sources    []Source   `json:"sources"`
	Parameters Parameters `json:"parameters"`
	Assessable Assessable `json:"assessable"`
	Dive       DiveFacts  `json:"dive"`
	Recording  Recording  `json:"recording"`
	Findings   []Finding  `json:"findings"`
	Checks     []Check    `json:"checks"`
	Exposure   Exposure   `json:"exposure"`
	Votes      []Vote     `json:"votes"`
	// Tracking is on the unit's own PO2 (how the controller did), TrackingEstimate
	// on the estimate (what the diver got); nil where it could not be computed.
	Tracking         *Tracking        `json:"tracking"`
	TrackingEstimate *Tracking        `json:"tracking_estimate"`
	Injection        *Injection       `json:"injection"`
	Supply           *Supply          `json:"supply"`
	Responses        *Responses       `json:"responses"`
	Cells            []Cell           `json:"cells"`
	Estimate         *Estimate        `json:"estimate"`
	KnownGas         []KnownGas       `json:"known_gas"`
	Halves           *Halves          `json:"halves"`
	Problems         []ingest.Problem `json:"problems"`
	Assumptions      []Assumption     `json:"assumptions"`
	Definitions      []Definition     `json:"definitions"`
	// Calibration is what the verdicts on cells and valves are worth, measured on
	// simulated dives only; nil where there was no diagnosis.
	Calibration *calibration.Table `json:"calibration"`
	Series      *Series            `json:"-"`
	Inhaled     *Inhaled           `json:"-"`

	// BreathedGas is what was breathed, DepthPressure how far pressures and depths can be trusted.
	BreathedGas   *BreathedGas   `json:"breathed_gas"`
	DepthPressure *DepthPressure `json:"depth_pressure"`
}

// Tool says what wrote the debrief.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Source identifies a file that was read.
type Source struct {
	File          string `json:"file"`
	SHA256        string `json:"sha256"`
	Bytes         int64  `json:"bytes"`
	Rows          int    `json:"rows"`
	FormatVersion int    `json:"format_version"` // 0: not stated
	Truncated     bool   `json:"truncated"`
	// Mapping and MappingSHA256 are the mapping file with which a file that is no loop log was read.
	Mapping       string `json:"mapping,omitempty"`
	MappingSHA256 string `json:"mapping_sha256,omitempty"`
	// Dive is the name of the dive where the mapping tells several in one file apart, and Dives how
	// many there are. SHA256 is then of this dive's own header and rows, FileSHA256 of the whole file.
	Dive       string         `json:"dive,omitempty"`
	Dives      int            `json:"dives,omitempty"`
	FileSHA256 string         `json:"file_sha256,omitempty"`
	Columns    []SourceColumn `json:"columns"`
}

// SourceColumn is one column of the file.
type SourceColumn struct {
	Name    string `json:"name"`
	Meaning string `json:"meaning"` // empty for a column that is kept but not understood
	Filled  int    `json:"filled"`
}

// Assessable is how much of the log could be judged.
type Assessable struct {
	// ChecksRun counts outcomes found, not_found and borderline; ChecksTotal leaves
	// out checks that do not apply.
	ChecksRun   int `json:"checks_run"`
	ChecksTotal int `json:"checks_total"`
	// TimeFraction is the share of the recorded time with a PO2 on the loop, outside gaps.
	TimeFraction Float `json:"time_fraction"`
}

// DiveFacts is what was recorded, in figures.
type DiveFacts struct {
	Name           string  `json:"dive"`
	Diver          string  `json:"diver"`
	Unit           string  `json:"unit"`
	Start          string  `json:"start"` // RFC 3339 or empty
	FirstS         Float   `json:"first_s"`
	LastS          Float   `json:"last_s"`
	DurationS      Float   `json:"duration_s"`
	SubmergedS     Float   `json:"submerged_s"`
	MaxDepthM      Float   `json:"max_depth_m"`
	MeanDepthM     Float   `json:"mean_depth_m"`
	SampleS        Float   `json:"sample_s"` // usual interval (median)
	Cells          int     `json:"cells"`
	Valves         int     `json:"valves"`
	SurfaceBar     Float   `json:"surface_pressure_bar"`
	SurfaceAssumed bool    `json:"surface_pressure_assumed"`
	DensityKgM3    Float   `json:"water_density_kg_m3"`
	DensityAssumed bool    `json:"water_density_assumed"`
	AmbientFrom    string  `json:"ambient_from"`
	Diluent        string  `json:"diluent"`          // "18/45" or empty
	OpenCircuitGas string  `json:"open_circuit_gas"` // or empty
	LoopVolumeL    Float   `json:"loop_volume_l"`
	OxygenFlowLMin Float   `json:"oxygen_flow_l_min"`
	SetPointsBar   []Float `json:"set_points_bar"` // those in force, in order of first use
	OnLoopS        Float   `json:"on_loop_s"`
	OpenCircuitS   Float   `json:"open_circuit_s"`
	Phases         []Phase `json:"phases"`
}

// Phase is a stretch of the dive: surface, descent, bottom, stop or ascent.
type Phase struct {
	Kind  string `json:"kind"`
	FromS Float  `json:"from_s"`
	ToS   Float  `json:"to_s"`
}

// Span is a stretch of time.
type Span struct {
	FromS Float `json:"from_s"`
	ToS   Float `json:"to_s"`
}

// Recording is the quality of the record itself, looked at before any sensor is judged.
type Recording struct {
	Gaps            []Span     `json:"gaps"`
	GapS            Float      `json:"gap_s"`
	IntervalMinS    Float      `json:"interval_min_s"`
	IntervalMedianS Float      `json:"interval_median_s"`
	IntervalMaxS    Float      `json:"interval_max_s"`
	CellStepBar     Float      `json:"cell_step_bar"`    // coarsest rounding among the cells
	MissingReadings []int      `json:"missing_readings"` // per cell
	RowsPerReading  []int      `json:"rows_per_reading"` // per cell: every how many rows its reading was renewed
	UnitPO2Missing  int        `json:"unit_po2_missing"`
	Truncated       bool       `json:"truncated"`
	ProblemLines    int        `json:"problem_lines"` // lines with a warning or worse
	UnknownColumns  []string   `json:"unknown_columns"`
	Notes           []LogNote  `json:"notes"`
	Events          []LogEvent `json:"events"`
	// FirstDepthM and LastDepthM tell whether the record starts and ends at the surface.
	FirstDepthM Float `json:"first_depth_m"`
	LastDepthM  Float `json:"last_depth_m"`
}

// LogNote is free text from the log.
type LogNote struct {
	AtS  Float  `json:"at_s"`
	Text string `json:"text"`
}

// LogEvent is a fixed word from the log.
type LogEvent struct {
	AtS  Float  `json:"at_s"`
	Kind string `json:"kind"`
}

// Assumption is something that the log did not say and that a figure rests on.
type Assumption struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

// Definition is what a figure means, its equation, unit and source.
type Definition struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Unit     string `json:"unit"`
	Text     string `json:"text"`
	Equation string `json:"equation"`
	Source   string `json:"source"`
}
