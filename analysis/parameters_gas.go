package analysis

// BreathedGasParameters govern what is said of the gas that was breathed.
type BreathedGasParameters struct {
	// DensityCautionGL and DensityWarningGL are the recommended and the greatest
	// density, 5.2 and 6.2 g/L (Anthony and Mitchell, in Pollock, Sellers and Godfrey,
	// eds, Rebreathers and Scientific Diving, 2016; 6.2 from memory), after DensityAfterS
	// (60 s, ours).
	DensityCautionGL float64 `json:"density_caution_g_l"`
	DensityWarningGL float64 `json:"density_warning_g_l"`
	DensityAfterS    float64 `json:"density_after_s"`
	// ReferenceTempC is the temperature at which density is reckoned. Default 0 C: the
	// published limits are those of air at 31 and 39 m at that temperature and no
	// other. At 20 C every figure is 7 % lower.
	ReferenceTempC float64 `json:"reference_temp_c"`
	// BodyTempC is the temperature of the humid gas in the lungs. Default 37 C.
	BodyTempC float64 `json:"body_temp_c"`
	// SwitchNitrogenRiseBar is the rise of nitrogen pressure at a change of gas from
	// which it is a finding. Default 0.5 bar, ours: no print states a safe figure.
	SwitchNitrogenRiseBar float64 `json:"switch_nitrogen_rise_bar"`
	// SwitchDepthM is how much the depth may change within SwitchWindowS before and
	// after a change of gas that is called isobaric. Defaults 3 m and 60 s, ours.
	SwitchDepthM  float64 `json:"switch_depth_m"`
	SwitchWindowS float64 `json:"switch_window_s"`
}

// PressureLimits are the thresholds of the checks of pressure and depth.
type PressureLimits struct {
	// DepthMismatchM is how far recorded depth may lie from the one that follows from
	// the recorded pressure, for MismatchAfterS. Defaults 1 m and 60 s, ours.
	DepthMismatchM float64 `json:"depth_mismatch_m"`
	MismatchAfterS float64 `json:"mismatch_after_s"`
	// DensityMismatchFraction is how far, beyond its interval, the implied density may
	// lie from the one in use. Default 0.01, ours: fresh and sea water differ by 0.025.
	DensityMismatchFraction float64 `json:"density_mismatch_fraction"`
	// SensorsBar and SensorsFraction: two sensors disagree where they differ by more
	// than the larger of the two and their rounding. Defaults 0.05 bar and 0.01, ours.
	SensorsBar      float64 `json:"sensors_bar"`
	SensorsFraction float64 `json:"sensors_fraction"`
	// DriftBar is how much the pressure at the surface may change over the dive. Default 0.02 bar, ours.
	DriftBar float64 `json:"drift_bar"`
}

func defaultBreathedGas() BreathedGasParameters {
	return BreathedGasParameters{DensityCautionGL: 5.2, DensityWarningGL: 6.2, DensityAfterS: 60, ReferenceTempC: 0, BodyTempC: 37,
		SwitchNitrogenRiseBar: 0.5, SwitchDepthM: 3, SwitchWindowS: 60}
}

func defaultPressureLimits() PressureLimits {
	return PressureLimits{DepthMismatchM: 1, MismatchAfterS: 60, DensityMismatchFraction: 0.01, SensorsBar: 0.05, SensorsFraction: 0.01, DriftBar: 0.02}
}
