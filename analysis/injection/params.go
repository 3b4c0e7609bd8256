package injection

// Published oxygen consumption, L/min STPD: 0.64 +/- 0.09 at rest (12 divers)
// and 1.5 +/- 0.2 swimming (8 divers), mean and standard deviation (Knafelc,
// NEDU report 1-89). The planning range spans both by two standard deviations.
const (
	restVO2LMin, restSDLMin = 0.64, 0.09
	swimVO2LMin, swimSDLMin = 1.5, 0.2
)

// Params are the thresholds of this package, in time and physical units.
// METHODS in a source means the project's own page of definitions.
type Params struct {
	// OpenRoundingS is how far the recorded open seconds of a row may be off, s.
	// Default 0.1, ours: the last digit of common records.
	OpenRoundingS float64 `json:"open_rounding_s"`
	// MinShutS is the shortest time that a valve stays shut between two openings, s:
	// a row with that much room may hide an opening. Default 2, ours.
	MinShutS float64 `json:"min_shut_s"`
	// AssumedCellT90S is the cells' time to 90 % where it is not known, s. Default
	// 8, within the 5 to 10 s of new cells (common practice).
	AssumedCellT90S float64 `json:"assumed_cell_t90_s"`
	// AssumedLoopTempC is the loop's temperature where it is not known, C. Default
	// 30, ours; 20 to 37 C changes volumes by -3 to +2 %.
	AssumedLoopTempC float64 `json:"assumed_loop_temp_c"`

	// SettleT90 times the cells' T90, after the delay, is when a response counts as
	// complete. Default 1.75 (98 % of a first-order step), ours.
	SettleT90 float64 `json:"settle_t90"`
	// BaselineS is the least time without influence of any opening that must stand
	// on both sides of a response, BaselineMaxS the most that is used, s.
	// Default 8 and 60, ours.
	BaselineS    float64 `json:"baseline_s"`
	BaselineMaxS float64 `json:"baseline_max_s"`
	// MaxDelayS is the longest delay that is looked for, s. Default 30, ours: twice
	// V over ventilation (about 15 s, METHODS).
	MaxDelayS float64 `json:"max_delay_s"`
	// LevelM is the depth range of what counts as level, m. Default 0.5, METHODS.
	LevelM float64 `json:"level_m"`
	// MinResponses is how many usable responses a figure needs. Default 5, ours.
	MinResponses int `json:"min_responses"`
	// MeanwhileMaxS caps the time for which metabolism is added to the need of one
	// opening, s. Default 60, ours.
	MeanwhileMaxS float64 `json:"meanwhile_max_s"`

	// TurnsShare of successive openings must change valve before the valves are
	// said to take turns. Default 0.6, ours.
	TurnsShare float64 `json:"turns_share"`
	// TurnsMin is the least number of openings for that. Default 10, ours.
	TurnsMin int `json:"turns_min"`
	// TurnNeedBar: a turn counts as missed only if PO2 stayed below the set point by
	// more than this all the while, bar. Default 0.02, ours.
	TurnNeedBar float64 `json:"turn_need_bar"`

	// WindowS and WindowMaxS bound the level windows from which VO2 is taken, s.
	// Default 180 (METHODS) and 360 (ours).
	WindowS    float64 `json:"window_s"`
	WindowMaxS float64 `json:"window_max_s"`
	// EndS is the time over which PO2 at the end of a window is averaged, s. Default 5, ours.
	EndS float64 `json:"end_s"`
	// MakeUpSpread is the widest spread, relative to the middle, that unknown make-up
	// with diluent may give to a window's VO2. Default 0.15, ours.
	MakeUpSpread float64 `json:"make_up_spread"`
	// MaxUptakeShare is the largest share of the oxygen given in a window that may
	// have gone into a change of PO2: beyond it an error of flow/V weighs too much.
	// Default 0.3, ours.
	MaxUptakeShare float64 `json:"max_uptake_share"`
	// ClosureBar is how far PO2 may stray inside a window from what injection and a
	// steady consumption explain, bar. Default 0.2, ours: a flush strays further.
	ClosureBar float64 `json:"closure_bar"`

	// MaxOxygenFraction is the largest x at which a balance is drawn. Default 0.6,
	// ours: above it a little diluent, which the log does not show, takes more
	// oxygen out of the loop than the diver, by (x-F_dil)/(1-x) to 1.
	MaxOxygenFraction float64 `json:"max_oxygen_fraction"`
	// ContrastS is the length of the stretches whose openings are compared to find
	// flow/V, ContrastBlock how many neighbours are compared with one another, so
	// that consumption may change slowly. Default 120 s and 3, ours.
	ContrastS     float64 `json:"contrast_s"`
	ContrastBlock int     `json:"contrast_block"`
	// ContrastLossBar: a stretch that loses more than this is left out, since
	// diluent may have been made up. Default 0.1 bar, ours.
	ContrastLossBar float64 `json:"contrast_loss_bar"`
	// ContrastStrength is the least F statistic of uptake on what changes of depth
	// ask for. Default 10, the rule of thumb for instrumental variables (Staiger and
	// Stock, Econometrica 65:557, 1997 (memory)).
	ContrastStrength float64 `json:"contrast_strength"`
	// ContrastMinS is the recorded time that such stretches must make up. Default 900, ours.
	ContrastMinS float64 `json:"contrast_min_s"`
	// MaxRelativeSE is the largest relative standard error of flow/V that is
	// reported. Default 0.2, ours.
	MaxRelativeSE float64 `json:"max_relative_se"`
	// ModelError is the relative error of flow/V that the single well-mixed volume
	// itself brings, as a standard error. Default 0.07, ours: from trials on
	// simulated dives with a bolus that reaches the cells unmixed.
	ModelError float64 `json:"model_error"`
	// MaxIntervalS is the longest usual row interval at which flow/V and inferred
	// openings are tried, s. Default 5, ours.
	MaxIntervalS float64 `json:"max_interval_s"`

	// HypoxiaBar is the PO2 to which the remaining minutes are counted. Default
	// 0.16 bar, METHODS (common practice).
	HypoxiaBar float64 `json:"hypoxia_bar"`
	// PlanVO2LowLMin, PlanVO2HighLMin, PlanVolumeLowL and PlanVolumeHighL are the
	// planning ranges where VO2 or V is not known. Default 0.46 to 1.9 L/min STPD
	// (Knafelc, NEDU 1-89: rest less, and swimming plus, two standard deviations);
	// 5 to 8 L, ours.
	PlanVO2LowLMin  float64 `json:"plan_vo2_low_l_min"`
	PlanVO2HighLMin float64 `json:"plan_vo2_high_l_min"`
	PlanVolumeLowL  float64 `json:"plan_volume_low_l"`
	PlanVolumeHighL float64 `json:"plan_volume_high_l"`

	// InferRiseBar is the smallest rise taken for an opening, InferNoise how many
	// standard errors of the record's noise it must exceed, InferStepBar the
	// coarsest rounding accepted. Default 0.015 bar, 6 and 0.02 bar, ours.
	InferRiseBar float64 `json:"infer_rise_bar"`
	InferNoise   float64 `json:"infer_noise"`
	InferStepBar float64 `json:"infer_step_bar"`
	// InferWindowS is the time averaged before and after a rise, s. Default 10, ours.
	InferWindowS float64 `json:"infer_window_s"`
	// InferShare of the lowest planned consumption must show in the rises. Default 0.8, ours.
	InferShare float64 `json:"infer_share"`
	// InferMin is how many rises must be found before openings are said to be seen.
	// Default 5, ours.
	InferMin int `json:"infer_min"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	return Params{
		OpenRoundingS: 0.1, MinShutS: 2, AssumedCellT90S: 8, AssumedLoopTempC: 30,
		SettleT90: 1.75, BaselineS: 8, BaselineMaxS: 60, MaxDelayS: 30, LevelM: 0.5, MinResponses: 5, MeanwhileMaxS: 60,
		TurnsShare: 0.6, TurnsMin: 10, TurnNeedBar: 0.02,
		WindowS: 180, WindowMaxS: 360, EndS: 5, MakeUpSpread: 0.15, MaxUptakeShare: 0.3, ClosureBar: 0.2, MaxOxygenFraction: 0.6,
		ContrastS: 120, ContrastBlock: 3, ContrastLossBar: 0.1, ContrastStrength: 10, ContrastMinS: 900,
		MaxRelativeSE: 0.2, ModelError: 0.07, MaxIntervalS: 5,
		HypoxiaBar:     0.16,
		PlanVO2LowLMin: restVO2LMin - 2*restSDLMin, PlanVO2HighLMin: swimVO2LMin + 2*swimSDLMin,
		PlanVolumeLowL: 5, PlanVolumeHighL: 8,
		InferRiseBar: 0.015, InferNoise: 6, InferStepBar: 0.02, InferWindowS: 10, InferShare: 0.8, InferMin: 5,
	}
}
