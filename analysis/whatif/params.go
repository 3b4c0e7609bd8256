package whatif

// Params are the thresholds and assumptions of this package. "ours" has no source
// outside this project.
type Params struct {
	// NominalVolumeL is the volume of the simulated loop in litres. Only flow/V and
	// VO2/V enter: the PO2 does not depend on it. 6.5, ours.
	NominalVolumeL float64 `json:"nominal_volume_l"`
	// BlockS is the length of a stretch with one oxygen use in seconds. 120, ours.
	BlockS float64 `json:"block_s"`
	// UseSDFraction is how far the use of one stretch may depart from the one before,
	// as a share of the mean. 0.35, ours.
	UseSDFraction float64 `json:"use_sd_fraction"`
	// UseLowPerMin and UseHighPerMin bound VO2/V, 1/min: 0.15 to 4 L/min in the nominal
	// loop. MeanUseLowPerMin and MeanUseHighPerMin bound its mean. 0.023, 0.6, 0.06, 0.35,
	// ours; published use is 0.64 at rest to 1.5 L/min swimming (Knafelc, NEDU 1-89).
	UseLowPerMin      float64 `json:"use_low_per_min"`
	UseHighPerMin     float64 `json:"use_high_per_min"`
	MeanUseLowPerMin  float64 `json:"mean_use_low_per_min"`
	MeanUseHighPerMin float64 `json:"mean_use_high_per_min"`
	// FitSDBar is the error of the estimate and of the model that the fit allows for,
	// bar. 0.02, ours.
	FitSDBar float64 `json:"fit_sd_bar"`
	// ReproducesPercentO2 is the RMSE, in per cent of oxygen in dry gas, up to which the
	// simulation reproduces the dive: 1, what a published single-compartment model kept
	// within in all tests but one (Franberg et al., Undersea Hyperb Med 2015).
	// RefusePercentO2 is the RMSE from which nothing is shown. 3, ours.
	ReproducesPercentO2 float64 `json:"reproduces_percent_o2"`
	RefusePercentO2     float64 `json:"refuse_percent_o2"`
	// LongestGapS is the longest gap of the record that the simulation crosses, depth
	// taken as a straight line. 300, ours.
	LongestGapS float64 `json:"longest_gap_s"`
	// MixingLow and MixingHigh are factors on the ventilation, the assumption on how
	// fast the loop mixes. 0.6 and 1.6, ours.
	MixingLow  float64 `json:"mixing_low"`
	MixingHigh float64 `json:"mixing_high"`
	// FlowLow and FlowHigh are the range in which flow/V is looked for, bar/s. 0.010 and
	// 0.08, ours: 4 to 28 L/min in 6.5 L. FlowSteps is how many values are tried.
	FlowLow   float64 `json:"flow_low_bar_s"`
	FlowHigh  float64 `json:"flow_high_bar_s"`
	FlowSteps int     `json:"flow_steps"`
	// FlowRatio: flow/V is left open as far as the mean square of the fit is not more
	// than this many times the least. FlowSpread is the least range to either side, a
	// share. 1.5 and 0.18, ours: with them the range held the truth in 19 of 20 simulated dives.
	FlowRatio  float64 `json:"flow_ratio"`
	FlowSpread float64 `json:"flow_spread"`
	// StatedFlowSpread is the range to either side of a stated flow over a stated volume, a share. 0.10, ours.
	StatedFlowSpread float64 `json:"stated_flow_spread"`
	// T90SpanS is added to and taken off the cells' T90 for the range, s. 2, ours.
	T90SpanS float64 `json:"t90_span_s"`
	// SenseS is the time between two votes of the simulated unit. 1 s, ours.
	SenseS float64 `json:"sense_s"`
	// EventSeenS is how long after an event its size is read off the estimate, s. 45, ours.
	EventSeenS float64 `json:"event_seen_s"`
	// Ventilation of a loop of NominalVolumeL, L/min: base + per VO2 (L/min). 12 and 20,
	// as in package scenario (ours).
	VentilationBaseLMin float64 `json:"ventilation_base_l_min"`
	VentilationPerVO2   float64 `json:"ventilation_per_vo2"`
	// CeilingSlope is how the reading of a limited cell rises above its ceiling. 0.1, ours.
	CeilingSlope float64 `json:"ceiling_slope"`
	// AssumedIntervalS and AssumedPulseS stand in where the log has too few openings to
	// infer a controller, s. 6 and 1, ours.
	AssumedIntervalS float64 `json:"assumed_interval_s"`
	AssumedPulseS    float64 `json:"assumed_pulse_s"`
	// CoarseS is the interval of rows from which openings run into one another, s. 2.5, ours.
	CoarseS float64 `json:"coarse_s"`
	// AlikeBar: rules of voting that come as near to the unit's PO2 as this count as
	// alike, bar. 0.001, ours: a tenth of the usual rounding.
	AlikeBar float64 `json:"alike_bar"`
	// FollowedBar and FollowedS: a vote's number that far outside the estimate's band for
	// that long is called false; the limits of the debrief. 0.05 bar, 60 s, ours.
	FollowedBar float64 `json:"followed_bar"`
	FollowedS   float64 `json:"followed_s"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	return Params{NominalVolumeL: 6.5, BlockS: 120, UseSDFraction: 0.35, UseLowPerMin: 0.023, UseHighPerMin: 0.6, MeanUseLowPerMin: 0.06, MeanUseHighPerMin: 0.35, FitSDBar: 0.02, ReproducesPercentO2: 1, RefusePercentO2: 3,
		LongestGapS: 300, MixingLow: 0.6, MixingHigh: 1.6, FlowLow: 0.010, FlowHigh: 0.08, FlowSteps: 9, FlowRatio: 1.5, FlowSpread: 0.18, StatedFlowSpread: 0.10, T90SpanS: 2, SenseS: 1, EventSeenS: 45,
		VentilationBaseLMin: 12, VentilationPerVO2: 20, CeilingSlope: 0.1, AssumedIntervalS: 6, AssumedPulseS: 1, CoarseS: 2.5, AlikeBar: 0.001,
		FollowedBar: 0.05, FollowedS: 60}
}
