package analysis

// gasKinds are findings on the gas that was breathed.
func gasKinds() map[string]kind {
	return map[string]kind{
		"gas-dense": {
			title:        "Dense gas",
			alternatives: []string{"the diluent in the log is not the gas in the cylinder", "the pressure or the water density in use is off", "the limits are of the dry gas at 0 C: at another temperature the figure is another"},
			wouldChange:  "more helium in the diluent, or less depth",
			advice: Advice{
				Diver:      "Take it up when the next gas is chosen, by the training held: dense gas is hard to move, and carbon dioxide stays behind, the more so with effort.",
				Technician: "Check scrubber, valves of the mouthpiece and hoses: whatever adds to the work of breathing weighs more in dense gas.",
				Instructor: "Work out the density of the planned diluent at the planned depth before the dive, and the depth at which it passes 5.2 g/L.",
			}},
		"isobaric-switch": {
			title:        "Nitrogen rose at a change of gas",
			alternatives: []string{"the loop was not flushed, so that it took on the new gas slowly or in part", "the gas in the log is not the one in the cylinder"},
			wouldChange:  "a gas with as much helium as the one before, or a change at another depth",
			advice: Advice{
				Diver:      "Note when and how deep the gas was changed. Dizziness, nausea, trouble hearing or any other symptom after it: call emergency medical services and a diving physician.",
				Technician: "Nothing to repair from this figure alone; have the gases analysed if their content is in doubt.",
				Instructor: "Show both inert gases before and after at the depth of the change, and which way each then moves. What the tissues did is not in the log.",
			}},
	}
}

// pressureKinds are findings on pressures and depths.
func pressureKinds() map[string]kind {
	return map[string]kind{
		"pressure-sensors-disagree": {
			title:        "Pressure sensors disagree",
			alternatives: []string{"the sensors sit at different depths on the diver", "one of them lags on fast descents and ascents", "one is meant for shallow water and ends its range there"},
			wouldChange:  "a third sensor, or both at a known pressure",
			advice: Advice{
				Diver:      "Do not trust either depth until both have been checked. Every limit of the dive hangs on pressure.",
				Technician: "Compare both with a reference pressure, in air and under pressure, by the equipment's own procedure; look for a blocked port.",
				Instructor: "Two sensors tell that one is wrong, and not which. Ask what would decide it.",
			}},
		"depth-pressure-mismatch": {
			title:        "Depth and pressure do not fit",
			alternatives: []string{"the instrument turned pressure into depth with another water density or surface pressure than the log states", "depth and pressure come from two sensors"},
			wouldChange:  "a stated water density and surface pressure that fit both",
			advice: Advice{
				Diver:      "Find out which density your instrument assumes, and have it put into the log. Depths of two instruments compare only with that known.",
				Technician: "Set the density and the surface pressure in the log to those of the instrument; compare the sensor with a reference pressure.",
				Instructor: "A recorded depth is a pressure turned into metres: let students turn one into the other with fresh and with sea water.",
			}},
	}
}
