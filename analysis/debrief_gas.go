package analysis

// BreathedGas is the gas that was breathed along the dive: what it was made of, how
// dense and how narcotic it was, and what changed where it was changed.
type BreathedGas struct {
	// PO2From is what the oxygen in the loop rests on: estimate, unit or mid-value.
	PO2From        string `json:"po2_from"`
	ReferenceTempC Float  `json:"reference_temp_c"`
	VapourBar      Float  `json:"vapour_bar"`
	// AssessedS is the time under water with a known gas, out of UnderWaterS; Reason
	// says what the rest lacks.
	AssessedS   Float  `json:"assessed_s"`
	UnderWaterS Float  `json:"under_water_s"`
	Reason      string `json:"reason"`
	// Time under water above the recommended and the greatest density.
	AboveRecommendedS Float `json:"above_recommended_s"`
	AboveMaximumS     Float `json:"above_maximum_s"`
	// Moments are the densest row, the deepest row, and the mean over the bottom.
	Moments  []GasMoment `json:"moments"`
	Switches []GasSwitch `json:"switches"`
	// DensestRangeGL is the range of the greatest density that the loop's starting air
	// and gas of earlier diluents leave: null where they make no difference.
	DensestRangeGL Range `json:"densest_range_g_l"`
	// DiluentFlushes is how many are in the log: each brings the loop nearer to the diluent.
	DiluentFlushes int `json:"diluent_flushes"`
	// MeasuredHelium compares the helium sensor with the helium reckoned; nil without one.
	MeasuredHelium *HeliumAgreement `json:"measured_helium"`
	// Limits say in words what can't be told.
	Limits []string `json:"limits"`
}

// Range is the ends of what may have been.
type Range struct {
	Low  Float `json:"low"`
	High Float `json:"high"`
}

// GasMoment is the gas at one moment, or its mean over a phase.
type GasMoment struct {
	Kind       string `json:"kind"` // densest, deepest, bottom_mean
	AtS        Float  `json:"at_s"` // null for a mean
	DepthM     Float  `json:"depth_m"`
	AmbientBar Float  `json:"ambient_bar"`
	PO2Bar     Float  `json:"po2_bar"`
	// Breathing is loop or open_circuit, Gas the diluent or the open-circuit gas.
	Breathing string       `json:"breathing"`
	Gas       string       `json:"gas"`
	Dry       GasFractions `json:"dry_fraction"`
	Inspired  GasFractions `json:"inspired_fraction"`
	// DensityGL is of the dry gas at the reference temperature, as the limits are;
	// DensityRangeGL what starting air and earlier diluents leave open;
	// DensityAsBreathedGL of the gas saturated at body temperature.
	DensityGL           Float `json:"density_g_l"`
	DensityRangeGL      Range `json:"density_range_g_l"`
	DensityAsBreathedGL Float `json:"density_as_breathed_g_l"`
	// Narcotic depths without and with oxygen counted; below 0 the gas holds less than
	// air at the surface.
	NarcoticDepthN2M   Float `json:"narcotic_depth_n2_m"`
	NarcoticDepthO2N2M Float `json:"narcotic_depth_o2_n2_m"`
}

// GasFractions are the parts of a gas; H2O is 0 in dry gas.
type GasFractions struct {
	O2  Float `json:"o2"`
	N2  Float `json:"n2"`
	He  Float `json:"he"`
	H2O Float `json:"h2o"`
}

// GasSwitch is a change of gas.
type GasSwitch struct {
	AtS  Float  `json:"at_s"`
	Kind string `json:"kind"` // diluent, to_open_circuit, to_loop, open_gas
	From string `json:"from"`
	To   string `json:"to"`
	// DepthM is where; DepthChangeM how much the depth moved within a minute before and after.
	DepthM       Float `json:"depth_m"`
	DepthChangeM Float `json:"depth_change_m"`
	// Isobaric is true where the depth moved little.
	Isobaric bool `json:"isobaric"`
	// Inspired pressures of the inert gases before and after, at the pressure of the switch.
	NitrogenBeforeBar Float `json:"nitrogen_before_bar"`
	NitrogenAfterBar  Float `json:"nitrogen_after_bar"`
	HeliumBeforeBar   Float `json:"helium_before_bar"`
	HeliumAfterBar    Float `json:"helium_after_bar"`
	// UpperBound is true where the loop changes only as far as it is flushed.
	UpperBound bool `json:"upper_bound"`
	// Counterdiffusion is true where helium falls and nitrogen rises.
	Counterdiffusion bool `json:"counterdiffusion"`
	// NitrogenPerHelium is the rise of nitrogen over the fall of helium; null elsewhere.
	NitrogenPerHelium Float `json:"nitrogen_rise_per_helium_fall"`
	// Reason says why it could not be assessed; empty where it was.
	Reason string `json:"reason"`
}

// HeliumAgreement is the helium sensor against the helium reckoned, under water on the loop.
type HeliumAgreement struct {
	// MedianDifference is measured less reckoned from the diluent alone, dry fractions;
	// AirStayedDifference the same against a loop whose starting air was never flushed out.
	MedianDifference    Float `json:"median_difference"`
	AirStayedDifference Float `json:"median_difference_if_air_stayed"`
	Seconds             Float `json:"seconds"`
}
