package analysis

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
