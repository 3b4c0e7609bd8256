package analysis

// Halves is what the two halves of doubled electronics tell of one another; nil
// in a debrief of a log that does not part them. Differences are the second
// half's less the first's.
type Halves struct {
	// Clock is how two logs were brought onto one clock; nil where one log holds both halves.
	Clock *HalvesClock `json:"clock"`
	// Rules say how two logs were joined.
	Rules       []string           `json:"rules"`
	Halves      []Half             `json:"halves"`
	Comparisons []HalvesComparison `json:"comparisons"`
	// Replays are each voting policy over all cells and over each half alone, as if the other were lost.
	Replays []HalvesReplay `json:"replays"`
	// EstimateReason is why nothing is held against the estimate; empty where it is.
	EstimateReason string `json:"estimate_reason"`
}

// HalvesClock is the second log's clock by the first's, found by depth.
type HalvesClock struct {
	// OffsetS is what to add to the second log's time at ReferenceS, by its own clock.
	OffsetS     Interval `json:"offset_s"`
	DriftPPM    Interval `json:"drift_ppm"`
	ReferenceS  Float    `json:"reference_s"`
	OffsetFirst Float    `json:"offset_at_start_s"` // of the common stretch
	OffsetLast  Float    `json:"offset_at_end_s"`
	FromS       Float    `json:"from_s"` // the common stretch, by the first clock
	ToS         Float    `json:"to_s"`
	CommonS     Float    `json:"common_s"`
	MovingS     Float    `json:"moving_s"` // of it, with changing depth
	ResidualM   Float    `json:"residual_m"`
	// AgreeM is the distance up to which depths are said to agree, AgreeFraction the share of the common time in which they do.
	AgreeM              Float `json:"agree_m"`
	AgreeFraction       Float `json:"agree_fraction"`
	MovingAgreeFraction Float `json:"moving_agree_fraction"`
	// DepthZeroM and DepthFactor relate the depths: second = zero + factor x first.
	DepthZeroM  Float `json:"depth_zero_m"`
	DepthFactor Float `json:"depth_factor"`
	// Start is what the stated starts say of it.
	Start string `json:"start"`
}

// Half is one half of the electronics.
type Half struct {
	Half      string     `json:"half"`
	File      string     `json:"file"` // empty where one log holds both halves
	Cells     []int      `json:"cells"`
	Valves    []int      `json:"valves"`
	Batteries []int      `json:"batteries"`
	Parts     []HalfPart `json:"parts"`
	// PO2From is "recorded", "mid-value" (of its cells, where it recorded none) or empty.
	PO2From   string     `json:"po2_from"`
	FirstS    Float      `json:"first_s"`
	LastS     Float      `json:"last_s"`
	RecordedS Float      `json:"recorded_s"`
	Gaps      []Span     `json:"gaps"` // within its own record
	Events    []LogEvent `json:"events"`
	// Off are the stretches in which it recorded nothing and the other half did.
	Off []HalfOff `json:"off"`
}

// HalfPart says which number a part of a half's own log bears in this debrief.
type HalfPart struct {
	Part   string `json:"part"` // cell, valve, battery
	InLog  int    `json:"in_log"`
	Number int    `json:"number"`
}

// HalfOff is a stretch in which one half was off, and what the other did.
type HalfOff struct {
	FromS Float `json:"from_s"`
	ToS   Float `json:"to_s"`
	// What this half had last before it, and first after it.
	PO2BeforeBar      Float `json:"po2_before_bar"`
	PO2AfterBar       Float `json:"po2_after_bar"`
	SetPointBeforeBar Float `json:"setpoint_before_bar"`
	SetPointAfterBar  Float `json:"setpoint_after_bar"`
	// What the other half did meanwhile: the PO2 that it controlled on, its set
	// points, what its valves were commanded open, and how long the mid-value of its
	// own cells was undecided.
	Other             string  `json:"other"`
	OtherMeanBar      Float   `json:"other_mean_bar"`
	OtherLowBar       Float   `json:"other_low_bar"`
	OtherHighBar      Float   `json:"other_high_bar"`
	OtherSetPointsBar []Float `json:"other_setpoints_bar"`
	OtherOpenS        Float   `json:"other_open_s"`
	OtherUndecidedS   Float   `json:"other_undecided_s"`
	// EstimateMeanBar is the mean of the estimate in it, WorstFromEstimate the other half's PO2 less it.
	EstimateMeanBar   Float `json:"estimate_mean_bar"`
	WorstFromEstimate Value `json:"worst_from_estimate"`
}

// HalvesComparison is one quantity as both halves recorded it.
type HalvesComparison struct {
	Quantity  string `json:"quantity"` // po2, depth, ambient, helium
	Unit      string `json:"unit"`
	ComparedS Float  `json:"compared_s"`
	Median    Float  `json:"median"`
	P95       Float  `json:"p95_size"` // 95th percentile of its size
	Worst     Value  `json:"worst"`
	Limit     Float  `json:"limit"`
	OverS     Float  `json:"over_limit_s"`
	Reason    string `json:"reason"` // why it was not compared
}

// HalvesReplay is one policy over some of the cells.
type HalvesReplay struct {
	Policy string `json:"policy"`
	// Over is "all" or the letter of a half.
	Over                string `json:"over"`
	Cells               []int  `json:"cells"`
	MeanFromEstimateBar Float  `json:"mean_abs_from_estimate_bar"`
	WorstFromEstimate   Value  `json:"worst_from_estimate"`
	UndecidedS          Float  `json:"undecided_s"`
	NoneS               Float  `json:"none_s"` // no cell of these had a reading: the vote was lost
}

// SeriesHalf is the PO2 of one half by row.
type SeriesHalf struct {
	Half   string
	PO2Bar []float64
}
