package analysis

// Supply is what the unit carried: gas and charge. It is there for every log;
// where a column is absent the reason says so.
type Supply struct {
	Oxygen    Cylinder      `json:"oxygen_cylinder"`
	Diluent   Cylinder      `json:"diluent_cylinder"`
	Balance   OxygenBalance `json:"oxygen_balance"`
	Level     LevelFall     `json:"diluent_at_level"`
	Batteries []Battery     `json:"batteries"`
}

// Cylinder is one cylinder by its gauge.
type Cylinder struct {
	StartBar Value `json:"start_bar"` // median of the first minute with readings
	EndBar   Value `json:"end_bar"`
	StepBar  Float `json:"step_bar"` // the gauge's, null where it shows one value
	// UsedBar is the difference, with the interval of the gauge alone.
	UsedBar Interval `json:"used_bar"`
	// UsedL is the same in litres STPD, of the oxygen cylinder: by pressure,
	// temperature and compressibility.
	UsedL    Interval    `json:"used_l"`
	RateBarH Interval    `json:"fall_bar_per_h"`
	Phases   []PhaseFall `json:"by_phase"`
	Reason   string      `json:"reason"` // why there are no figures
}

// PhaseFall is what a cylinder lost in all phases of one kind.
type PhaseFall struct {
	Phase     string `json:"phase"`
	Seconds   Float  `json:"seconds"`
	FallBar   Float  `json:"fall_bar"`
	HalfBar   Float  `json:"give_or_take_bar"`
	BarPerMin Float  `json:"fall_bar_per_min"`
}

// OxygenBalance is one and the same oxygen by three accounts, litres STPD.
type OxygenBalance struct {
	FromS Float `json:"from_s"`
	ToS   Float `json:"to_s"`
	// Cylinder is what left it by pressure, temperature and compressibility.
	Cylinder Interval `json:"cylinder_l"`
	// IdealShare is by how much the ideal gas law alone would be off, as a share.
	IdealShare Float `json:"ideal_gas_off_by_fraction"`
	// Valves is commanded seconds times flow; Working leaves out what is judged to
	// have given nothing; Hand is what recorded additions by hand may have taken;
	// Given is Working and Hand.
	Valves  Interval `json:"valves_l"`
	Working Interval `json:"valves_working_l"`
	Hand    Interval `json:"by_hand_l"`
	Given   Interval `json:"given_l"`
	OpenS   Float    `json:"open_s"`
	FailedS Float    `json:"open_without_effect_s"`
	// Use is what metabolism, the loop's own gas, venting and diluent explain.
	Use              Interval `json:"use_l"`
	UseBasis         string   `json:"use_basis"`
	UseFromFlow      bool     `json:"use_rests_on_stated_flow"`
	Metabolic        Interval `json:"metabolic_l"`
	StoredL          Float    `json:"stored_l"`
	VentedMostL      Float    `json:"vented_at_most_l"`
	FromDiluentMostL Float    `json:"from_diluent_at_most_l"`
	TempRecorded     bool     `json:"temperature_recorded"`
	// The three comparisons: agree, apart or cant_tell.
	CylinderAndGiven string `json:"cylinder_and_given"`
	CylinderAndUse   string `json:"cylinder_and_use"`
	GivenAndUse      string `json:"given_and_use"`
	// Candidates are what could be behind accounts that lie apart.
	Candidates []string `json:"candidates"`
}

// LevelFall is what the diluent lost where the depth stood.
type LevelFall struct {
	Seconds    Float    `json:"seconds"`
	Stretches  int      `json:"stretches"`
	FallBar    Interval `json:"fall_bar"`
	AllowedBar Float    `json:"cooling_at_most_bar"`
	RateBarH   Interval `json:"fall_bar_per_h"`
	Reason     string   `json:"reason"`
}

// Battery is one battery over the dive, in V.
type Battery struct {
	Battery int `json:"battery"`
	// Valves are those whose openings it is held against; Stated tells that the log
	// says which, else all are taken.
	Valves []int    `json:"valves"`
	Stated bool     `json:"valves_stated"`
	StartV Float    `json:"start_v"`
	EndV   Float    `json:"end_v"`
	Min    Value    `json:"min_v"`
	RateVH Interval `json:"fall_v_per_h"`
	// SagMedianV and SagWorst are the fall in rows with a valve open against rows around.
	SagMedianV Float    `json:"sag_median_v"`
	SagWorst   Value    `json:"sag_worst_v"`
	Sags       int      `json:"sags"`
	SagPerH    Interval `json:"sag_growth_v_per_h"`
	Drops      []Value  `json:"drops_v"` // steps down between neighbouring minutes that stayed
	// Notes are what the figures leave out, and falls over a time without readings.
	Notes []string `json:"notes"`
	// Lost are moments at which readings or rows were lost right after an opening.
	Lost      []Float `json:"readings_lost_at_s"`
	BelowS    Float   `json:"below_limit_s"` // null where no limit was given
	Reason    string  `json:"reason"`
	SagReason string  `json:"sag_reason"`
}
