package analysis

// faultKinds are the faults of cells. A suspect cell is replaced and tested by the
// equipment's own procedure: no advice here goes beyond that.
func faultKinds() map[string]kind {
	replace := "Do not dive the cell again before it has been replaced or tested by the equipment's own procedure. Look at the other cells of its age too."
	return map[string]kind{
		"slow-cell": {
			title:        "Slow cell",
			alternatives: []string{"water or condensation on the membrane", "gas that reaches this cell late"},
			wouldChange:  "steps, an ascent among them, after which it settles in less than 15 s",
			advice: Advice{Diver: replace,
				Technician: "Measure its response to a step on the bench; look for moisture, age and temperature.",
				Instructor: "A cell can lag but not lead: compare it with the others where pressure or a valve moved PO2. Where all are slow only an ascent shows it, since PO2 then follows pressure at once."}},
		"current-limited-cell": {
			title:        "Cell with a ceiling",
			alternatives: []string{"a wrong calibration that happens to bend", "a display or recorder that stops there"},
			wouldChange:  "a reading that follows PO2 above the ceiling",
			advice: Advice{Diver: replace,
				Technician: "Test its linearity under pressure by the equipment's own procedure, above the highest set point.",
				Instructor: "It calibrates well in air and lies where it matters: a limited cell makes a controller add oxygen."}},
		"miscalibrated-cell": {
			title:        "Cell with a wrong gain",
			alternatives: []string{"the other cells are off alike", "humidity or temperature at its calibration"},
			wouldChange:  "a known gas at which it reads right",
			advice: Advice{Diver: "Recalibrate by the equipment's own procedure before the next dive, and check at a known gas.",
				Technician: "Calibrate and test its linearity; note the millivolts in air and in oxygen.",
				Instructor: "A gain error scales both sides of a step: only a known gas, helium, make-up on a descent or the bound by ambient pressure can show it."}},
		"drifting-cell": {
			title:        "Cell whose gain drifts",
			alternatives: []string{"a change of temperature at the cell", "the other cells drift alike the other way"},
			wouldChange:  "a steady ratio to the others",
			advice: Advice{Diver: replace,
				Technician: "Look for moisture, temperature and a leaking cell.",
				Instructor: "Show the ratio of its reading to the others over time."}},
		"frozen-cell": {
			title:        "Cell that stands still",
			alternatives: []string{"a recorder that repeats its last value", "water over the membrane"},
			wouldChange:  "a reading that moves when PO2 does",
			advice: Advice{Diver: replace,
				Technician: "Look for water on the membrane, connector and cable.",
				Instructor: "A plausible number is the most dangerous one: ask what should have moved it."}},
		"erratic-cell": {
			title:        "Cell that jumps",
			alternatives: []string{"a loose contact in the wiring or the connector", "interference at the recorder"},
			wouldChange:  "excursions that the other cells share",
			advice: Advice{Diver: replace,
				Technician: "Move cable and connector while watching the reading; look for moisture and corrosion.",
				Instructor: "Show how each rule of the vote took it: some threw it out and in, some never noticed."}},
	}
}

// valveKinds are the faults of valves and of the oxygen supply.
func valveKinds() map[string]kind {
	return map[string]kind{
		"dead-valve": {
			title:        "Valve without response",
			alternatives: []string{"no supply to this valve alone", "openings too short for its flow"},
			wouldChange:  "a rise of PO2 after its openings",
			advice: Advice{Diver: "Do not dive the unit before the valve has been checked.",
				Technician: "Check its supply, wiring and flow by the equipment's own procedure.",
				Instructor: "Commanded is not delivered: look for the answer in PO2."}},
		"leaking-valve": {
			title:        "Oxygen comes in with the valves shut",
			alternatives: []string{"oxygen added by hand that was not logged", "a fall of oxygen consumption, where the inflow is small"},
			wouldChange:  "a steady or falling PO2 with the valves shut at constant depth",
			advice: Advice{Diver: "Do not dive the unit before it has been checked. PO2 that rises by itself asks for the training's own drill.",
				Technician: "Test the valves for tightness with the supply on, by the equipment's own procedure; check the manual addition valve too.",
				Instructor: "With the valves shut at constant depth PO2 can only fall, unless oxygen comes from somewhere."}},
		"oxygen-supply-lost": {
			title:        "Oxygen supply lost",
			alternatives: []string{"all valves without power", "the diver was off the loop and the log does not say so"},
			wouldChange:  "any opening with a response",
			advice: Advice{Diver: "Go through when it could have been noticed, and what was done. Check cylinder and valve before every dive.",
				Technician: "Check cylinder valve, pressure, regulator, hose and power of the valves.",
				Instructor: "Published experience: two to five minutes to hypoxia. Show how much of that was used before somebody acted."}},
	}
}
