package analysis

// kind is what all findings of one kind share: how it is called, what else could
// explain it, what would have changed the verdict, and what to do about it.
// Advice defers to the equipment's own procedure, local rules and the training held.
type kind struct {
	title        string
	alternatives []string
	wouldChange  string
	advice       Advice
}

// kindOf looks a kind up; an unknown kind is a programming error that a test catches.
func kindOf(name string) kind { return kinds()[name] }

// FindingKinds lists the kinds of finding that a debrief may hold, with their titles.
func FindingKinds() map[string]string {
	out := map[string]string{}
	for name, k := range kinds() {
		out[name] = k.title
	}
	return out
}

func kinds() map[string]kind {
	m := map[string]kind{}
	for _, part := range []map[string]kind{oxygenKinds(), cellKinds(), faultKinds(), valveKinds(), supplyKinds(), voteKinds(), controlKinds(), exposureKinds(), recordingKinds(), gasKinds(), pressureKinds(), halvesKinds()} {
		for name, k := range part {
			m[name] = k
		}
	}
	return m
}

func oxygenKinds() map[string]kind {
	return map[string]kind{
		"low-oxygen": {
			title:        "Low oxygen",
			alternatives: []string{"the cells that the figure rests on read low", "the diver was not breathing from the loop and the log does not say so"},
			wouldChange:  "a cell that is known to be right and read higher, or a record that the diver was on open circuit",
			advice: Advice{
				Diver:      "Talk through what happened in the minute before: set point, depth change, injection, manual additions. Hypoxia gives no warning; do not dive the unit until the cause is found.",
				Technician: "Check the oxygen supply, the valves and the cells by the equipment's own procedure before the unit is used again.",
				Instructor: "Ask when it could have been seen, and what the student would have done first. Compare the depth curve: an ascent lowers PO2 at once.",
			}},
		"on-open-circuit": {
			title:        "Off the loop, on open circuit",
			alternatives: []string{"a record that says open by mistake"},
			wouldChange:  "a record of breathing from the loop",
			advice: Advice{
				Diver:      "Talk through why, how it was decided, and what was checked before any return to the loop.",
				Technician: "Look at the minutes before it: cells, valves and the recorded vote.",
				Instructor: "Leaving the loop early is good practice. Ask what could be seen, and when.",
			}},
		"high-oxygen": {
			title:        "High oxygen",
			alternatives: []string{"the cells that the figure rests on read high", "the set point itself was above the limit"},
			wouldChange:  "a cell that is known to be right and read lower, or a record that the diver was on open circuit",
			advice: Advice{
				Diver:      "Note depth, set point and additions at the time. Any symptom during or after the dive: call emergency medical services and a diving physician.",
				Technician: "Check for a valve that does not close, for cells that read low and so make the controller add oxygen, and for cells that read high and only seem to show it.",
				Instructor: "Talk about diluent flushes as a way to lower PO2 and to test the cells at the same time, within the training held.",
			}},
	}
}

func cellKinds() map[string]kind {
	return map[string]kind{
		"cells-disagree": {
			title:        "Cells disagree",
			alternatives: []string{"the odd cell is right and the others fail alike: cells of one age and one history often do", "the cells sit in gas that is not mixed yet, for a few breaths"},
			wouldChange:  "a moment of known gas (diluent flush, oxygen flush) within the event would tell who was right",
			advice: Advice{
				Diver:      "Do not trust the majority for being one. Before the next dive have all cells tested, not the odd one alone.",
				Technician: "Test every cell for linearity and response by the equipment's own procedure; compare serial numbers and ages.",
				Instructor: "Ask what the student would have believed, and why; then which test at that moment would have settled it.",
			}},
		"reading-above-ambient": {
			title:        "Reading above ambient pressure",
			alternatives: []string{"the depth or the surface pressure is wrong", "the calibration of all cells is high"},
			wouldChange:  "a measured ambient pressure that is higher than the one in use",
			advice: Advice{
				Diver:      "A partial pressure can't be higher than the pressure around it: that reading was wrong. Do not dive the cell.",
				Technician: "Check the cell, its wiring and the calibration; check the depth sensor too if all cells read high.",
				Instructor: "A bound that needs no second sensor: PO2 is at most ambient pressure.",
			}},
		"known-gas-mismatch": {
			title:        "Off at a known gas",
			alternatives: []string{"the diluent in the log is not the gas in the cylinder", "humidity and temperature: 4 to 6 % at the surface"},
			wouldChange:  "a longer flush in which all cells settle at one value",
			advice: Advice{
				Diver:      "Repeat the check before the next dive, long enough for all cells to settle.",
				Technician: "Calibrate and test the cell by the equipment's own procedure; analyse the diluent.",
				Instructor: "This is the strongest test that a diver has under water: work out the expected value before looking at the display.",
			}},
		"readings-missing": {
			title:        "Missing readings",
			alternatives: []string{"the recorder dropped samples while the cell was well"},
			wouldChange:  "a complete record",
			advice: Advice{
				Diver:      "Have the cell's connection checked before the next dive.",
				Technician: "Look at connector, cable and moisture first; a cell that drops out under movement is replaced.",
				Instructor: "Not recorded is not zero: say what the vote made of it.",
			}},
		"reading-at-limit": {
			title:        "Reading at the display's limit",
			alternatives: []string{"an open circuit in the cell's wiring", "a real PO2 above what the display can show"},
			wouldChange:  "a record with more range",
			advice: Advice{
				Diver:      "Have the cell and its wiring checked before the next dive.",
				Technician: "Look at connector and cable first.",
				Instructor: "The figure means at or above: it is not a measurement.",
			}},
	}
}

func voteKinds() map[string]kind {
	return map[string]kind{
		"vote-undecided": {
			title:        "Vote undecided",
			alternatives: []string{"another rule or tolerance would have decided, rightly or wrongly"},
			wouldChange:  "one more cell that agrees, or a known gas",
			advice: Advice{
				Diver:      "When the vote can't decide, the display can't either: the training held says what comes then.",
				Technician: "Find out which cells were right with a test, not with the vote.",
				Instructor: "Go through the table of policies for this moment: each rule gives another answer.",
			}},
		"vote-order-dependent": {
			title:        "Vote depends on the numbering of the cells",
			alternatives: []string{"the unit uses another rule than the replayed one"},
			wouldChange:  "a rule that judges all cells together",
			advice: Advice{
				Diver:      "Know that a vote in cell order may throw out a good cell when the first one is compared with a bad one.",
				Technician: "If a cell is suspect, the position in which it is fitted may change what the unit does. Replace it rather than move it.",
				Instructor: "Show the same readings in two orders: the result differs, the gas does not.",
			}},
		noCellFollows: {
			title:        "No cell may have followed PO2",
			alternatives: []string{"all cells at a ceiling at or below the set point", "all cells very slow: water or a film on their faces", "oxygen added during the ascents that this log does not hold: by hand, or by a valve of the other half"},
			wouldChange:  "an oxygen flush or a known gas above the highest reading, which the cells follow",
			advice: Advice{
				Diver:      "Do not dive these cells before they have been replaced or tested above the highest set point. Until then take the dose of this dive as not known, and perhaps higher than shown. Any symptom: call emergency medical services and a diving physician.",
				Technician: "Test all cells for linearity under pressure, above the highest set point, before anything else.",
				Instructor: "No vote helps when all cells fail alike. Ask what pressure, an opening or an oxygen flush should have done to the readings.",
			}},
		"vote-followed-wrong-cells": {
			title:        "The recorded vote lay off the estimate",
			alternatives: []string{"a gain error that all cells share, which no log can settle", "the estimate's own model: mixing, humidity, unlogged additions of gas"},
			wouldChange:  "a moment of known gas at that time",
			advice: Advice{
				Diver:      "What the display showed then was probably not what was in the loop. Go through what was done by it.",
				Technician: "Test all cells, the ones that were voted in first.",
				Instructor: "A majority can be wrong. Show what the cells should have read when pressure or a valve moved PO2.",
			}},
		"unit-po2-unexplained": {
			title:        "The unit's PO2 is not explained by its cells",
			alternatives: []string{"the unit votes between rows, or before rounding", "the unit filters what it shows", "cells that are not in this log"},
			wouldChange:  "a log with all cells at a shorter interval",
			advice: Advice{
				Diver:      "Ask for a full record of the cells before relying on the displayed PO2.",
				Technician: "Compare the unit's rule with the replayed ones; check for a second half with cells of its own.",
				Instructor: "A replay can't know what the unit computed between two rows.",
			}},
	}
}

func controlKinds() map[string]kind {
	return map[string]kind{
		"setpoint-not-held": {
			title:        "Set point not held",
			alternatives: []string{"a fast change of depth: PO2 follows pressure at once", "manual additions or a flush", "the cells that the controller listened to were wrong"},
			wouldChange:  "a return to within 0.10 bar in less than a minute",
			advice: Advice{
				Diver:      "Look at depth and injection in the same minutes before thinking of a fault.",
				Technician: "Check oxygen supply pressure, valve flow and battery under load if it happened at constant depth.",
				Instructor: "Separate what the controller could do from what pressure did.",
			}},
		"oscillation": {
			title:        "PO2 oscillates about the set point",
			alternatives: []string{"coarse injection by design", "a diver who adds oxygen by hand", "a slow cell in the control loop"},
			wouldChange:  "half-waves of less than 1 bar s",
			advice: Advice{
				Diver:      "Note workload and depth; swings cost exposure without benefit.",
				Technician: "Look for a slow cell among those in the vote, a valve that sticks, or a controller that reacts too strongly.",
				Instructor: "Delay plus gain makes a loop swing: show where the delay sits.",
			}},
		"sluggish": {
			title:        "Slow to reach the set point",
			alternatives: []string{"low oxygen flow or supply pressure", "a high workload", "a slow cell"},
			wouldChange:  "within 0.05 bar of the new set point in 180 s",
			advice: Advice{
				Diver:      "Compare with earlier dives of this unit.",
				Technician: "Check supply pressure and valve flow.",
				Instructor: "Work out from loop volume and flow how long it should have taken.",
			}},
		"overshoot": {
			title:        "Overshoot after a change of set point",
			alternatives: []string{"manual oxygen", "oxygen that was still on its way to the cells", "a slow cell"},
			wouldChange:  "a peak of at most 0.10 bar past the set point",
			advice: Advice{
				Diver:      "Give the loop time after a change of set point before adding by hand.",
				Technician: "Look for a slow cell, or a valve that closes late.",
				Instructor: "Oxygen reaches the cells late and smeared: a controller that does not wait overshoots.",
			}},
	}
}

func exposureKinds() map[string]kind {
	advice := Advice{
		Diver:      "Plan the next exposure by the rules that you dive under, with this one counted. Any symptom: call emergency medical services and a diving physician.",
		Technician: "Nothing to repair from this figure alone; see the findings on cells and injection.",
		Instructor: "Show what the figure rests on: the source, the rule between rows of the table, and the range.",
	}
	alternatives := []string{"the PO2 that the figure rests on was wrong: see the other sources", "the rule between the rows of the table: the linear figure stands beside it"}
	return map[string]kind{
		"cns-single-limit": {title: "CNS: near or past the single-exposure limit", alternatives: alternatives, wouldChange: "a lower PO2 or a shorter time", advice: advice},
		"cns-daily-limit":  {title: "CNS: near or past the 24-hour limit", alternatives: alternatives, wouldChange: "a lower PO2 or a shorter time", advice: advice},
		"otu-daily-limit":  {title: "Pulmonary dose: near or past the limit of one day", alternatives: alternatives, wouldChange: "a lower PO2 or a shorter time", advice: advice},
		"beyond-cns-table": {title: "Time beyond the CNS table", alternatives: alternatives[:1], wouldChange: "a PO2 of at most 1.6", advice: advice},
	}
}

func recordingKinds() map[string]kind {
	advice := Advice{
		Diver:      "Keep the original file. Export it again if you can.",
		Technician: "Check the recorder's memory, clock and battery.",
		Instructor: "Say what can't be known because of this, before the rest is discussed.",
	}
	m := map[string]kind{}
	for name, title := range map[string]string{
		"recording-gap":        "Gap in the record",
		"recording-clock":      "The clock of the record is not sound",
		"recording-incomplete": "The record is not complete",
		"recording-coarse":     "The record is coarse",
		"surface-pressure":     "The surface pressure in use is contradicted",
	} {
		m[name] = kind{title: title, alternatives: []string{"a fault of the export, not of the recorder"}, wouldChange: "a complete record at a short interval", advice: advice}
	}
	s := m["surface-pressure"]
	s.alternatives = []string{"the pressure sensor is off", "weather: the pressure of a place varies by about 0.03 bar"}
	s.wouldChange = "a stated surface pressure that agrees with the measured one"
	s.advice = Advice{
		Diver:      "Depth that follows from pressure is off by the difference. Find out how high the place lies, and debrief the dive again with the pressure that was true there.",
		Technician: "Compare the sensor with a reference pressure in air, and see whether the unit was told the height of the place.",
		Instructor: "Ask which figures rest on the surface pressure, and which only on the pressure at depth.",
	}
	m["surface-pressure"] = s
	return m
}
