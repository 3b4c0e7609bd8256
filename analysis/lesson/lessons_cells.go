package lesson

import (
	"fmt"
	"math"

	"afterloop/analysis/scenario"
	"afterloop/analysis/wording"
)

// Physics that several lessons share.
var (
	firstOrder = Physics{"A cell answers a step in the shape of one that fills up: most of it at once, the rest ever more slowly. T90 is the time to 90 % of the step. New cells need 5 to 10 s.",
		"dy/dt = (g p - y)/tau,   T90 = tau ln 10", "METHODS 3; 5 to 10 s: common practice"}
	ascentLaw = Physics{"On an ascent the loop vents and its composition stays: PO2 falls with pressure, at once. Whoever falls later is late.",
		"ascent alone: dp/dt = x dPd/dt, so p/Pd stays", "METHODS 3, table of cases"}
	gainLaw = Physics{"A gain error scales both sides of every step. Steps can't show it; only a moment at which the PO2 is known can.",
		"y = g p", "METHODS 3, \"What tests what\""}
	flushLaw = Physics{"A diluent flush takes PO2 towards oxygen fraction times pressure. How complete it was is not in the log: after one that came down the true PO2 can be higher than that, and lower only by what the diver has used since, of the order of 0.1 bar a minute. So a reading well below it is the cell's; a reading above it may be an incomplete flush.",
		"p -> F_dil Pd,   F (P - pH2O) to F P", "METHODS 8"}
	companyLaw = Physics{"Cells that agree are not thereby right: cells of one age and one batch fail alike.", "", "METHODS 9; common practice"}
	ceilingLaw = Physics{"A galvanic cell gives no more current than its electrolyte and anode can carry. Below that it is right; above it the reading hardly rises.",
		"y = g (min(x, b) + s max(x - b, 0)),   0 <= s <= 0.3", "METHODS 9, shapes"}
	burnLaw = Physics{"With no oxygen coming in, on a level stretch where diluent holds the volume, PO2 falls by what the diver uses.",
		"dp/dt = -(1 - F_dil) VO2/V", "METHODS 3, table of cases"}
	addLaw = Physics{"An opening adds flow times time, spread over the loop's volume; a few breaths pass until it is mixed, some 15 s.",
		"gain per second open = (1 - x) flow/V", "METHODS 6"}
	agency = "Say first that your agency's rules and the unit's own procedure decide what a diver does; the record is read afterwards."
)

const lakeNote = "The dive, the lake and the unit are invented. A simulation knows no water on a membrane, no dirt and no wiring: real cells show mixtures."

func laggingCell() Lesson {
	return Lesson{
		Name: "lagging-cell", Title: "A cell that answers late", Minutes: 25,
		Line:  "one cell lags; at rest it reads as the others do",
		Goals: []string{"Tell lag from a wrong gain by looking where PO2 moves and where it rests.", "Estimate T90 from a step.", "Say why a vote is no judge of a late cell."},
		Physics: []Physics{firstOrder, ascentLaw,
			{"Behind a ramp a late cell trails by a constant: the rate times tau.", "difference = tau dp/dt", "METHODS 3, from the first-order cell"}},
		Look:    []string{"The two minutes after the bottom is reached: who comes last?", "The ascent: who reads highest while PO2 falls?", "The rest after each: do they meet again?", "The diluent flush: a step down for all."},
		Wrong:   []string{"\"It reads high\": true on the ascent only; on the descent it reads low.", "\"It was voted out, so it is bad\", or \"it was never voted out, so it is good\": the tolerance decides that, not the cell.", "\"It came back, so it is fine.\""},
		Discuss: []string{"What would a diver see on the display at that moment, and for how long?", "Which jobs is such a cell useless for? (Proving a flush within seconds; controlling on the ascent.)", "How would you measure T90 on the bench?"},
		Unknown: []string{"Why it is slow: age, temperature, water on the membrane, a blocked vent.", "Whether it will get worse."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"slow-cell"},
		draw: func(d *draft) {
			d.weak()
			d.flush(d.between(0.25, 0.42))
			d.fault(scenario.Fault{Kind: scenario.Slow, Cell: d.cellA, T90S: round(d.between(36, 60), 1)})
		},
		shows: func(d *Dive) error {
			bad, good := d.cell(d.draft.cellA), d.cell(d.draft.cellB)
			up := 0.0
			for i := d.row(d.draft.upS); i < d.row(d.draft.stopS); i++ {
				up = math.Max(up, bad[i]-good[i])
			}
			rest := d.mean(bad, d.draft.stopS+110, d.draft.stopS+140) - d.mean(good, d.draft.stopS+110, d.draft.stopS+140)
			if err := want(up >= 0.06, "on the ascent it is only %.2f bar late", up); err != nil {
				return err
			}
			i := d.row(d.draft.flushS + 16)
			if err := want(bad[i]-good[i] >= 0.12, "in the flush it is only %.2f bar late", bad[i]-good[i]); err != nil {
				return err
			}
			return want(math.Abs(rest) <= 0.07, "at rest it is off by %.2f bar", rest)
		},
		ask: func(s *sheet) {
			cell := s.draft.cellA
			f, _ := s.firstFault(scenario.Slow)
			s.seen(oneLate, fmt.Sprintf("Cell %d (T90 %.0f s in truth) trails on the way down, after the flush and on the way up, in both directions, and meets the others again at rest.", cell, f.T90S), oneGain, oneCeiling, oneDrift)
			s.cells(fmt.Sprintf("Cell %d: late at every step, in both directions. That is three or more lines of evidence, none of which is the company it keeps.", cell),
				"The others agree because they are quick, not because they are two: they follow depth on the ascent at once.", numbers(cell))
			s.when("It is there from the start: the first changes of PO2 show it.", fromStart(), s.minutes(s.draft.downS*0.6, s.draft.downS/60*0.8))
			s.flushValue(s.draft.flushS)
			s.number("t90", "Take the slowest cell. About how many seconds does it need to 90 % of a step?", "s", f.T90S, 0.45*f.T90S,
				fmt.Sprintf("In truth %.0f s. From the flush or the first minute of a stop, read how long it takes until a tenth of the step is left.", f.T90S))
			s.sure(named, "Steps down and up, the flush and the ascent all say the same, and the ascent is a clock that no cell can fake.")
			s.next("Do not rely on that cell for anything that must be known within a minute; after the dive replace or test it by the equipment's own procedure.", "A late cell is not wrong for ever, but wrong when it matters.",
				no("Recalibrate it: its readings at depth were off.", "Calibration sets the gain. At rest this cell reads as the others do; the gain is not what is wrong."),
				no("Nothing: it agrees with the others at the stops.", "It agrees where nothing moves. On the ascent it hides a fall of PO2 by as much as it lags."),
				no("Tell the unit to ignore the other two, since they moved first.", "They moved first because PO2 did: on the ascent they follow depth at once, as the gas does."))
			s.talk("The diver looks at the display half-way up the ascent. What does he see, and what is true?", "The late cell shows more oxygen than there is while PO2 falls. Two minutes later all is well again.")
		},
	}
}

func stuckCell() Lesson {
	return Lesson{
		Name: "stuck-cell", Title: "A cell that stands still on the ascent", Minutes: 20,
		Line:    "one cell freezes shortly before the ascent",
		Goals:   []string{"Recognise a reading that is no longer a measurement.", "Tell a stuck cell from one at its ceiling.", "See why a steady reading reassures wrongly."},
		Physics: []Physics{ascentLaw, ceilingLaw, {"A sound cell's last digit moves: noise and the saw-tooth of the injection see to that.", "", "common practice"}},
		Look:    []string{"The last digit of each cell in the minutes before the ascent.", "The first minute of the ascent: who does not fall?", "Did the cell ever read higher? Then it is no ceiling."},
		Wrong:   []string{"\"It is the steadiest, so it is the best.\"", "\"It has a ceiling\": a cell at its ceiling lets go as soon as PO2 falls below it.", "\"The other cells dropped out.\""},
		Discuss: []string{"What does the vote do with a stuck cell while PO2 stays where it stuck?", "Which drill in the water would have shown it?"},
		Unknown: []string{"Whether the cell, its wiring or the electronics stood still.", "Since when exactly: before anything moved nobody could tell."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"frozen-cell"},
		draw: func(d *draft) {
			d.weak()
			d.fault(scenario.Fault{Kind: scenario.Frozen, Cell: d.cellA, FromS: round(d.upS-d.between(40, 150), 2)})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			if err := want(d.span(d.cell(f.Cell), f.FromS+4, d.draft.stopS) <= 0.011, "it moves"); err != nil {
				return err
			}
			fall := d.span(d.sensed(), d.draft.upS, d.draft.stopS)
			return want(fall >= 0.15, "PO2 falls by %.2f bar only", fall)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.Frozen)
			s.seen(oneStuck, fmt.Sprintf("Cell %d repeats one figure from %s on, while depth and the others take PO2 down and up again.", f.Cell, wording.Clock(f.FromS-s.tS[0])), oneCeiling, oneLate, oneDrift)
			s.cells(fmt.Sprintf("Cell %d: it does not move at all while PO2 falls by tenths of a bar and the depth says why.", f.Cell), "The others fall with pressure, as the gas must: it is not they that dropped out.", numbers(f.Cell))
			s.when("It stands still before the ascent begins; its last digit tells to the minute.", s.minutes(f.FromS, 2.5))
			fall := s.ambient(s.draft.stopS) / s.ambient(s.draft.upS)
			s.number("share", "At the moment of leaving the bottom a diver has a certain PO2. If nothing were added or used, what share of it would be left on arrival at the first stop? Per cent.", "%", round(100*fall, 1), 4,
				fmt.Sprintf("PO2 goes with pressure: %.2f bar over %.2f bar. A reading that stays where it was can't be right.", s.ambient(s.draft.stopS), s.ambient(s.draft.upS)))
			s.sure(named, "A reading that does not change by one digit while pressure falls by a third or more is no measurement, whatever the others do.")
			s.next("Watch the cells that move, check that the PO2 they show is safe, and follow the unit's procedure for a failed cell; end the dive.", "The moving cells and the depth agree. What to do in the water is the unit's own procedure.",
				no("Trust the steady cell and add diluent, since the others wander.", "They do not wander: they follow the ascent and the injection."),
				no("Wait: it will come back when PO2 is where it was.", "A cell that has stood still once is not measured well again because its figure happens to be right."),
				no("Nothing: two good cells are enough.", "Two are what is left; one more failure and no vote can tell."))
			s.talk("Before the ascent all three agreed. At what moment could the diver first have known?", "When something first moved: the start of the ascent, an opening, a flush. A diluent flush on the bottom would have shown it.")
		},
	}
}

func badContact() Lesson {
	return Lesson{
		Name: "bad-contact", Title: "A cell that jumps about", Minutes: 20,
		Line:    "one cell jumps for some minutes, as with a bad contact",
		Goals:   []string{"Tell jumps from noise and from real changes of PO2.", "See what a single wild reading does to a mean, and what not to a median."},
		Physics: []Physics{firstOrder, {"PO2 in a loop can't jump within seconds without an addition, a flush or a change of depth: the loop's volume and mixing smooth it.", "mixing about V over ventilation, some 15 s", "METHODS 3"}, addLaw},
		Look:    []string{"How fast a reading changes, against T90 and mixing.", "Whether valves or depth had a reason.", "Whether any other cell shares it."},
		Wrong:   []string{"\"PO2 was unstable\": only one cell says so.", "\"The controller hunts\": look whether the others swing.", "\"Average it out\": a mean passes a share of every jump on."},
		Discuss: []string{"What did the unit's vote do with each jump?", "What would a technician look at first: cell, plug, cable, board?"},
		Unknown: []string{"Whether it is the cell, the plug, the cable or the electronics."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"erratic-cell"},
		draw: func(d *draft) {
			from := d.onBottom(0.15, 0.6)
			d.fault(scenario.Fault{Kind: scenario.Erratic, Cell: d.cellA, AmplitudeBar: round(d.between(0.2, 0.3), 0.01), FromS: from, ToS: from + round(d.between(240, 420), 2)})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			bad, other, n := d.cell(f.Cell), d.cell(d.draft.cellB), 0
			for i := d.row(f.FromS); i < d.row(f.ToS); i++ {
				if math.Abs(bad[i]-other[i]) > 0.10 {
					n++
				}
			}
			return want(n >= 15, "only %d rows jump", n)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.Erratic)
			s.seen(oneJumps, fmt.Sprintf("Cell %d jumps by more than 0.10 bar, back and forth within seconds, which no gas in a loop can do, and the others do not share it.", f.Cell), sawTooth, oneDrift, oneLate)
			s.cells(fmt.Sprintf("Cell %d. The others agree with each other and with depth and additions all along.", f.Cell), "Real PO2 moves all cells.", numbers(f.Cell))
			s.when("The first jump that no other cell shares.", s.minutes(f.FromS, 2))
			s.number("minutes", "For how many minutes does the disturbance last?", "min", round((*f.ToS-f.FromS)/60, 0.1), 1.2, "From the first to the last jump that only one cell shows.")
			s.sure(named, "Many jumps, none of them shared, none with a cause in depth or valves. What it does not say is which part of the line from cell to screen is bad.")
			s.next("Take the cell as lost for the dive; afterwards look at the cell, its plug and its cable by the equipment's own procedure before it is used again.", "That it calmed down repairs nothing.",
				no("Replace the cell and go on: a new cell solves it.", "Perhaps. A bad plug or cable would do the same to a new cell: the record does not say which."),
				no("Nothing: it stopped by itself.", "Contacts that came back go again, and the reason is not known."),
				no("Fly the unit by hand on the mean of all.", "The mean passes a third of every jump on."))
			s.talk("Suppose it had begun during the ascent. Which of its readings would have been dangerous to believe?", "The high ones: they hide a falling PO2, and a controller that believes them adds nothing.")
		},
	}
}

func driftingCell() Lesson {
	return Lesson{
		Name: "drifting-cell", Title: "A cell that drifts", Minutes: 25,
		Line:    "one cell's gain changes during the dive",
		Goals:   []string{"See a slow change that no single moment shows.", "Compare early and late at the same PO2.", "Know what a second look at a known gas adds."},
		Physics: []Physics{gainLaw, flushLaw, companyLaw},
		Look:    []string{"The difference of each cell from the mean of the others, over the whole dive.", "The same set point early and late.", "The flush: expected against read."},
		Wrong:   []string{"\"It was calibrated today, so it is right.\"", "\"It is miscalibrated\": then the difference would be there from the start.", "\"It is slow\": a late cell meets the others at rest."},
		Discuss: []string{"When would you have noticed? What hides it on a display with one decimal?", "What does the vote do when the difference passes its tolerance?"},
		Unknown: []string{"Why: temperature, moisture, electrolyte, electronics.", "Whether it stopped."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"drifting-cell"},
		draw: func(d *draft) {
			d.flush(0.9)
			d.fault(scenario.Fault{Kind: scenario.Drift, Cell: d.cellA, Change: -round(d.between(0.26, 0.32), 0.01), FromS: d.onBottom(0.1, 0.25), ToS: d.stopS})
		},
		shows: func(d *Dive) error {
			f, bad := d.Spec.Faults[0], d.cell(d.draft.cellA)
			o := d.others(f.Cell)
			a, b := d.cell(o[0]), d.cell(o[1])
			early := d.mean(bad, f.FromS-100, f.FromS-10) - (d.mean(a, f.FromS-100, f.FromS-10)+d.mean(b, f.FromS-100, f.FromS-10))/2
			late := d.mean(bad, d.draft.flushS-60, d.draft.flushS-4) - (d.mean(a, d.draft.flushS-60, d.draft.flushS-4)+d.mean(b, d.draft.flushS-60, d.draft.flushS-4))/2
			if err := want(math.Abs(early) <= 0.04, "it differs by %.2f bar at first", early); err != nil {
				return err
			}
			return want(late <= -0.12, "it differs by %.2f bar at the end", late)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.Drift)
			s.seen(oneDrift, fmt.Sprintf("Cell %d agrees at first and then reads less and less; in truth its gain falls, by %.0f %% in all, from %s on. At the flush it reads below what complete flushing gives, by more than the diver can have used.", f.Cell, -100*f.Change, wording.Clock(f.FromS-s.tS[0])), oneGain, oneLate, oneCeiling)
			s.cells(fmt.Sprintf("Cell %d: it changed while the others did not, and the flush shows it low.", f.Cell), "That two agree would not be enough. The flush is: a reading below it is the cell's.", numbers(f.Cell))
			s.when("The difference starts to grow at the onset and can be seen some minutes later.", s.minutes(f.FromS+120, 6))
			s.flushValue(s.draft.flushS)
			to := s.Spec.Faults[0].ToS
			loss := -100 * f.Change * (s.draft.flushS - f.FromS) / (to - f.FromS)
			s.number("loss", "By how many per cent does the worst cell read too low just before the flush, against the others?", "%", round(loss, 1), 5, "Its reading over the mean of the others, shortly before the flush.")
			s.sure(named, "The difference grows at a constant PO2, and the flush, a gas that was known, leaves it too low. Two lines that do not rest on company.")
			s.next("Treat the cell as failed, end the dive by the unit's procedure; replace or test the cell afterwards.", "A cell that changes within a dive will not be the same tomorrow.",
				no("Recalibrate at the surface and dive again.", "At the surface it would calibrate, and drift again."),
				no("Leave it: the vote put it out.", "A vote that throws out what differs would have thrown out a sole good cell just as well."),
				no("Lower the set point until all cells agree.", "They will differ by the same share at any PO2."))
			s.talk("Without the flush, what would this log have left open?", "Whether one cell fell or two rose. Company alone makes it likely, no more.")
		},
	}
}

func wrongGain() Lesson {
	return Lesson{
		Name: "wrong-gain", Title: "A wrong gain that only a flush exposes", Minutes: 30,
		Line:    "one cell is miscalibrated; steps can't show it, a known gas can",
		Goals:   []string{"Compute what a diluent flush should give.", "See why a gain error hides in every step.", "Read a flush from one side."},
		Physics: []Physics{gainLaw, flushLaw, companyLaw},
		Look:    []string{"The ratio of the cells at 0.7 and at the high set point.", "The half-minute after the flush: expected against read.", "Which way the odd reading lies."},
		Wrong:   []string{"\"Two against one\": the flush decides, not the count.", "\"It answers quickly, so it is good.\"", "\"All cells are above the computed value, so all are wrong\": an incomplete flush, and humid gas, explain that."},
		Discuss: []string{"Which flush would expose a cell that reads high? (Only one that ends above it.)", "When in a dive is a flush worth its gas?"},
		Unknown: []string{"How complete the flush was.", "Whether the calibration or the cell was wrong."},
		Caution: []string{agency, lakeNote, "A flush in the water is a procedure of its own: diluent at depth must be breathable and its PO2 known."},
		Expect:  []string{"known-gas-mismatch"},
		draw: func(d *draft) {
			d.three()
			d.flush(pick(d, 0.3, 0.4, 0.62, 0.72) + d.between(-0.04, 0.04))
			d.fault(scenario.Fault{Kind: scenario.Gain, Cell: d.cellA, Gain: round(d.between(0.77, 0.82), 0.005)})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			tS, bar := d.flushed(d.draft.flushS)
			read := d.mean(d.cell(f.Cell), tS, tS+10)
			if err := want(read <= bar-d.diluentO2()*0.0627-0.06, "at the flush it reads %.2f of %.2f bar", read, bar); err != nil {
				return err
			}
			for _, k := range d.others(f.Cell) {
				if r := d.mean(d.cell(k), tS, tS+10); r < bar-0.05 {
					return fmt.Errorf("sound cell %d reads %.2f of %.2f bar", k, r, bar)
				}
			}
			return nil
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.Gain)
			s.seen(oneGain, fmt.Sprintf("Cell %d reads %.0f %% of the others at 0.7 bar and at the high set point alike, and answers as quickly. At the flush it lies below what the gas can be.", f.Cell, 100*f.Gain), oneCeiling, oneLate, oneDrift)
			s.cells(fmt.Sprintf("Cell %d: at the flush it reads below oxygen fraction times pressure by more than a diver uses in that time.", f.Cell), "The flush could have come out the other way: then the two that agree would have been wrong.", numbers(f.Cell))
			s.when("It is there from the first row.", fromStart(), s.minutes(1, 3))
			s.flushValue(s.draft.flushS)
			s.number("share", "Which share of the true PO2 does the worst cell show? Per cent.", "%", round(100*f.Gain, 0.5), 5, "Its reading over that of the others, at any moment of rest. That the others are right rests on the flush.")
			s.sure(named, "Constant ratio at two set points, and a reading at the flush well below what the gas gives. Company is only the third line.")
			s.next("Treat the cell as wrong; after the dive check the calibration and the cell by the equipment's own procedure.", "Whether the calibration or the cell is at fault is settled on the bench.",
				no("Multiply its readings by a factor and go on.", "The cause of the error is not known, so neither is tomorrow's factor."),
				no("Trust it: it is the careful one, reading lowest.", "Lowest is not careful. A unit that follows it drives the true PO2 up."),
				no("Throw out whichever cell differs from the other two, always.", "Here that gives the right cell. With two wrong cells it throws out the good one."))
			s.talk("What would you have said of this log without the flush?", "That cells disagree and that two against one does not settle it.")
		},
	}
}
