package supply

// Params are the thresholds of this package. Intervals are meant as 95 %.
type Params struct {
	// ReadOverS is the time at each end over which a cylinder's or a battery's
	// reading is the median, s. Default 60, ours.
	ReadOverS float64 `json:"read_over_s"`
	// LeastS is the least time between the two readings, s. Default 300, ours.
	LeastS float64 `json:"least_s"`
	// AssumedStepBar is the step of a gauge that shows one single value and so hides its
	// step, bar. Default 10, ours: as coarse as gauges are.
	AssumedStepBar float64 `json:"assumed_step_bar"`
	// GaugeShare is the accuracy of a gauge as a share of a difference. Default 0.02, ours.
	GaugeShare float64 `json:"gauge_share"`
	// VolumeShare is how well the stated volume of a cylinder is known. Default 0.02, ours.
	VolumeShare float64 `json:"volume_share"`
	// FlowShare is how well the stated flow of a valve is known. Default 0.10, ours.
	FlowShare float64 `json:"flow_share"`
	// A cylinder follows the water with a time constant between LagFastS and LagSlowS,
	// LagS in the middle, s. Defaults 60, 240 and 600, ours: heat through the wall and
	// into the gas of a small cylinder.
	LagFastS float64 `json:"lag_fast_s"`
	LagS     float64 `json:"lag_s"`
	LagSlowS float64 `json:"lag_slow_s"`
	// StartTempC is how far it may be from the water at the start of the record, KnownTempC
	// how far besides at any time, C. Defaults 20 (out of the sun, or just filled) and 2, ours.
	StartTempC float64 `json:"start_temp_c"`
	KnownTempC float64 `json:"known_temp_c"`
	// AssumedTempC stands where no temperature was recorded, C, give or take
	// UnknownTempC; between the two ends it may have cooled or warmed by UnknownChangeC, or
	// from SettledS on by SettledChangeC. Defaults 15, 10, 25 and 18, ours.
	AssumedTempC   float64 `json:"assumed_temp_c"`
	UnknownTempC   float64 `json:"unknown_temp_c"`
	UnknownChangeC float64 `json:"unknown_change_c"`
	SettledChangeC float64 `json:"settled_change_c"`
	// SettledS after the start of the time under water a cylinder has taken on the
	// water's temperature: the balance may begin there, or half as long again or twice
	// as long after. Default 900, ours.
	SettledS float64 `json:"settled_s"`
	// RefillBar is a rise between neighbouring minutes that only a filling or a
	// change of cylinder explains, bar. Default 10, ours.
	RefillBar float64 `json:"refill_bar"`
	// OpenRoundingS is how far the recorded seconds of one opening may be off, s.
	// Default 0.05, ours: half the last digit of common records.
	OpenRoundingS float64 `json:"open_rounding_s"`

	// FlushVolumes is the most loop volumes that one recorded oxygen flush may have
	// taken, HandL the most that one addition by hand may, L at ambient pressure.
	// Defaults 5 and 1, ours.
	FlushVolumes float64 `json:"flush_volumes"`
	HandL        float64 `json:"hand_l"`
	// PlayBar is how far pressure must move before it counts as an ascent or a
	// descent, bar. Default 0.03, ours.
	PlayBar float64 `json:"play_bar"`
	// CantTellShare is the widest half-interval, as a share of the larger account,
	// for which overlapping accounts are said to agree; wider ones can't tell. Default 0.5, ours.
	CantTellShare float64 `json:"cant_tell_share"`

	// LevelAfterS is the time after a stretch at one depth begins from which diluent
	// should stand still, LevelLeastS the least that must be left, s. Defaults 120 and 180, ours.
	LevelAfterS float64 `json:"level_after_s"`
	LevelLeastS float64 `json:"level_least_s"`
	// DiluentFallBarH and DiluentFallBar: a fall at level is told where its rate is
	// above the first with the whole interval and its size above the second beyond what
	// the gauge and the temperature leave, bar/h and bar. Defaults 20 and 5, ours.
	DiluentFallBarH float64 `json:"diluent_fall_bar_h"`
	DiluentFallBar  float64 `json:"diluent_fall_bar"`
	// LevelChangeC is by how much a cylinder may cool in a stretch at level where no
	// temperature was recorded, C. Default 5, ours; recorded, it is half of that.
	LevelChangeC float64 `json:"level_change_c"`

	// BatteryMinV is the voltage below which a battery counts as low, V. Default 0:
	// none. The limit is that of the equipment's own manual.
	BatteryMinV float64 `json:"battery_min_v"`
	// BatteryAfterS is how long a battery must be below it, dips included, s. Default 5, ours.
	BatteryAfterS float64 `json:"battery_after_s"`
	// SagAroundS is the time before and after an opening in which the voltage without
	// load is read, s. Default 30, ours.
	SagAroundS float64 `json:"sag_around_s"`
	// SagLeast is how many openings with a voltage a figure needs. Default 5, ours.
	SagLeast int `json:"sag_least"`
	// SagGrowth is by how much of its median a sag must grow over the dive, with its
	// interval above 0 and by two steps of the record, to be told. Default 0.5, ours.
	SagGrowth float64 `json:"sag_growth"`
	// StepShare is a drop between neighbouring minutes that stays, as a share of the
	// voltage. Default 0.03, ours; the battery's other minutes move less.
	StepShare float64 `json:"step_share"`
	// BrownOutAfterS is how soon after an opening readings must be lost to be set
	// beside it, s. Default 5, ours; never less than two rows.
	BrownOutAfterS float64 `json:"brown_out_after_s"`
	// BrownOutChance is the chance below which losses right after openings are told.
	// Default 0.01, ours.
	BrownOutChance float64 `json:"brown_out_chance"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	return Params{ReadOverS: 60, LeastS: 300, AssumedStepBar: 10, GaugeShare: 0.02, VolumeShare: 0.02, FlowShare: 0.10,
		LagFastS: 60, LagS: 240, LagSlowS: 600, StartTempC: 20, KnownTempC: 2,
		AssumedTempC: 15, UnknownTempC: 10, UnknownChangeC: 25, SettledChangeC: 18, SettledS: 900, RefillBar: 10, OpenRoundingS: 0.05,
		FlushVolumes: 5, HandL: 1, PlayBar: 0.03, CantTellShare: 0.5,
		LevelAfterS: 120, LevelLeastS: 180, DiluentFallBarH: 20, DiluentFallBar: 5, LevelChangeC: 5,
		BatteryAfterS: 5, SagAroundS: 30, SagLeast: 5, SagGrowth: 0.5, StepShare: 0.03, BrownOutAfterS: 5, BrownOutChance: 0.01}
}
