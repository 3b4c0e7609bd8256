package cell

// Params holds every threshold of the diagnosis. Times are in seconds,
// pressures in bar, gains relative to 1.
type Params struct {
	SlowT90S       float64 `json:"slow_t90_s"`       // s; 15, METHODS: slower is a fault
	BorderlineT90S float64 `json:"borderline_t90_s"` // s; 10, METHODS: a centre above it is borderline
	HealthyT90S    float64 `json:"healthy_t90_s"`    // s; 6, ours: taken for a quick cell (new cells: 5-10 s, common practice)

	CeilingExcessBar float64 `json:"ceiling_excess_bar"` // bar; 0.05, METHODS: PO2 must be that far above
	CeilingSlopeMax  float64 `json:"ceiling_slope_max"`  // 1; 0.3, METHODS: of a limited cell above its knee

	GainOff   float64 `json:"gain_off"`   // 1; 0.08, METHODS: miscalibrated outside 1 +- this
	DriftMin  float64 `json:"drift_min"`  // 1; 0.08, METHODS: change of gain over the dive
	GainAlike float64 `json:"gain_alike"` // 1; 0.05, ours: cells closer than this agree in gain

	FrozenForS     float64 `json:"frozen_for_s"`     // s; 60, METHODS
	FrozenMoveBar  float64 `json:"frozen_move_bar"`  // bar; 0.10, METHODS: PO2 moves meanwhile
	FrozenLongS    float64 `json:"frozen_long_s"`    // s; 180, ours: standing so long is odd even while PO2 moves half as far
	FrozenBelowBar float64 `json:"frozen_below_bar"` // bar; 0.04, ours: and passes below it by so much

	ErraticExcursionBar float64 `json:"erratic_excursion_bar"` // bar; 0.10, METHODS
	ErraticCount        int     `json:"erratic_count"`         // 3, METHODS
	ErraticWithinS      float64 `json:"erratic_within_s"`      // s; 120, METHODS

	StrayLeastBar   float64 `json:"stray_least_bar"`    // bar; 0.10, ours: a jump must exceed what PO2 can do by so much
	StrayOverS      float64 `json:"stray_over_s"`       // s; 6, ours: a jump is looked for over so long, a quick cell's T90
	StrayStaysS     float64 `json:"stray_stays_s"`      // s; 20, ours: a cell away, or back, for so long stays so
	StrayOxygenBarS float64 `json:"stray_oxygen_bar_s"` // bar/s; 0.06, ours: the fastest rise by an open valve, 20 L/min into 4 L, x = 0.25

	WanderNats float64 `json:"wander_nats"` // nats; 4, ours: what each break of a wandering offset costs

	CorrelationS float64 `json:"correlation_s"` // s; 25, ours: residuals within it count as one
	ModelBar     float64 `json:"model_bar"`     // bar; 0.003, ours: floor of a residual's scale
	ModelRel     float64 `json:"model_rel"`     // 1; 0.004, ours: the same, relative to PO2
	LagSpreadS   float64 `json:"lag_spread_s"`  // s; 1.0, ours: spread of the time constants of quick cells
	FreedomNu    float64 `json:"freedom_nu"`    // 1; 4, ours: Student's degrees of freedom of residuals

	FillS     float64 `json:"fill_s"`     // s; 15, ours: a hole in a cell's readings is bridged by a straight line up to this
	BlockS    float64 `json:"block_s"`    // s; 5, ours: readings are averaged over blocks before the cells are compared
	BlocksMax int     `json:"blocks_max"` // 700, ours: longer dives have longer blocks

	StepBar      float64 `json:"step_bar"`      // bar; 0.05, ours: PO2 must move so far for a step to be usable
	OnsetVagueS  float64 `json:"onset_vague_s"` // s; 120, ours: of an onset known no better, the middle is reported
	MinEffective float64 `json:"min_effective"` // 1; 8, ours: effective samples below which nothing is said of a cell

	CoarseStepBar  float64 `json:"coarse_step_bar"`  // bar; 0.015, ours: rounding coarser than this is no longer hidden by noise (see coarse.go)
	TooCoarseBar   float64 `json:"too_coarse_bar"`   // bar; 0.04, ours: cells rounded coarser are not compared
	CoarseScaleRel float64 `json:"coarse_scale_rel"` // 1; 0.6, ours: scale of a residual between coarse readings, in steps of rounding

	AscentModelBar float64 `json:"ascent_model_bar"` // bar; 0.005, ours: scale of the loop model's own error in an ascent
	AscentPoorBar  float64 `json:"ascent_poor_bar"`  // bar; 0.012, ours: an ascent that the loop model misses by more says nothing
	ClockModelRel  float64 `json:"clock_model_rel"`  // 1; 0.15, ours: error of an absolute T90 that the loop model makes, half of the interval
	ClockMostS     float64 `json:"clock_most_s"`     // s; 120, ours: an absolute T90 whose interval reaches beyond is not one

	UnfollowedT90S float64 `json:"unfollowed_t90_s"`   // s; 60, ours: the least lag that explains the ascents must be longer before it is said that no cell follows
	UnfollowedTop  float64 `json:"unfollowed_top_bar"` // bar; 0.08, ours: and the readings reach no further above their median, as at a ceiling

	LateMostS float64 `json:"late_most_s"` // s; 6, ours: PO2 may be written so much later than depth, which looks like a lag of all cells

	SureMargin     float64 `json:"sure_margin"`     // nats; 30, ours: see [Confidences]
	LikelyMargin   float64 `json:"likely_margin"`   // nats; 8, ours
	PossibleMargin float64 `json:"possible_margin"` // nats; 3, ours: below it nobody is named
	MisfitNats     float64 `json:"misfit_nats"`     // nats per effective sample; 0.5, ours: above it a relation does not fit
	SureLines      int     `json:"sure_lines"`      // 2, ours
	SureClearance  float64 `json:"sure_clearance"`  // 1; 0.2, ours

	HealthyGainSD float64 `json:"healthy_gain_sd"` // 1; 0.015, ours: spread of the gains of sound cells
	GroupNats     float64 `json:"group_nats"`      // nats; 1.5, ours: what each further cell alike in gain adds
	DecideNats    float64 `json:"decide_nats"`     // nats; 3, ours: lead at which a group of cells is believed
	SureGainNats  float64 `json:"sure_gain_nats"`  // nats; 8, ours: lead, with a witness, at which it is sure

	HeliumSigma       float64 `json:"helium_sigma"`          // 1; 0.005, ours: where the log states none
	HeliumLeast       float64 `json:"helium_least"`          // 1; 0.30, common practice: diluents with less are no witness
	HeliumBiasSD      float64 `json:"helium_bias_sd"`        // 1; 0.010, ours: prior of the sensor's bias
	HeliumDriftSDPerH float64 `json:"helium_drift_sd_per_h"` // 1/h; 0.005, ours: prior of its drift
	HeliumModelSD     float64 `json:"helium_model_sd"`       // 1; 0.020, ours: vapour, and air left in the loop
	HeliumSettleS     float64 `json:"helium_settle_s"`       // s; 90, ours: the sensor's lag after a change of depth

	DriftLeastS float64 `json:"drift_least_s"` // s; 900, ours: shorter records show no drift

	FaultPenalty float64 `json:"fault_penalty"` // nats; 6, ours: what a fault must explain before it is believed
}

// DefaultParams returns the defaults.
func DefaultParams() Params {
	return Params{
		SlowT90S: 15, BorderlineT90S: 10, HealthyT90S: 6,
		CeilingExcessBar: 0.05, CeilingSlopeMax: 0.3,
		GainOff: 0.08, DriftMin: 0.08, GainAlike: 0.05,
		FrozenForS: 60, FrozenMoveBar: 0.10, FrozenLongS: 180, FrozenBelowBar: 0.04,
		ErraticExcursionBar: 0.10, ErraticCount: 3, ErraticWithinS: 120,
		StrayLeastBar: 0.10, StrayOverS: 6, StrayStaysS: 20, StrayOxygenBarS: 0.06, WanderNats: 4,
		CorrelationS: 25, ModelBar: 0.003, ModelRel: 0.004, LagSpreadS: 1, FreedomNu: 4,
		FillS: 15, BlockS: 5, BlocksMax: 700,
		CoarseStepBar: 0.015, TooCoarseBar: 0.04, CoarseScaleRel: 0.6,
		StepBar: 0.05, OnsetVagueS: 120, MinEffective: 8, AscentModelBar: 0.005, AscentPoorBar: 0.012, ClockModelRel: 0.15, ClockMostS: 120, UnfollowedT90S: 60, UnfollowedTop: 0.08, LateMostS: 6,
		SureMargin: 30, LikelyMargin: 8, PossibleMargin: 3, MisfitNats: 0.5, SureLines: 2, SureClearance: 0.2,
		HealthyGainSD: 0.015, GroupNats: 1.5, DecideNats: 3, SureGainNats: 8,
		HeliumSigma: 0.005, HeliumLeast: 0.30, HeliumBiasSD: 0.010, HeliumDriftSDPerH: 0.005, HeliumModelSD: 0.020, HeliumSettleS: 90,
		DriftLeastS:  900,
		FaultPenalty: 6,
	}
}
