package scenario

// Spec says all about one simulated dive. Its JSON form can be written by hand;
// [Spec.Validate] says what is wrong with it, and [Run] calls that first.
// A zero field that has a default is filled in by [Spec.WithDefaults].
type Spec struct {
	// Name is the scenario's name, for the truth: "limited-pair".
	Name string `json:"name,omitempty"`
	// Hard says what makes a healthy dive difficult ("yoyo", "gaps"), or is empty.
	Hard string `json:"hard,omitempty"`
	// Seed starts every stream of random numbers.
	Seed uint64 `json:"seed"`

	SurfacePressureBar float64 `json:"surface_pressure_bar,omitempty"` // default 1.013
	WaterDensityKgM3   float64 `json:"water_density_kg_m3,omitempty"`  // default 1025
	Diluent            string  `json:"diluent"`                        // "O2/He" in per cent, or "air"
	OpenCircuitGas     string  `json:"open_circuit_gas,omitempty"`     // default: the diluent

	Profile    Profile    `json:"profile"`
	SetPoint   SetPoint   `json:"set_point"`
	Loop       Loop       `json:"loop"`
	Work       []Work     `json:"work"` // VO2 course, in order of time; at least one entry
	Cells      []Cell     `json:"cells"`
	Valves     []Valve    `json:"valves"`
	Controller Controller `json:"controller"`
	Helium     *Helium    `json:"helium,omitempty"` // nil: no helium sensor
	Recording  Recording  `json:"recording"`
	Events     []Event    `json:"events,omitempty"`
	Faults     []Fault    `json:"faults,omitempty"`
	Expect     Expect     `json:"expect"`
	Meta       Meta       `json:"meta"`
	// Supply is what the unit carries; nil records none of it.
	Supply *Supply `json:"supply,omitempty"`
}

// Profile is the course of depth: waypoints joined by straight lines, with a
// slow wander on top while under water.
type Profile struct {
	// Kind is custom (the waypoints as given) or shallow, mid, deep or yoyo, which
	// are drawn from MaxDepthM and BottomS.
	Kind      string     `json:"kind"`
	MaxDepthM float64    `json:"max_depth_m,omitempty"`
	BottomS   float64    `json:"bottom_s,omitempty"`
	Waypoints []Waypoint `json:"waypoints,omitempty"`
	// WanderM is the standard deviation of the wander about the line, m.
	WanderM float64 `json:"wander_m,omitempty"`
}

// Waypoint is a depth at a time.
type Waypoint struct {
	TimeS  float64 `json:"time_s"`
	DepthM float64 `json:"depth_m"`
}

// SetPoint is the schedule: low, then high once the diver is deeper than
// UpDepthM, then low for good once shallower than DownDepthM again. Changes by
// hand follow the clock and hold until the next change of either sort.
type SetPoint struct {
	LowBar     float64          `json:"low_bar"`
	HighBar    float64          `json:"high_bar"`
	UpDepthM   float64          `json:"up_depth_m"`
	DownDepthM float64          `json:"down_depth_m"`
	Changes    []SetPointChange `json:"changes,omitempty"`
}

// SetPointChange is a change by hand.
type SetPointChange struct {
	TimeS float64 `json:"time_s"`
	Bar   float64 `json:"bar"`
}

// Loop is the breathing loop. All volumes are at ambient pressure.
type Loop struct {
	VolumeL float64 `json:"volume_l"` // whole loop and lungs, mean; default 6.8
	// HeadShare is the share of VolumeL in the head, where the cells are; default 0.45.
	HeadShare float64 `json:"head_share,omitempty"`
	// RangeL is how far the volume may fall below and rise above the mean before
	// diluent enters or gas is vented; default 0.3.
	RangeL float64 `json:"range_l,omitempty"`
	// MakeUpL is what one opening of the diluent valve adds; default 0.25.
	MakeUpL float64 `json:"make_up_l,omitempty"`
	// MakeUpLS is the flow of the diluent valve, L/s at ambient; default 1.5.
	MakeUpLS float64 `json:"make_up_l_s,omitempty"`
	// InjectionLagS smears oxygen on its way to the head (first order); default 1.2.
	InjectionLagS float64 `json:"injection_lag_s,omitempty"`
	// Ventilation is VentilationBaseLMin + VentilationPerVO2 x VO2, L/min at
	// ambient. Defaults 12 and 20: 48 L/min at a VO2 of 1.78, a little above the
	// 40 L/min of the usual test point (memory).
	VentilationBaseLMin float64 `json:"ventilation_base_l_min,omitempty"`
	VentilationPerVO2   float64 `json:"ventilation_per_vo2,omitempty"`
	// TempC is the gas temperature that turns STPD flows into loop flows; default 25.
	TempC float64 `json:"temp_c,omitempty"`
	// HumidBar is the water vapour in the loop, bar; 0 is dry gas.
	HumidBar float64 `json:"humid_bar,omitempty"`
	// StartPO2Bar is the PO2 in the loop at the start; default the low set point.
	// The rest of the gas at the start is diluent that has lost or gained oxygen.
	StartPO2Bar float64 `json:"start_po2_bar,omitempty"`
	// LossLMin is loop gas lost through the mask or a leak, L/min at ambient,
	// while under water; made up with diluent.
	LossLMin float64 `json:"loss_l_min,omitempty"`
}

// Work is the oxygen uptake aimed at from FromS on, approached with a time
// constant of 25 s.
type Work struct {
	FromS   float64 `json:"from_s"`
	VO2LMin float64 `json:"vo2_l_min"` // STPD
}

// Cell is one healthy oxygen cell. What is wrong with it stands in Spec.Faults.
type Cell struct {
	T90S     float64 `json:"t90_s"`     // new cells: 5-10 s (common practice)
	Gain     float64 `json:"gain"`      // reading over truth, 1 is right
	NoiseBar float64 `json:"noise_bar"` // standard deviation, white, at each reading
	// WanderBar is the standard deviation of a second noise with a correlation
	// time of 20 s; default none.
	WanderBar float64 `json:"wander_bar,omitempty"`
}

// Valve is one oxygen valve.
type Valve struct {
	FlowLMin float64 `json:"flow_l_min"` // STPD, while open
}

// Controller is what the unit does with the readings.
type Controller struct {
	// Style is fixed (pulses of PulseS) or variable (as long as the error asks).
	Style string `json:"style"`
	// Vote is the rule for the PO2 that the unit controls on: mean, mid-value,
	// leave-one-out.
	Vote string `json:"vote"`
	// OutBar and InBar are the tolerances of leave-one-out; defaults 0.20 and 0.15.
	OutBar float64 `json:"out_bar,omitempty"`
	InBar  float64 `json:"in_bar,omitempty"`
	// IntervalS is the time between two decisions; default 6.
	IntervalS float64 `json:"interval_s,omitempty"`
	// PulseS is the length of a fixed pulse; default 1.2.
	PulseS float64 `json:"pulse_s,omitempty"`
	// A variable pulse is BaseS + SPerBar x error, not under MinS and not over MaxS;
	// defaults 0.3, 12, 0.2, 4.
	BaseS   float64 `json:"base_s,omitempty"`
	SPerBar float64 `json:"s_per_bar,omitempty"`
	MinS    float64 `json:"min_s,omitempty"`
	MaxS    float64 `json:"max_s,omitempty"`
	// DeadbandBar: no pulse while the PO2 is above set point less this.
	DeadbandBar float64 `json:"deadband_bar,omitempty"`
	// Turns says which valve opens: slot (by the count of decisions), alternate
	// (the next after the last opened), together (all at once); default slot.
	Turns string `json:"turns,omitempty"`
}

// Helium is a sensor of the helium fraction in the head.
type Helium struct {
	Basis string `json:"basis"` // dry or wet
	// NoiseSigma is white, BiasSigma wanders with BiasTauS, Bias is constant; fractions.
	NoiseSigma float64 `json:"noise_sigma"`
	Bias       float64 `json:"bias,omitempty"`
	BiasSigma  float64 `json:"bias_sigma,omitempty"`
	BiasTauS   float64 `json:"bias_tau_s,omitempty"` // default 600
	LagS       float64 `json:"lag_s,omitempty"`      // first-order time constant
	// StatedSigma is written into the log; 0 writes nothing.
	StatedSigma float64 `json:"stated_sigma,omitempty"`
}

// Recording is what the recorder keeps.
type Recording struct {
	IntervalS  float64 `json:"interval_s"`             // default 1
	PO2StepBar float64 `json:"po2_step_bar,omitempty"` // default 0.01
	DepthStepM float64 `json:"depth_step_m,omitempty"` // default 0.01
	// DepthNoiseM is the noise of the depth sensor; default 0.01, negative for none.
	DepthNoiseM float64 `json:"depth_noise_m,omitempty"`
	Gaps        []Span  `json:"gaps,omitempty"` // rows left out
	Votes       bool    `json:"votes,omitempty"`
	Openings    bool    `json:"openings,omitempty"` // a count of openings per valve
	// BreathingColumn records bailout in a column instead of by events.
	BreathingColumn bool `json:"breathing_column,omitempty"`
	// EventColumn records the column of events also where there are none.
	EventColumn bool `json:"event_column,omitempty"`
	// FlushAsNote records flushes as free text instead of by events.
	FlushAsNote bool `json:"flush_as_note,omitempty"`
	// HideManual leaves manual additions out of the log.
	HideManual bool   `json:"hide_manual,omitempty"`
	Notes      []Note `json:"notes,omitempty"`
}

// Span is a stretch of time.
type Span struct {
	FromS float64 `json:"from_s"`
	ToS   float64 `json:"to_s"`
}

// Note is free text on the row at or after its time.
type Note struct {
	TimeS float64 `json:"time_s"`
	Text  string  `json:"text"`
}

// Event is something that the diver does.
type Event struct {
	// Kind is a word of FORMAT.md: diluent_flush, oxygen_flush, manual_oxygen,
	// manual_diluent, bailout, on_loop, calibration (which only marks the log).
	Kind string  `json:"kind"`
	AtS  float64 `json:"at_s"`
	// ForS is how long it lasts; defaults 20, 12, 3, 3.
	ForS float64 `json:"for_s,omitempty"`
	// VolumeL is the gas added, at ambient pressure; defaults: 2.5 and 1.5 loop
	// volumes for the flushes, 0.15 L for an addition by hand.
	VolumeL float64 `json:"volume_l,omitempty"`
}

// Meta is what the lines before the header say.
type Meta struct {
	Dive  string `json:"dive,omitempty"`
	Diver string `json:"diver,omitempty"`
	Unit  string `json:"unit,omitempty"`
	Start string `json:"start,omitempty"` // RFC 3339
	// LoopFacts writes loop volume and oxygen flow into the log.
	LoopFacts   bool         `json:"loop_facts,omitempty"`
	Serials     []string     `json:"serials,omitempty"`   // one per cell
	Installed   []string     `json:"installed,omitempty"` // one per cell
	Calibration *Calibration `json:"calibration,omitempty"`
	Halves      []string     `json:"halves,omitempty"` // "half_A: cells 1,2; valve 1"
}

// Calibration is the cells' calibration before the dive. With HumidBar above
// zero and Humid false every cell reads too high by the same factor.
type Calibration struct {
	GasO2       float64 `json:"gas_o2"`
	PressureBar float64 `json:"pressure_bar"`
	TempC       float64 `json:"temp_c,omitempty"`
	Time        string  `json:"time,omitempty"`
	Humid       bool    `json:"humid,omitempty"`     // as stated in the log
	HumidBar    float64 `json:"humid_bar,omitempty"` // the truth
}

// Expect carries what a spec's author knows about what the log can settle.
type Expect struct {
	// Undecidable are cells alike in gain that no witness can tell from the others.
	Undecidable []int `json:"undecidable,omitempty"`
	// NeedsHelium is true where only a helium sensor could settle them.
	NeedsHelium bool `json:"needs_helium,omitempty"`
	// UndecidableLeak is true where a lower VO2 explains the leak as well.
	UndecidableLeak bool `json:"undecidable_leak,omitempty"`
}
