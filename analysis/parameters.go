package analysis

import (
	"afterloop/analysis/cell"
	"afterloop/analysis/exposure"
	"afterloop/analysis/halves"
	"afterloop/analysis/hydro"
	"afterloop/analysis/injection"
	"afterloop/analysis/loop"
	"afterloop/analysis/supply"
	"afterloop/analysis/timeline"
	"afterloop/analysis/tracking"
	"afterloop/analysis/vote"
)

// Parameters are all the figures that a debrief can be tuned by. They are
// printed in every report and JSON file, so that a verdict can be repeated.
// Defaults named "ours" have no source outside this project; "common practice"
// is what the trade does, without a print to point at.
type Parameters struct {
	// Cells restricts the replay of the vote to these cells; empty means all.
	Cells     []int            `json:"cells"`
	Vote      vote.Params      `json:"vote"`
	Tracking  tracking.Params  `json:"tracking"`
	Injection injection.Params `json:"injection"`
	Supply    supply.Params    `json:"supply"`
	Mask      loop.MaskParams  `json:"mask"`
	Cell      cell.Params      `json:"cell"`
	Loop      loop.Params      `json:"loop"`
	Responses timeline.Params  `json:"responses"`
	// SkipDiagnosis leaves out the diagnosis and the estimate.
	SkipDiagnosis bool               `json:"skip_diagnosis"`
	Exposure      exposure.Options   `json:"exposure"`
	Gas           GasParameters      `json:"gas"`
	Limits        Limits             `json:"limits"`
	KnownGas      KnownGasParameters `json:"known_gas"`
	// Models are the newer models of oxygen toxicity to compute, by name. None by default.
	Models []string `json:"models"`

	BreathedGas    BreathedGasParameters `json:"breathed_gas"`
	Pressures      hydro.Params          `json:"pressures"`
	PressureLimits PressureLimits        `json:"pressure_limits"`
	// Halves govern how the clocks of two halves are aligned, HalvesLimits when they are said to disagree.
	Halves       halves.Params `json:"halves"`
	HalvesLimits HalvesLimits  `json:"halves_limits"`
}

// GasParameters describe the gas that the cells see.
type GasParameters struct {
	// VapourBar is the water vapour taken off ambient pressure where dry gas is
	// meant. Default 0.0627 bar, saturation at 37 C (published vapour-pressure
	// tables; see package gas). The loop may be drier: figures that depend on it
	// are shown with the range from 0.
	VapourBar float64 `json:"vapour_bar"`
	// LoopTempC is the loop's temperature where none was recorded. Default 30 C, ours: 20 to 37 C changes volumes by -3 to +2 %.
	LoopTempC float64 `json:"loop_temp_c"`
}

// Limits are the thresholds of the checks that this package runs itself.
type Limits struct {
	// Low oxygen, after LowAfterS on the loop and under water. 0.16 and 0.18 bar are common practice.
	LowCautionBar float64 `json:"low_caution_bar"`
	LowWarningBar float64 `json:"low_warning_bar"`
	LowAfterS     float64 `json:"low_after_s"`
	// High oxygen: above HighCautionBar outside stops for HighCautionAfterS, above
	// HighWarningBar for HighWarningAfterS. 1.4 bar: maximum of the NOAA Diving
	// Program since 2015 (omao.noaa.gov, 2015-10-30); 1.6 bar: last row of NOAA's table.
	HighCautionBar    float64 `json:"high_caution_bar"`
	HighCautionAfterS float64 `json:"high_caution_after_s"`
	HighWarningBar    float64 `json:"high_warning_bar"`
	HighWarningAfterS float64 `json:"high_warning_after_s"`
	// Cells disagree: largest minus smallest reading, and for how long. Ours.
	DisagreeBar    float64 `json:"disagree_bar"`
	DisagreeAfterS float64 `json:"disagree_after_s"`
	// UndecidedAfterS is how long a vote must be undecided to be worth a finding. Ours.
	UndecidedAfterS float64 `json:"undecided_after_s"`
	// MergeS joins events of one kind that lie closer together than this. Ours.
	MergeS float64 `json:"merge_s"`
	// An excursion from the set point that begins within FlushJoinS of a recorded flush
	// or addition of gas, and is over within FlushOverS, is put down to it. Ours.
	FlushJoinS float64 `json:"flush_join_s"`
	FlushOverS float64 `json:"flush_over_s"`
	// UnitDiffersBar is how far a replay may lie from the unit's PO2 before it is
	// listed, for at least UnitDiffersAfterS. Ours.
	UnitDiffersBar    float64 `json:"unit_differs_bar"`
	UnitDiffersAfterS float64 `json:"unit_differs_after_s"`
	// FollowedAfterS is how long the unit's PO2 must lie outside the estimate's band,
	// by more than UnitDiffersBar, to be worth a finding. Ours.
	FollowedAfterS float64 `json:"followed_after_s"`
	// Share of a limit of exposure from which a caution and a warning are raised. 80 % is common practice.
	ExposureCautionFraction float64 `json:"exposure_caution_fraction"`
	ExposureWarningFraction float64 `json:"exposure_warning_fraction"`
	// SurfacePressureBar is how far the pressure measured at the surface may lie
	// from the stated one. Ours: about 200 m of altitude.
	SurfacePressureBar float64 `json:"surface_pressure_bar"`
	// AboveAmbientBar and AboveAmbientFraction: a reading counts as impossible when it
	// is above ambient pressure by more than the larger of the two for AboveAmbientAfterS.
	// Ours: wide enough for a gain error of 8 % and for the pressure's own uncertainty.
	AboveAmbientBar      float64 `json:"above_ambient_bar"`
	AboveAmbientFraction float64 `json:"above_ambient_fraction"`
	AboveAmbientAfterS   float64 `json:"above_ambient_after_s"`
	// GapCautionS is the time in gaps under water from which the record is called weak. Ours.
	GapCautionS float64 `json:"gap_caution_s"`
	// MissingFraction is the share of a cell's readings that may be missing. Ours.
	MissingFraction float64 `json:"missing_fraction"`
	// CoarseIntervalS and CoarseStepBar: a coarser record is said to weaken the checks. Ours.
	CoarseIntervalS float64 `json:"coarse_interval_s"`
	CoarseStepBar   float64 `json:"coarse_step_bar"`
}

// KnownGasParameters govern the table of moments when the right PO2 was known.
type KnownGasParameters struct {
	// WindowS is how long after a flush the cells are watched. Ours.
	WindowS float64 `json:"window_s"`
	// PlateauS is the length of the steady stretch that is read. Ours.
	PlateauS float64 `json:"plateau_s"`
	// SteadyBar is how much the median of the cells may move within the plateau. Ours.
	SteadyBar float64 `json:"steady_bar"`
	// ToleranceBar is how far outside the expected range a reading may lie. Ours.
	ToleranceBar float64 `json:"tolerance_bar"`
	// DepthM is how much the depth may change within the window. Ours.
	DepthM float64 `json:"depth_m"`
	// AirBar is how near the median must be to air before the loop is presumed to hold air. Ours.
	AirBar float64 `json:"air_bar"`
	// AirForS is how long the readings must be steady at air. Ours.
	AirForS float64 `json:"air_for_s"`
	// UseReserve is how much harder than in this dive's own level windows the diver may have worked at a flush. Ours.
	UseReserve float64 `json:"use_reserve"`
}

// DefaultParameters are the documented defaults.
func DefaultParameters() Parameters {
	return Parameters{
		Cells:     []int{},
		Models:    []string{},
		Vote:      vote.DefaultParams(),
		Tracking:  tracking.DefaultParams(),
		Injection: injection.DefaultParams(),
		Supply:    supply.DefaultParams(),
		Responses: timeline.DefaultParams(),
		Mask:      loop.DefaultMaskParams(), Cell: cell.DefaultParams(), Loop: loop.DefaultParams(),
		Exposure: exposure.DefaultOptions(), Halves: halves.DefaultParams(), HalvesLimits: DefaultHalvesLimits(),
		Gas: GasParameters{VapourBar: 0.0627, LoopTempC: 30},
		Limits: Limits{
			LowCautionBar: 0.18, LowWarningBar: 0.16, LowAfterS: 5,
			HighCautionBar: 1.4, HighCautionAfterS: 60, HighWarningBar: 1.6, HighWarningAfterS: 10,
			DisagreeBar: 0.20, DisagreeAfterS: 30, UndecidedAfterS: 30, MergeS: 120, FlushJoinS: 60, FlushOverS: 180,
			UnitDiffersBar: 0.05, UnitDiffersAfterS: 30, FollowedAfterS: 60,
			ExposureCautionFraction: 0.8, ExposureWarningFraction: 1,
			SurfacePressureBar: 0.02,
			AboveAmbientBar:    0.10, AboveAmbientFraction: 0.08, AboveAmbientAfterS: 10,
			GapCautionS: 60, MissingFraction: 0.05, CoarseIntervalS: 10, CoarseStepBar: 0.02,
		},
		KnownGas: KnownGasParameters{
			WindowS: 60, PlateauS: 10, SteadyBar: 0.03, ToleranceBar: 0.05, DepthM: 1, AirBar: 0.03, AirForS: 20, UseReserve: 1.5,
		},
		BreathedGas: defaultBreathedGas(), Pressures: hydro.DefaultParams(), PressureLimits: defaultPressureLimits(),
	}
}
