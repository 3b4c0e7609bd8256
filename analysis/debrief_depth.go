package analysis

// DepthPressure is how far the pressures and depths of the record can be trusted,
// and what an error in them would change.
type DepthPressure struct {
	// PressureFrom is measured, pressure-depth (metres or feet of sea water) or depth;
	// DepthFrom is depth, pressure-depth, or pressure where no depth was recorded.
	PressureFrom string `json:"pressure_from"`
	DepthFrom    string `json:"depth_from"`
	// Agreement is recorded depth less the depth that follows from recorded pressure;
	// null where the two do not stem from two columns.
	Agreement *DepthAgreement `json:"agreement"`
	// ImpliedDensity is the water density, kg/m3, that the instrument must have assumed.
	ImpliedDensity   Interval         `json:"implied_density_kg_m3"`
	DensityKgM3      Float            `json:"density_in_use_kg_m3"`
	DensityAssumed   bool             `json:"density_assumed"`
	Surface          SurfacePressure  `json:"surface"`
	Altitude         AltitudeEstimate `json:"altitude"`
	Sensors          []PressureSensor `json:"sensors"`
	Pairs            []PressurePair   `json:"pairs"`
	Sensitivity      []PressureFault  `json:"sensitivity"`
	SensitivityBasis SensitivityBasis `json:"sensitivity_basis"`
	// DepthDoubt is why a depth that follows from pressure is not to be taken as it
	// stands; null where nothing speaks against it.
	DepthDoubt *DepthDoubt `json:"depth_doubt"`
}

// DepthAgreement is how well recorded depth and recorded pressure fit.
type DepthAgreement struct {
	MedianM Float `json:"median_m"`
	SpreadM Float `json:"spread_m"`
	Worst   Value `json:"worst"`
	Rows    int   `json:"rows"`
	// SurfaceBar and DensityKgM3 are those with which pressure was turned into depth.
	SurfaceBar  Float `json:"surface_bar"`
	DensityKgM3 Float `json:"density_kg_m3"`
	// LeftM is what is left of the differences, 95 of 100 rows, once the implied density
	// and surface pressure are used; null where they are not known.
	LeftM Float `json:"left_95_m"`
	// PressureEndsBar is the reading at which pressure stood still while depth went on;
	// null if none. Its rows are left out of the comparison, and of the gas.
	PressureEndsBar Float `json:"pressure_ends_bar"`
}

// SurfacePressure is the pressure at the surface before and after the dive.
type SurfacePressure struct {
	InUseBar Float          `json:"in_use_bar"`
	Assumed  bool           `json:"assumed"`
	Before   SurfaceReading `json:"before"`
	After    SurfaceReading `json:"after"`
	DriftBar Interval       `json:"drift_bar"`
	// Presumed is true where no depth tells that the rows were at the surface.
	Presumed bool `json:"presumed"`
}

// SurfaceReading is the pressure in one stretch at the surface, with its 95 % interval.
type SurfaceReading struct {
	Bar   Float `json:"bar"`
	Low   Float `json:"low"`
	High  Float `json:"high"`
	FromS Float `json:"from_s"`
	ToS   Float `json:"to_s"`
}

// AltitudeEstimate is the altitude by the standard atmosphere, with what weather leaves open.
type AltitudeEstimate struct {
	M Interval `json:"altitude_m"`
	// From is measured (at the surface) or stated (in the log).
	From       string `json:"from"`
	WeatherBar Float  `json:"weather_bar"`
}

// PressureSensor is one recorded column of ambient pressure.
type PressureSensor struct {
	// Number is that of the column, 0 for ambient_bar.
	Number  int   `json:"number"`
	InUse   bool  `json:"in_use"`
	Rows    int   `json:"rows"`
	StepBar Float `json:"step_bar"` // null where no usual rounding fits
	MinBar  Float `json:"min_bar"`
	MaxBar  Float `json:"max_bar"`
	// SaturatesBar is the reading at which it stood still while another went on; null if none.
	SaturatesBar Float `json:"saturates_bar"`
	// SaturatedS is for how long it stood there; 0 if it did not.
	SaturatedS Float `json:"saturated_s"`
}

// PressurePair is one sensor against another, over the rows in which neither stands
// at the end of its range.
type PressurePair struct {
	A         int      `json:"a"`
	B         int      `json:"b"`
	MedianBar Float    `json:"median_difference_bar"` // b - a
	SpreadBar Float    `json:"spread_bar"`
	Worst     Value    `json:"worst_difference"`
	OffsetBar Interval `json:"offset_bar"`
	Scale     Interval `json:"scale"`
	// Coarser is the sensor with the coarser rounding, null where they are alike.
	Coarser *int `json:"coarser"`
	// DisagreeS is the time in which they differ by more than the limit.
	DisagreeS Float `json:"disagree_s"`
}

// SensitivityBasis are the figures of this dive that the sensitivity starts from.
type SensitivityBasis struct {
	// At is the row of the greatest pressure; StopDepthM the shallowest stop.
	AtS            Float `json:"at_s"`
	AmbientBar     Float `json:"ambient_bar"`
	LoopO2Fraction Float `json:"loop_o2_fraction"`
	StopDepthM     Float `json:"shallowest_stop_m"`
	StopDryBar     Float `json:"stop_dry_pressure_bar"`
	StopSetPoint   Float `json:"stop_set_point_bar"`
	KnownGasBar    Float `json:"largest_known_gas_bar"`
	DensityGL      Float `json:"densest_g_l"`
	CNSPercent     Float `json:"cns_percent"`
	OTU            Float `json:"otu"`
}

// PressureFault is what changes if the true pressure is higher than the one in use.
type PressureFault struct {
	Kind   string `json:"kind"`   // density, scale, offset
	Amount Float  `json:"amount"` // a fraction, or bar for an offset
	// AmbientBar is the change of the greatest pressure, and so of the bound PO2 <= P_d.
	AmbientBar     Float `json:"ambient_change_bar"`
	LoopO2Fraction Float `json:"loop_o2_fraction_change"`
	// StopDryBar is the change of the highest PO2 that the shallowest stop allows.
	StopDryBar  Float `json:"stop_dry_pressure_change_bar"`
	KnownGasBar Float `json:"known_gas_change_bar"`
	DensityGL   Float `json:"densest_change_g_l"`
	// DepthM is the change of the greatest depth that follows from the pressure; 0
	// where depth was recorded.
	DepthM Float `json:"depth_change_m"`
	// CNSPercent and OTU change through open circuit alone: the cells measure PO2 themselves.
	CNSPercent Float `json:"cns_change_percent"`
	OTU        Float `json:"otu_change"`
	// If the same sensor gave the pressure at calibration, all cells are off by this
	// factor, and the doses change by as much as stands beside it.
	CellGain      Float `json:"cell_gain_if_calibrated_by_it"`
	CalibratedCNS Float `json:"cns_change_if_calibrated_by_it_percent"`
	CalibratedOTU Float `json:"otu_change_if_calibrated_by_it"`
}
