package whatif

import (
	"afterloop/analysis"
)

// Simulation is the closed loop.
type Simulation struct {
	Mark     string `json:"mark"`
	Assessed bool   `json:"assessed"`
	Reason   string `json:"reason"`
	// Reproduces is yes, roughly or no: how the simulation of the recorded set-up compares
	// with the dive.
	Reproduces string     `json:"reproduces"`
	Comparison Comparison `json:"comparison"`
	Model      *Model     `json:"model"`
	Original   *Simulated `json:"recorded_set_up"`
	Changed    *Simulated `json:"with_the_changes"`
	// MaxDifference is the largest difference in PO2 between the two simulations, DiffersS
	// how long they lie more than 0.05 bar apart.
	MaxDifference analysis.Value `json:"max_difference"`
	DiffersS      Range          `json:"differs_s"`
	Corners       []Corner       `json:"corners"`
}

// Comparison holds the model against the dive.
type Comparison struct {
	// Driven is the model under the recorded openings, fitted; Simulated the recorded
	// set-up with the simulated unit: RMSE against the estimate of PO2.
	DrivenBar          Float `json:"driven_rmse_bar"`
	DrivenPercentO2    Float `json:"driven_rmse_percent_o2"`
	SimulatedBar       Float `json:"simulated_rmse_bar"`
	SimulatedPercentO2 Float `json:"simulated_rmse_percent_o2"`
	LimitPercentO2     Float `json:"limit_percent_o2"`
	RefusePercentO2    Float `json:"refuse_percent_o2"`
	// RecordedOpenS and SimulatedOpenS are the seconds the valves were commanded open.
	RecordedOpenS  Float `json:"recorded_open_s"`
	SimulatedOpenS Float `json:"simulated_open_s"`
}

// Model is the loop as fitted.
type Model struct {
	FlowPerVolume Range  `json:"flow_per_loop_volume_bar_s"`
	FlowBasis     string `json:"flow_basis"`
	// VO2PerVolume is the mean over the dive, its range that of the stretches.
	VO2PerVolume Range      `json:"vo2_per_loop_volume_per_min"`
	Stretches    int        `json:"stretches"`
	Additions    []Addition `json:"additions_by_hand"`
	Controller   Controller `json:"controller"`
	Cells        []CellUsed `json:"cells"`
}

// Addition is gas added by hand, as fitted.
type Addition struct {
	Kind        string `json:"kind"`
	AtS         Float  `json:"at_s"`
	LoopVolumes Float  `json:"loop_volumes"`
}

// CellUsed is a cell as simulated.
type CellUsed struct {
	Cell       int   `json:"cell"`
	T90S       Float `json:"t90_s"`
	Gain       Float `json:"gain"`
	CeilingBar Float `json:"ceiling_bar"` // null: none
}

// Simulated is one simulation.
type Simulated struct {
	Mark       string     `json:"mark"`
	Controller Controller `json:"controller"`
	Loop       Loop       `json:"loop"`
	Vote       Vote       `json:"vote"`
	// HypoxicAtS is when PO2 first was at 0.16 bar or below, on the loop and under water (with
	// a failure of valve or supply: after it), ToHypoxiaS how long after that failure. Null: not
	// within the record.
	HypoxicAtS Range `json:"hypoxic_at_s"`
	ToHypoxiaS Range `json:"to_hypoxia_s"`
	// NotHypoxic counts the runs of the range in which that was not reached.
	NotHypoxic int `json:"runs_not_hypoxic"`
	Runs       int `json:"runs"`
	// BalanceBarL is by how much the oxygen balance fails to close, bar L.
	BalanceBarL Float `json:"oxygen_balance_bar_l"`
}

// Corner is one run of the range: what was taken, and what came out.
type Corner struct {
	Mark          string `json:"mark"`
	Name          string `json:"name"`
	FlowPerVolume Float  `json:"flow_per_loop_volume_bar_s"`
	Mixing        Float  `json:"mixing"`
	T90S          Float  `json:"t90_added_s"`
	Scale         Float  `json:"scale"`
	Policy        string `json:"policy"`
	RMSEPercentO2 Float  `json:"recorded_set_up_rmse_percent_o2"`
	MinBar        Float  `json:"changed_min_po2_bar"`
	MaxBar        Float  `json:"changed_max_po2_bar"`
	HypoxicAtS    Float  `json:"changed_hypoxic_at_s"`
}
