package loop

// ValveFaultKind names a fault of the oxygen supply; the definitions are in
// METHODS, "Faults".
type ValveFaultKind string

// The faults of valves and supply.
const (
	DeadValve    ValveFaultKind = "dead-valve"
	LeakingValve ValveFaultKind = "leaking-valve"
	SupplyLost   ValveFaultKind = "oxygen-supply-lost"
	ratePerMin                  = "1/min of the loop's volume"
	rateLPerMin                 = "L/min STPD"
)

// Grades of confidence in a fault; see [grade].
const (
	Sure     = "sure"
	Likely   = "likely"
	Possible = "possible"
)

// ValveFault is one thing wrong with a valve or the supply.
type ValveFault struct {
	Kind       ValveFaultKind
	Valve      int     // the valve's number; 0 where it is not one valve
	FromS, ToS float64 // ToS is NaN where it lasts to the end of the record
	// Value with its 95 % interval: for a dead valve and a lost supply the
	// response to an opening as a share of the working response; for a leak the
	// inflow, in Unit.
	Value, Low, High float64
	Unit             string
	Confidence       string
	Evidence         []string // one sentence for each independent line
	Alternatives     []string
	LinesOfEvidence  int
}

// ValveCheck is one question put to the valves and whether it could be answered.
type ValveCheck struct {
	Kind     ValveFaultKind
	Valve    int
	Assessed bool
	Reason   string
}

// ValveDiagnosis is the judgement of valves and supply.
type ValveDiagnosis struct {
	Faults []ValveFault
	Checks []ValveCheck
	// ResponseBarS is the rise of PO2 at the cells per second of opening, over
	// (1 - p/Pd), right after it, of a working valve; NaN where none was seen.
	ResponseBarS float64
}
