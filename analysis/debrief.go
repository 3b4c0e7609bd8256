package analysis

import (
	"afterloop/analysis/calibration"
	"afterloop/analysis/vote"
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
	Cells            []Cell           `json:"cells"`
	Estimate         *Estimate        `json:"estimate"`
	KnownGas         []KnownGas       `json:"known_gas"`
	Problems         []ingest.Problem `json:"problems"`
	Assumptions      []Assumption     `json:"assumptions"`
	Definitions      []Definition     `json:"definitions"`
	// Calibration is what the verdicts on cells and valves are worth, measured on
	// simulated dives only; nil where there was no diagnosis.
	Calibration *calibration.Table `json:"calibration"`
	Series      *Series            `json:"-"`
}

// Tool says what wrote the debrief.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Source identifies a file that was read.
type Source struct {
	File          string         `json:"file"`
	SHA256        string         `json:"sha256"`
	Bytes         int64          `json:"bytes"`
	Rows          int            `json:"rows"`
	FormatVersion int            `json:"format_version"` // 0: not stated
	Truncated     bool           `json:"truncated"`
	Columns       []SourceColumn `json:"columns"`
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

// Exposure is the oxygen dose by every source of PO2 that may have been breathed.
type Exposure struct {
	Headline ExposureHeadline `json:"headline"`
	BySource []ExposureSource `json:"by_source"`
	// OpenCircuitAssessed is false where the diver breathed open circuit and the gas is not known.
	OpenCircuitAssessed bool   `json:"open_circuit_assessed"`
	Rule                string `json:"rule"`
	LimitUnit           string `json:"limit_unit"` // "bar" or "ata": how the table was read
	// MinutesByPO2 is the time spent in each band of the table by the headline's source.
	MinutesByPO2 []BandTime `json:"minutes_by_po2"`
}

// BandTime is minutes in a band of PO2.
type BandTime struct {
	FromBar  Float `json:"from_bar"`
	ToBar    Float `json:"to_bar"`
	Minutes  Float `json:"minutes"`
	LimitMin Float `json:"limit_min"`
}

// ExposureHeadline is the worst of what may have been breathed.
type ExposureHeadline struct {
	Source       string `json:"source"`
	CNSPercent   Float  `json:"cns_percent"`
	Low          Float  `json:"low"`
	High         Float  `json:"high"`
	IsLowerBound bool   `json:"is_lower_bound"`
	OTU          Float  `json:"otu"`
}

// ExposureSource is the dose if one source told the truth.
type ExposureSource struct {
	Source            string `json:"source"` // unit, cell1 …, a policy's name
	CNSPercent        Float  `json:"cns_percent"`
	CNSLinearPercent  Float  `json:"cns_linear_percent"`
	CNSIsLowerBound   bool   `json:"cns_is_lower_bound"`
	CNS24hPercent     Float  `json:"cns_24h_percent"`
	OTU               Float  `json:"otu"`
	SecondsAboveTable Float  `json:"seconds_above_table"`
	JudgedFalse       bool   `json:"judged_false"`
	JudgedBy          string `json:"judged_by"` // finding id, or empty
	CNSLowPercent     Float  `json:"cns_low_percent"`
	CNSHighPercent    Float  `json:"cns_high_percent"`
	OTULow            Float  `json:"otu_low"`
	OTUHigh           Float  `json:"otu_high"`
	// AssessedS is the time over which this source had a value.
	AssessedS Float `json:"assessed_s"`
}

// Vote is the replay of one policy.
type Vote struct {
	Policy                       string `json:"policy"`
	Rule                         string `json:"rule"`
	Cells                        []int  `json:"cells"`
	MeanAbsDifferenceFromUnitBar Float  `json:"mean_abs_difference_from_unit_bar"`
	MaxAbsDifferenceFromUnit     Value  `json:"max_abs_difference_from_unit"`
	// DiffersFromUnit are the times when the replay lies more than the reporting limit from the unit's PO2.
	DiffersFromUnit []Span     `json:"differs_from_unit"`
	VotedOut        []VotedOut `json:"voted_out"`
	Undecided       []Span     `json:"undecided"`
	UndecidedS      Float      `json:"undecided_s"`
	NoneS           Float      `json:"none_s"`
	Reminders       []Float    `json:"reminders"`
	OrderDependent  bool       `json:"order_dependent"`
	// The rest needs the estimate of the true PO2; null without one.
	KeptFalseS                       Float `json:"kept_false_s"`
	VotedOutTrueS                    Float `json:"voted_out_true_s"`
	MeanAbsDifferenceFromEstimateBar Float `json:"mean_abs_difference_from_estimate_bar"`
}

// VotedOut is a stretch in which a policy had a cell out.
type VotedOut struct {
	Cell   int    `json:"cell"`
	FromS  Float  `json:"from_s"`
	ToS    Float  `json:"to_s"`
	Reason string `json:"reason"`
}

// Tracking is how tightly PO2 followed the set point.
type Tracking struct {
	Source               string           `json:"source"` // unit, estimate
	AssessedS            Float            `json:"assessed_s"`
	MeanErrorBar         Float            `json:"mean_error_bar"`
	MAEBar               Float            `json:"mae_bar"`
	RMSEBar              Float            `json:"rmse_bar"`
	IAEBarS              Float            `json:"iae_bar_s"`
	Within005            Float            `json:"within_0_05_fraction"`
	Within010            Float            `json:"within_0_10_fraction"`
	UnattainableS        Float            `json:"unattainable_s"`
	AboveDryS            Float            `json:"above_dry_s"`
	ByPhase              []TrackingPhase  `json:"by_phase"`
	Changes              []SetPointChange `json:"changes"`
	OscillationHalfWaves int              `json:"oscillation_half_waves"`
	OscillationPeriodS   Float            `json:"oscillation_period_s"`
}

// TrackingPhase is tracking within one kind of phase.
type TrackingPhase struct {
	Phase        string `json:"phase"`
	AssessedS    Float  `json:"assessed_s"`
	MeanErrorBar Float  `json:"mean_error_bar"`
	MAEBar       Float  `json:"mae_bar"`
	RMSEBar      Float  `json:"rmse_bar"`
	Within005    Float  `json:"within_0_05_fraction"`
	Within010    Float  `json:"within_0_10_fraction"`
}

// SetPointChange is the response to one change of set point.
type SetPointChange struct {
	AtS          Float  `json:"at_s"`
	FromBar      Float  `json:"from_bar"`
	ToBar        Float  `json:"to_bar"`
	RiseS        Float  `json:"rise_10_90_s"`
	SettledS     Float  `json:"settled_s"` // after the change
	OvershootBar Float  `json:"overshoot_bar"`
	Assessed     bool   `json:"assessed"`
	Reason       string `json:"reason"`
}

// Injection is the log's own side of oxygen injection.
type Injection struct {
	// Inferred is true where the log has no valve columns and openings were read off the saw-tooth.
	Inferred       bool   `json:"inferred"`
	InferredReason string `json:"inferred_reason"` // why nothing could be inferred
	DelayS         Float  `json:"delay_s"`
	// DelayResolutionS is how well the log can place an opening in time.
	DelayResolutionS Float  `json:"delay_resolution_s"`
	ResponseReason   string `json:"response_reason"`
	OxygenL          Float  `json:"oxygen_l"` // STPD, from commanded seconds and the stated flow
	OxygenReason     string `json:"oxygen_reason"`
	VO2LMin          Float  `json:"vo2_l_min"`
	VO2LowLMin       Float  `json:"vo2_low_l_min"`
	VO2HighLMin      Float  `json:"vo2_high_l_min"`
	VO2Reason        string `json:"vo2_reason"`
	VO2Basis         string `json:"vo2_basis"`
	// VO2PerVolume is VO2/V in 1/min: known without the volume.
	VO2PerVolume Interval `json:"vo2_per_loop_volume_per_min"`
	// FlowPerVolume is flow/V in bar/s, stated or measured.
	FlowPerVolume  Interval  `json:"flow_per_loop_volume_bar_s"`
	FlowFrom       string    `json:"flow_from"`
	CylinderUsedL  Float     `json:"cylinder_used_l"`
	CylinderReason string    `json:"cylinder_reason"`
	TurnsAlternate bool      `json:"turns_alternate"`
	TurnsReason    string    `json:"turns_reason"`
	Valves         []Valve   `json:"valves"`
	Bursts         []Burst   `json:"bursts"`
	Windows        []Balance `json:"balance_windows"`
	// ShortestToHypoxia is the least time until 0.16 bar if oxygen had stopped, in
	// minutes; the value is null where only the range is known.
	ShortestToHypoxia Value  `json:"shortest_to_hypoxia"`
	ShortestLowMin    Float  `json:"shortest_to_hypoxia_low_min"`
	ShortestHighMin   Float  `json:"shortest_to_hypoxia_high_min"`
	HypoxiaBasis      string `json:"hypoxia_basis"`
}

// Balance is a level stretch over which consumption was taken from the balance of oxygen.
type Balance struct {
	FromS        Float    `json:"from_s"`
	ToS          Float    `json:"to_s"`
	DepthM       Float    `json:"depth_m"`
	OpenS        Float    `json:"open_s"`
	VO2PerVolume Interval `json:"vo2_per_loop_volume_per_min"`
	Used         bool     `json:"used"`
	Reason       string   `json:"reason"`
}

// Valve is one oxygen valve over the dive.
type Valve struct {
	Valve             int    `json:"valve"`
	Count             int    `json:"count"`
	CountIsLowerBound bool   `json:"count_is_lower_bound"`
	OpenS             Float  `json:"open_s"`
	MeanOpenS         Float  `json:"mean_open_s"`
	MedianIntervalS   Float  `json:"median_interval_s"`
	LongestIntervalS  Float  `json:"longest_interval_s"`
	TurnsTaken        int    `json:"turns_taken"`
	TurnsMissed       int    `json:"turns_missed"`
	DelayS            Float  `json:"delay_s"`
	ResponseBar       Float  `json:"response_bar"` // median rise after an opening
	GainPerOpenS      Float  `json:"gain_bar_per_s_open"`
	Responses         int    `json:"responses"` // openings with a usable response
	ResponseReason    string `json:"response_reason"`
}

// Burst is one opening, or several that can't be told apart.
type Burst struct {
	Valve       int   `json:"valve"`
	AtS         Float `json:"at_s"`
	OpenS       Float `json:"open_s"`
	AtLeast     int   `json:"at_least"` // openings in it
	ResponseBar Float `json:"response_bar"`
	DelayS      Float `json:"delay_s"`
	NeedS       Float `json:"need_s"`
}

// Cell is one cell: what it read, and what is judged of it.
type Cell struct {
	Cell              int        `json:"cell"`
	Serial            string     `json:"serial"`
	Installed         string     `json:"installed"`
	Readings          int        `json:"readings"`
	MinBar            Float      `json:"min_bar"`
	MaxBar            Float      `json:"max_bar"`
	StepBar           Float      `json:"step_bar"`
	MeanFromMedianBar Float      `json:"mean_from_median_bar"`
	MaxFromMedian     Value      `json:"max_from_median"`
	UnitOutS          Float      `json:"unit_out_s"` // time that the unit recorded it voted out; null without that column
	ManualVotes       []VotedOut `json:"manual_votes"`
	AtDisplayLimitS   Float      `json:"at_display_limit_s"`
	MV                *CellMV    `json:"mv"`
	T90S              Interval   `json:"t90_s"`
	Gain              Interval   `json:"gain"`
	CeilingBar        Interval   `json:"ceiling_bar"`
	DriftPerH         Interval   `json:"drift_per_h"`
	NoiseBar          Interval   `json:"noise_bar"`
}

// CellMV is a cell's millivolt side.
type CellMV struct {
	CalMV     Float `json:"cal_mv"`
	CalPO2Bar Float `json:"cal_po2_bar"`
	MVPerBar  Float `json:"mv_per_bar"`
	MinMV     Float `json:"min_mv"`
	MaxMV     Float `json:"max_mv"`
	// ContradictsPO2 is the largest difference between the recorded PO2 and the one that the millivolts give.
	LargestDifferenceBar Value `json:"largest_difference"`
}

// Interval is an estimate with its 95 % interval; all null with a Reason where nothing can be said.
type Interval struct {
	Value  Float  `json:"value"`
	Low    Float  `json:"low"`
	High   Float  `json:"high"`
	Reason string `json:"reason"`
}

// Estimate describes the estimate of the true PO2 at the cells.
type Estimate struct {
	Method        string   `json:"method"`
	RMSEBar       Float    `json:"rmse_bar"`
	BandMedianBar Float    `json:"band_median_bar"`
	Excitations   []string `json:"excitations"`
	T90VisibleS   Float    `json:"t90_visible_s"`
	// ScaleLow and ScaleHigh are the 95 % bounds, as factors on the estimate, of the
	// scale that all cells share: what the log leaves unsettled.
	ScaleLow  Float `json:"scale_low"`
	ScaleHigh Float `json:"scale_high"`
}

// KnownGas is a moment when the right PO2 was known.
type KnownGas struct {
	Kind         string            `json:"kind"` // air_at_surface, calibration, diluent_flush, oxygen_flush
	AtS          Float             `json:"at_s"`
	ToS          Float             `json:"to_s"`
	ExpectedBar  Float             `json:"expected_bar"`
	ExpectedLow  Float             `json:"expected_low_bar"`
	ExpectedHigh Float             `json:"expected_high_bar"`
	Basis        string            `json:"basis"` // how the expected value was computed
	Readings     []KnownGasReading `json:"readings"`
	SettleS      Float             `json:"settle_s"` // slowest cell
	Assessed     bool              `json:"assessed"`
	Reason       string            `json:"reason"`
}

// KnownGasReading is one cell at such a moment.
type KnownGasReading struct {
	Cell          int   `json:"cell"`
	ReadBar       Float `json:"read_bar"`
	ErrorBar      Float `json:"error_bar"`
	ErrorFraction Float `json:"error_fraction"`
	SettleS       Float `json:"settle_s"`
	Within        bool  `json:"within_expected_range"`
	// Conclusive is true where the reading can't be explained by a flush that was not
	// complete: below the range after a flush that came down, above it after one that went up.
	Conclusive bool `json:"conclusively_off"`
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

// Series holds the columns over the rows of the log that the report draws and
// `--series` writes. NaN is "not known". All slices have one element per row.
type Series struct {
	TimeS       []float64
	DepthM      []float64
	AmbientBar  []float64
	SetPointBar []float64
	UnitPO2Bar  []float64
	Cells       []SeriesCell
	Votes       []SeriesVote
	Valves      []SeriesValve
	OnLoop      []bool
	GapAfter    []bool // a gap lies between this row and the next
	// Running doses of the headline's source, in percent and OTU.
	CNSPercent []float64
	OTU        []float64
	// EstimateBar with its 95 % band and HeliumBar are nil until estimated.
	EstimateBar, EstimateLowBar, EstimateHighBar, HeliumBar []float64
	// MinutesToHypoxia if oxygen stopped, NaN where not known; nil without volume and VO2.
	MinutesToHypoxia []float64
	TrackingErrorBar []float64 // unit PO2 - set point where it counts, else NaN
}

// SeriesCell is one cell's readings.
type SeriesCell struct {
	Number int
	PO2Bar []float64
	Vote   []ingest.UnitVote // nil where not recorded
}

// SeriesValve is one valve's commanded seconds.
type SeriesValve struct {
	Number int
	OpenS  []float64
}

// States are how a policy's vote ended, row by row: agreed, undecided, none.
type States = []vote.State

// SeriesVote is one policy's replay.
type SeriesVote struct {
	Policy string
	PO2Bar []float64
	State  States
	In     []uint64 // bit k: the k-th replayed cell is in
}
