package analysis

// Cell is one cell: what it read, and what is judged of it.
type Cell struct {
	Cell              int        `json:"cell"`
	Serial            string     `json:"serial"`
	Installed         string     `json:"installed"`
	Readings          int        `json:"readings"`
	MinBar            Float      `json:"min_bar"`
	MaxBar            Float      `json:"max_bar"`
	StepBar           Float      `json:"step_bar"`
	MeanFromMedianBar Float      `json:"mean_from_median_bar"`
	MaxFromMedian     Value      `json:"max_from_median"`
	UnitOutS          Float      `json:"unit_out_s"` // time that the unit recorded it voted out; null without that column
	ManualVotes       []VotedOut `json:"manual_votes"`
	AtDisplayLimitS   Float      `json:"at_display_limit_s"`
	MV                *CellMV    `json:"mv"`
	T90S              Interval   `json:"t90_s"`
	Gain              Interval   `json:"gain"`
	CeilingBar        Interval   `json:"ceiling_bar"`
	DriftPerH         Interval   `json:"drift_per_h"`
	NoiseBar          Interval   `json:"noise_bar"`
}

// CellMV is a cell's millivolt side.
type CellMV struct {
	CalMV     Float `json:"cal_mv"`
	CalPO2Bar Float `json:"cal_po2_bar"`
	MVPerBar  Float `json:"mv_per_bar"`
	MinMV     Float `json:"min_mv"`
	MaxMV     Float `json:"max_mv"`
	// ContradictsPO2 is the largest difference between the recorded PO2 and the one that the millivolts give.
	LargestDifferenceBar Value `json:"largest_difference"`
}

// Interval is an estimate with its 95 % interval; all null with a Reason where nothing can be said.
type Interval struct {
	Value  Float  `json:"value"`
	Low    Float  `json:"low"`
	High   Float  `json:"high"`
	Reason string `json:"reason"`
}

// noInterval is a figure that is not known, and why.
func noInterval(reason string) Interval { return Interval{unknown, unknown, unknown, reason} }

// Estimate describes the estimate of the true PO2 at the cells.
type Estimate struct {
	Method        string   `json:"method"`
	RMSEBar       Float    `json:"rmse_bar"`
	BandMedianBar Float    `json:"band_median_bar"`
	Excitations   []string `json:"excitations"`
	T90VisibleS   Float    `json:"t90_visible_s"`
	// ScaleLow and ScaleHigh are the 95 % bounds, as factors on the estimate, of the
	// scale that all cells share: what the log leaves unsettled.
	ScaleLow  Float `json:"scale_low"`
	ScaleHigh Float `json:"scale_high"`
}

// KnownGas is a moment when the right PO2 was known.
type KnownGas struct {
	Kind         string `json:"kind"` // air_at_surface, calibration, diluent_flush, oxygen_flush
	AtS          Float  `json:"at_s"`
	ToS          Float  `json:"to_s"`
	ExpectedBar  Float  `json:"expected_bar"`
	ExpectedLow  Float  `json:"expected_low_bar"`
	ExpectedHigh Float  `json:"expected_high_bar"`
	// LeastBar is the least that PO2 can have been: after a flush that came down, the
	// low end less what the diver may have used since; else the low end.
	LeastBar Float             `json:"least_bar"`
	Basis    string            `json:"basis"` // how the expected value was computed
	Readings []KnownGasReading `json:"readings"`
	SettleS  Float             `json:"settle_s"` // slowest cell
	Assessed bool              `json:"assessed"`
	Reason   string            `json:"reason"`
}

// KnownGasReading is one cell at such a moment.
type KnownGasReading struct {
	Cell          int   `json:"cell"`
	ReadBar       Float `json:"read_bar"`
	ErrorBar      Float `json:"error_bar"`
	ErrorFraction Float `json:"error_fraction"`
	SettleS       Float `json:"settle_s"`
	Within        bool  `json:"within_expected_range"`
	// Conclusive is true where the reading can't be explained by a flush that was not
	// complete: below the range after a flush that came down, above it after one that went up.
	Conclusive bool `json:"conclusively_off"`
}
