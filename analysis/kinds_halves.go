package analysis

// halvesKinds are findings on doubled electronics.
func halvesKinds() map[string]kind {
	return map[string]kind{
		"halves-disagree": {
			title:        "The halves disagree",
			alternatives: []string{"the half that the evidence speaks against is right, and what speaks rests on cells that fail alike", "the two logs are not of one unit and one dive, or their clocks were aligned wrongly"},
			wouldChange:  "a moment of known gas, or a third measurement of the same quantity",
			advice: Advice{
				Diver:      "Before the next dive find out which half was right. Until then neither can stand in for the other.",
				Technician: "Compare cells, sensors and calibration of both halves side by side, on one known gas and at one known pressure, by the equipment's own procedure.",
				Instructor: "A second half is worth something only while it is compared with the first: ask when the difference could have been seen, and by which test it would have been settled.",
			}},
		"half-off": {
			title:        "A half recorded nothing",
			alternatives: []string{"its recorder stopped and the half itself went on", "it was switched off on purpose"},
			wouldChange:  "a record of that half for this time",
			advice: Advice{
				Diver:      "Find out whether the half was off or only its recorder: until that is known, count on one half. Do not dive the unit before the cause is found.",
				Technician: "Check its battery under load, its connectors and its memory for errors; read out both halves in full.",
				Instructor: "Ask what the display showed then, and which half held the set point. The table of the halves says what the other one did meanwhile.",
			}},
	}
}
