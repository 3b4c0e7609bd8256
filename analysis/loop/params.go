package loop

// Params are the priors of the estimate and the thresholds of the valve checks.
// Pressures are bar, times seconds. They describe loops and cells in general,
// not one unit. "ours" means that no source states the number.
type Params struct {
	// Cells.
	T90DefaultS   float64 `json:"t90_default_s"`   // s; 6, ours: where a cell's own is not known; new cells reach 90 % in 5-10 s (common practice)
	T90SD         float64 `json:"t90_sd_s"`        // s; 1.2, ours: how well the T90 of a cell is known
	GainSD        float64 `json:"gain_sd"`         // 0.012, ours: spread of the gain of healthy, calibrated cells
	SharedGainSD  float64 `json:"shared_gain_sd"`  // 0.001, ours: gain error that all cells share through one calibration
	HumidOdds     float64 `json:"humid_odds"`      // 0.05, ours: calibrations in humid gas that was taken as dry
	HumidGain     float64 `json:"humid_gain"`      // 0.04: the cells then read high by up to pH2O/P, 0.040 bar saturated at 29 C (steam tables; memory)
	OffGainSD     float64 `json:"off_gain_sd"`     // 0.12, ours: spread of the gain of a cell that is off
	OffOdds       float64 `json:"off_odds"`        // 0.05, ours: share of cells that are off
	AlikeOdds     float64 `json:"alike_odds"`      // 0.25, ours: two cells off alike, against one; cells of one age fail alike
	CellNoiseBar  float64 `json:"cell_noise_bar"`  // bar; 0.004, ours: noise of a reading where it is not known
	CeilingGapBar float64 `json:"ceiling_gap_bar"` // bar; 0.02, ours: readings nearer to a ceiling than this are not used
	CoarseStepBar float64 `json:"coarse_step_bar"` // bar; 0.015, ours: an error of rounding coarser than this lasts
	CoarseHoldS   float64 `json:"coarse_hold_s"`   // s; 60, ours: for so long
	TooCoarseBar  float64 `json:"too_coarse_bar"`  // bar; 0.04, ours: where all cells are rounded coarser, the response to an opening does not show
	OutlierSD     float64 `json:"outlier_sd"`      // 4, ours: a reading farther off than this many standard errors, and alone in it, weighs less

	LiveMemoryS float64 `json:"live_memory_s"` // s; 60, ours: the live estimate remembers a cell's departures for this long

	// Loop.
	RateSDBarS   float64 `json:"rate_sd_bar_s"`        // bar/s; 0.003, ours: slow rate, of the size of VO2/V
	RateTimeS    float64 `json:"rate_time_s"`          // s; 300, ours: how long a metabolic rate lasts
	MixSD        float64 `json:"mix_sd_bar_sqrt_s"`    // bar per root second; 0.0007, ours: uneven mixing
	EventSD      float64 `json:"event_sd_bar_sqrt_s"`  // bar per root second; 0.05, ours: flush, manual addition, open circuit
	DepthShare   float64 `json:"depth_share"`          // 0.3, ours: how far make-up and venting depart from the ideal
	OvershootS   float64 `json:"overshoot_s"`          // s; 8, ours: oxygen reaches the cells ahead of the mixed loop for this long
	DelayS       float64 `json:"delay_s"`              // s; 0.5, ours: smear of an opening on its way to the cells, where it can't be fitted
	ValveMixed   float64 `json:"valve_mixed_bar_s"`    // bar/s; 0.025, flow over volume: ~10 L/min in ~6.5 L
	ValveMixedSD float64 `json:"valve_mixed_sd_bar_s"` // bar/s; 0.015, ours
	ValveOver    float64 `json:"valve_over_bar_s"`     // bar/s; 0.03, ours: the overshoot at the cells
	ValveOverSD  float64 `json:"valve_over_sd_bar_s"`  // bar/s; 0.03, ours
	ValveShare   float64 `json:"valve_share"`          // 0.2, ours: how much one opening departs from another
	StartSDBar   float64 `json:"start_sd_bar"`         // bar; 0.1, ours: belief about the first row
	LoopTempC    float64 `json:"loop_temp_c"`          // C; 30, ours: for L/min STPD

	// Helium.
	HeWanderS      float64 `json:"he_wander_s"`               // s; 300, ours: how long an error of a helium sensor lasts
	HeWhiteShare   float64 `json:"he_white_share"`            // 0.5, ours: variance of what is not slow in its error (lag above all), over that of what is
	HeWashOutS     float64 `json:"he_wash_out_s"`             // s; 300, ours: the loop's starting air is gone no sooner
	HeWashOut      float64 `json:"he_wash_out_ratio"`         // 3, ours: nor before make-up has raised the pressure by this factor
	HeSigmaUnknown float64 `json:"he_sigma_unknown_fraction"` // 0.01, ours: error of a helium fraction where none is stated

	// Valves: short response.
	SlowS         float64 `json:"slow_s"`           // s; 15, ours: what is slower than this is no response to an opening
	DepthRateMMin float64 `json:"depth_rate_m_min"` // m/min; 6, ours: above this responses are not judged
	FlushBarS     float64 `json:"flush_bar_s"`      // bar/s; 0.01, ours: a fall faster than this is no metabolism (3 L/min in 6 L is 0.009)
	CorrelationS  float64 `json:"correlation_s"`    // s; 8, ours: rows nearer than this count as one
	LogOddsLikely float64 `json:"log_odds_likely"`  // 8, ours: ln of the odds for a fault to be named
	LogOddsSure   float64 `json:"log_odds_sure"`    // 20, ours
	OneMomentS    float64 `json:"one_moment_s"`     // s; 30, ours: openings that fell silent within this long alone name no valve
	LateMostS     float64 `json:"late_most_s"`      // s; 6, ours: PO2 may be written so much later than the openings
	SharpS        float64 `json:"sharp_s"`          // s; 2.5, ours: rows farther apart than this blur responses; the odds asked of a dead valve grow with them
	MinOpenings   int     `json:"min_openings"`     // 5, METHODS: openings without response
	WorkingShare  float64 `json:"working_share"`    // 0.5, ours: a response above this share of the usual is one

	// Valves: balance and leak.
	BalanceS        float64 `json:"balance_s"`          // s; 30, ours: stretch over which supply is held against PO2
	ConsumeLowBarS  float64 `json:"consume_low_bar_s"`  // bar/s; 0.001, 0.4 L/min in 7 L: least fall without oxygen
	ConsumeHighBarS float64 `json:"consume_high_bar_s"` // bar/s; 0.005, 1.7 L/min in 6 L
	LossFallBar     float64 `json:"loss_fall_bar"`      // bar; 0.05, ours: smallest fall of PO2 that goes with a lost supply
	LossShare       float64 `json:"loss_share"`         // 0.6, ours: and no slower than this share of usual consumption
	ShutS           float64 `json:"shut_s"`             // s; 60, METHODS: valves shut for a rate to be judged
	ShutMaxS        float64 `json:"shut_max_s"`         // s; 240, ours: a longer stretch is judged in parts
	LevelRateMMin   float64 `json:"level_rate_m_min"`   // m/min; 1, METHODS has 0.5 m: depth is level below this
	SettleS         float64 `json:"settle_s"`           // s; 60, ours: after a change of depth or an event the loop still mixes
	LeakLMin        float64 `json:"leak_l_min"`         // L/min STPD; 0.3, METHODS: smallest inflow named where the volume is known
	LeakDepthM      float64 `json:"leak_depth_m"`       // m; 0.5, ours: above it the loop is handled in ways that no log tells of
	LeakRiseBar     float64 `json:"leak_rise_bar"`      // bar; 0.03, ours: smallest rise with valves shut that is named
}

// DefaultParams returns the defaults.
func DefaultParams() Params {
	return Params{
		T90DefaultS: 6, T90SD: 1.2, GainSD: 0.012, SharedGainSD: 0.001, HumidOdds: 0.05, HumidGain: 0.04, OffGainSD: 0.12, OffOdds: 0.05, AlikeOdds: 0.25,
		CellNoiseBar: 0.004, CeilingGapBar: 0.02, CoarseStepBar: 0.015, CoarseHoldS: 60, TooCoarseBar: 0.04, OutlierSD: 4, LiveMemoryS: 60,
		RateSDBarS: 0.003, RateTimeS: 300, MixSD: 0.0007, EventSD: 0.05, DepthShare: 0.3,
		OvershootS: 8, DelayS: 0.5, ValveMixed: 0.025, ValveMixedSD: 0.015, ValveOver: 0.03, ValveOverSD: 0.03, ValveShare: 0.2,
		StartSDBar: 0.1, LoopTempC: 30,
		HeWanderS: 300, HeWhiteShare: 0.5, HeWashOutS: 300, HeWashOut: 3, HeSigmaUnknown: 0.01,
		SlowS: 15, DepthRateMMin: 6, FlushBarS: 0.01, CorrelationS: 8, LogOddsLikely: 8, LogOddsSure: 20, OneMomentS: 30, LateMostS: 6, SharpS: 2.5, MinOpenings: 5, WorkingShare: 0.5,
		BalanceS: 30, ConsumeLowBarS: 0.001, ConsumeHighBarS: 0.005, LossFallBar: 0.05, LossShare: 0.6,
		ShutS: 60, ShutMaxS: 240, LevelRateMMin: 1, SettleS: 60, LeakLMin: 0.3, LeakDepthM: 0.5, LeakRiseBar: 0.03,
	}
}

// overshootShare is the share of an opening's first response that decays as the
// loop mixes.
func (p Params) overshootShare() float64 { return p.ValveOver / (p.ValveOver + p.ValveMixed) }
