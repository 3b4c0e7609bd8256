package analysis

// Exposure is the oxygen dose by every source of PO2 that may have been breathed.
type Exposure struct {
	Headline ExposureHeadline `json:"headline"`
	BySource []ExposureSource `json:"by_source"`
	// OpenCircuitAssessed is false where the diver breathed open circuit and the gas is not known.
	OpenCircuitAssessed bool   `json:"open_circuit_assessed"`
	Rule                string `json:"rule"`
	LimitUnit           string `json:"limit_unit"` // "bar" or "ata": how the table was read
	// MinutesByPO2 is the time spent in each band of the table by the headline's source.
	MinutesByPO2 []BandTime `json:"minutes_by_po2"`
	// Models are the newer models that were asked for; empty by default.
	Models []ExposureModel `json:"models"`
}

// BandTime is minutes in a band of PO2.
type BandTime struct {
	FromBar  Float `json:"from_bar"`
	ToBar    Float `json:"to_bar"`
	Minutes  Float `json:"minutes"`
	LimitMin Float `json:"limit_min"`
}

// ExposureHeadline is the worst of what may have been breathed.
type ExposureHeadline struct {
	Source       string `json:"source"`
	CNSPercent   Float  `json:"cns_percent"`
	Low          Float  `json:"low"`
	High         Float  `json:"high"`
	IsLowerBound bool   `json:"is_lower_bound"`
	OTU          Float  `json:"otu"`
}

// ExposureSource is the dose if one source told the truth.
type ExposureSource struct {
	Source            string `json:"source"` // unit, cell1 …, a policy's name
	CNSPercent        Float  `json:"cns_percent"`
	CNSLinearPercent  Float  `json:"cns_linear_percent"`
	CNSIsLowerBound   bool   `json:"cns_is_lower_bound"`
	CNS24hPercent     Float  `json:"cns_24h_percent"`
	OTU               Float  `json:"otu"`
	SecondsAboveTable Float  `json:"seconds_above_table"`
	JudgedFalse       bool   `json:"judged_false"`
	JudgedBy          string `json:"judged_by"` // finding id, or empty
	CNSLowPercent     Float  `json:"cns_low_percent"`
	CNSHighPercent    Float  `json:"cns_high_percent"`
	OTULow            Float  `json:"otu_low"`
	OTUHigh           Float  `json:"otu_high"`
	// AssessedS is the time over which this source had a value.
	AssessedS Float `json:"assessed_s"`
}
