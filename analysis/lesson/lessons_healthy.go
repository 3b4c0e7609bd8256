package lesson

import (
	"fmt"

	"afterloop/analysis/gas"
	"afterloop/analysis/scenario"
	"afterloop/analysis/wording"
)

// quiet asks what a record without a fault has in common with every other one.
func (s *sheet) quiet(why string, tempting ...string) {
	s.seen(nothingWrong, why, tempting...)
	s.cells("None stands out: all follow depth and additions as quickly as each other and agree at rest. That is no proof that all are right.", "Differences of a few hundredths are rounding, noise and the spread of sound cells.", None)
	s.when("There is nothing to name, and so no moment.", never())
}

func healthy() Lesson {
	return Lesson{
		Name: "healthy", Title: "A dive on which all is well", Minutes: 20,
		Line:    "nothing is wrong: what sound cells, valves and control look like",
		Goals:   []string{"Know the look of a sound record before looking for faults.", "Say what \"nothing found\" does and does not mean."},
		Physics: []Physics{firstOrder, ascentLaw, flushLaw, burnLaw},
		Look:    []string{"Cells on the descent, at rest, on the ascent.", "The saw-tooth: an opening, a rise, a slow fall by what the diver uses.", "The flush against what the gas should give."},
		Wrong:   []string{"\"One cell is always a hundredth high, so it is off.\"", "\"PO2 jumped on the descent\": pressure did that.", "\"All agree, so all are right.\""},
		Discuss: []string{"What would you still test before the next dive?", "Which fault could hide in this record?"},
		Unknown: []string{"An error of gain that all cells share, up to what the flush leaves open.", "A ceiling above the highest PO2 of this dive."},
		Caution: []string{agency, "A class that gets only faults learns to find faults everywhere. Hand this lesson out among others, unannounced."},
		draw:    func(d *draft) { d.strong(); d.flush(pick(d, 0.35, 0.65) + d.between(-0.05, 0.05)) },
		shows: func(d *Dive) error {
			if err := d.agree(0.10, 16); err != nil {
				return err
			}
			return d.bearable(0.5, 1.41)
		},
		ask: func(s *sheet) {
			s.quiet("Every movement has a cause in depth, additions or work, and all cells show it alike. The flush gives what the gas should.", oneGain, oneLate, sawTooth)
			s.flushValue(s.draft.flushS)
			s.sure(silent, "Nothing was found where something could have been: steps, ascents, a flush, additions. What all cells share, and what lies above the highest PO2 reached, was not tested.")
			s.next("Nothing out of turn: the checks and the replacement by age that the equipment's own procedure asks for.", "A clean record clears no equipment for use.",
				no("Skip the checks before the next dive: the record is clean.", "The record speaks of this dive. A cell can have a ceiling just above what it was asked for."),
				no("Replace the cell that reads highest.", "A hundredth of a bar is within rounding and the spread of sound cells."),
				no("Lower the tolerance of the vote, so that small differences show.", "Then sound cells go out at every step."))
			s.talk("Name one fault that this record could not have shown.", "A ceiling above the highest PO2 of the dive; a gain that all share; a valve that would fail later.")
		},
	}
}

func roughHealthy() Lesson {
	return Lesson{
		Name: "rough-healthy", Title: "Awkward, but healthy", Minutes: 30,
		Line:    "up and down, hard work, cells that spread as sound ones may, and nothing wrong",
		Goals:   []string{"Keep from naming a fault because a record looks restless.", "Find the cause of each movement in depth, work or additions."},
		Physics: []Physics{ascentLaw, {"A descent made up with diluent raises PO2 by the diluent's share of the rise in pressure.", "descent: dp = F_dil dPd", "METHODS 3"}, burnLaw, firstOrder},
		Look:    []string{"For every movement of PO2 the line of the depth.", "Whether cells part and meet again at once.", "How the openings grow when the diver works."},
		Wrong:   []string{"\"The controller swings\": it is the depth.", "\"A cell lags\": by a second or two, as sound cells of different age do.", "\"Overshoot\": there was no change of set point, but a descent."},
		Discuss: []string{"Which single chart freed this unit of suspicion?", "How much difference between cells is sound? What does your unit's manual say?"},
		Unknown: []string{"An error of gain that all cells share.", "Whether the spread of the cells will grow."},
		Caution: []string{agency, lakeNote},
		draw: func(d *draft) {
			for k := range d.Cells {
				d.Cells[k].Gain = round(1+d.between(-0.018, 0.018), 0.001)
				d.Cells[k].T90S = round(d.between(4.5, 8.5), 0.1)
			}
			w := []scenario.Waypoint{{TimeS: 0, DepthM: 0}, {TimeS: round(d.between(60, 90), 2), DepthM: 0}}
			tS := w[1].TimeS
			to := func(depthM, mMin float64) {
				last := w[len(w)-1].DepthM
				tS += max(10, round(abs(depthM-last)/mMin*60, 2))
				w = append(w, scenario.Waypoint{TimeS: tS, DepthM: round(depthM, 0.1)})
			}
			to(d.bottomM, 16)
			d.downS = tS
			for range 4 {
				tS += round(d.between(80, 140), 2)
				w = append(w, scenario.Waypoint{TimeS: tS, DepthM: w[len(w)-1].DepthM})
				to(d.bottomM-d.between(9, 14), d.between(8, 10))
				tS += round(d.between(60, 110), 2)
				w = append(w, scenario.Waypoint{TimeS: tS, DepthM: w[len(w)-1].DepthM})
				to(d.bottomM-d.between(0, 2), d.between(10, 14))
			}
			d.upS = tS
			to(12, 9)
			d.stopS = tS
			tS += 180
			w = append(w, scenario.Waypoint{TimeS: tS, DepthM: 12})
			to(6, 8)
			tS += round(d.between(300, 360), 2)
			w = append(w, scenario.Waypoint{TimeS: tS, DepthM: 6})
			to(0, 6)
			tS += 40
			w = append(w, scenario.Waypoint{TimeS: tS, DepthM: 0})
			d.Profile.Waypoints = w
			d.Profile.WanderM = 0.25
			d.work(0.9, 2.1)
			d.Controller.MaxS = 2.2
			d.SetPoint.HighBar, d.SetPoint.UpDepthM = pick(d, 1.0, 1.05, 1.1), round(d.bottomM-5, 1)
		},
		shows: func(d *Dive) error {
			if err := d.agree(0.14, 16); err != nil {
				return err
			}
			if err := d.bearable(0.4, 1.41); err != nil {
				return err
			}
			return want(d.span(d.sensed(), d.draft.downS+60, d.draft.upS) >= 0.22, "PO2 is too calm")
		},
		ask: func(s *sheet) {
			s.quiet("Depth goes up and down and work changes: each movement of PO2 has its cause, and all cells share it.", sawTooth, oneLate, overshoots)
			ten := s.diluentO2() * s.Spec.WaterDensityKgM3 * 9.80665 * 10 / 1e5
			s.number("descent", "The diver goes 10 m deeper in this water, and the loop is made up with diluent. By how much does that alone raise PO2?", "bar", round(ten, 0.01), 0.04, fmt.Sprintf("F_dil times the rise in pressure: %.2f bar. It has nothing to do with the controller.", ten))
			s.sure(silent, "All cells answer all movements alike, and there are many of them. What they share is not tested: no gas was known.")
			s.next("Nothing out of turn with the unit; talk with the diver about depth and work on this dive.", "The unit did what it should; the profile was restless.",
				no("Have the controller looked at: PO2 was all over the place.", "PO2 followed depth. On a level stretch it came back to the set point each time."),
				no("Replace the cell farthest from the mean.", "Its distance is constant, small, and within the spread of sound cells."),
				no("Calibrate again, since the cells differ by some hundredths.", "Calibration is good to a few hundredths: gas, pressure and humidity leave that much."))
			s.talk("Which movement of PO2 took you longest to explain, and what explained it?", "Usually a descent: pressure raises PO2 before the controller has done anything.")
		},
	}
}

func flushTest() Lesson {
	return Lesson{
		Name: "flush-test", Title: "Two flushes, one of them incomplete", Minutes: 25,
		Line:    "sound cells; after a short flush all read above what the gas gives",
		Goals:   []string{"Compute what a complete flush gives.", "Read a flush from one side only.", "Judge how complete a flush was by comparing two."},
		Physics: []Physics{flushLaw, {"A volume v of fresh gas into a well-mixed loop V leaves a share of the old gas.", "share left = exp(-v/V)", "well-mixed volume, METHODS 3"}, firstOrder},
		Look:    []string{"How far all cells come down at each flush, and how steady they are then.", "What the gas should give at that depth.", "Whether the cells agree with each other after both."},
		Wrong:   []string{"\"All cells read high\": the first flush did not replace the gas.", "\"The cells drifted between the flushes.\"", "\"The diluent is not what the log says\": then the second flush would be off as well."},
		Discuss: []string{"How much gas does a flush take that proves something?", "Which fault could the incomplete flush still have shown?"},
		Unknown: []string{"How complete a flush was: the log does not say.", "A gain error that all share and that is smaller than the vapour's share."},
		Caution: []string{agency, lakeNote},
		draw: func(d *draft) {
			d.strong()
			d.flush(d.between(0.2, 0.35))
			d.flush(d.between(0.65, 0.85))
			d.Events[0].VolumeL = round(d.between(0.5, 0.7)*d.Loop.VolumeL, 0.1)
		},
		shows: func(d *Dive) error {
			if err := d.agree(0.10, 16); err != nil {
				return err
			}
			if err := d.bearable(0.4, 1.41); err != nil {
				return err
			}
			for i, e := range d.Spec.Events {
				tS, bar := d.flushed(e.AtS)
				off := d.mean(d.cell(1), tS, tS+6) - bar
				if i == 0 && off < 0.12 {
					return fmt.Errorf("the first flush is too good: %.2f bar off", off)
				}
				if i == 1 && off > 0.06 {
					return fmt.Errorf("the second flush is too poor: %.2f bar off", off)
				}
			}
			return nil
		},
		ask: func(s *sheet) {
			s.quiet("After the first flush all cells read above what the gas gives, after the second they meet it: it was the flush that was incomplete, not the cells.", oneGain, pairGain, oneDrift)
			first, second := s.Spec.Events[0], s.Spec.Events[1]
			s.flushValue(second.AtS)
			tS, bar := s.flushed(first.AtS)
			left := s.mean(s.sensed(), tS, tS+6)
			s.number("above", fmt.Sprintf("After the flush that began at %s: by how much do the cells read above what complete flushing gives?", wording.Clock(first.AtS-s.tS[0])), "bar", round(left-bar, 0.01), 0.07, fmt.Sprintf("True PO2 then %.2f bar, complete flushing gives %.2f bar. The rest is old gas.", left, bar))
			s.sure(silent, "Both flushes came down and left no cell below the gas; readings above it are explained by old gas left in the loop.")
			s.next("Nothing out of turn; practise flushes that are long enough to prove something.", "A short flush costs gas and proves little.",
				no("Recalibrate all cells: they read high.", "The second flush shows that they do not."),
				no("Distrust the diluent cylinder: analyse it, the log must be wrong.", "The second flush fits the gas in the log."),
				no("Subtract the difference from all readings.", "The difference belongs to the gas in the loop, not to the cells."))
			s.talk("A cell reads 0.10 bar below what the gas gives after an incomplete flush. What do you know?", "That it reads low: the true PO2 lies above the gas, the reading below.")
		},
	}
}

func humidCalibration() Lesson {
	return Lesson{
		Name: "humid-calibration", Title: "Calibrated in humid gas", Minutes: 30,
		Line:  "all cells read a few per cent high alike; the log can't show it",
		Goals: []string{"See an error that no comparison shows.", "Compute it from humidity.", "Say \"can't be known from this log\" of a record that looks clean."},
		Physics: []Physics{{"Water vapour takes its share of the pressure. Cells set to the dry value in humid gas read too high by the same factor for ever after.", "factor = P/(P - pH2O)", "METHODS 2"},
			{"Saturated vapour: 0.023 bar at 20 C, 0.042 at 30 C, 0.063 at 37 C.", "", "published vapour-pressure tables; METHODS 2"}, gainLaw, flushLaw},
		Look:    []string{"The lines on the calibration at the head of the log.", "How well the cells agree.", "Whether any gas was known: a flush leaves the vapour's share open."},
		Wrong:   []string{"\"Three cells agree to a hundredth: a good calibration.\"", "\"The error would show on the ascent\": a gain scales both sides.", "\"It is small\": it is a constant share, and always to the unsafe side for hypoxia."},
		Discuss: []string{"How does your procedure keep water out of the calibration?", "Which way does the error go for oxygen exposure, and which way for hypoxia?"},
		Unknown: []string{"Whether the gas was humid: the log states what was assumed.", "The true PO2 to better than some per cent, on any dive without a known dry gas."},
		Caution: []string{agency, lakeNote, "The truth is in the key; a student who answers that nothing can be seen is right."},
		draw: func(d *draft) {
			d.strong()
			tempC := round(d.between(27, 34), 1)
			d.Meta.Calibration.TempC, d.Meta.Calibration.HumidBar = tempC, round(gas.SaturatedVapourBar(tempC), 0.0001)
		},
		shows: func(d *Dive) error {
			if err := d.agree(0.10, 16); err != nil {
				return err
			}
			if err := d.bearable(0.4, 1.41); err != nil {
				return err
			}
			off := d.mean(d.cell(1), d.draft.upS-200, d.draft.upS-20)/d.mean(d.sensed(), d.draft.upS-200, d.draft.upS-20) - 1
			return want(off >= 0.02 && off <= 0.075, "the cells are %.1f %% high", 100*off)
		},
		ask: func(s *sheet) {
			c := s.Spec.Meta.Calibration
			off := 100 * c.HumidBar / (c.PressureBar - c.HumidBar)
			s.seen(nothingWrong, fmt.Sprintf("The record is clean, and that is all it can say. In truth all cells read %.1f %% high, since the gas of the calibration was humid and taken as dry. An error that all share does not show.", off), oneGain, allLate, sawTooth)
			s.cells("The record sets no cell apart. In truth all are a few per cent high, which it can't show: naming none, or saying that it can't be known, are both right.", "Naming one or all claims what the record does not hold.", None, CantKnow)
			s.when("Nothing in the record marks a moment.", never(), fromStart())
			s.number("percent", fmt.Sprintf("You now learn that the gas of the calibration was saturated with water at %.0f C (vapour %.3f bar) and was taken as dry; pressure %.3f bar. By how many per cent do all cells read too high?", c.TempC, c.HumidBar, c.PressureBar), "%", round(off, 0.1), 0.5, fmt.Sprintf("P/(P - pH2O) - 1 = %.1f %%.", off))
			bar := s.mean(s.sensed(), s.draft.upS-200, s.draft.upS-20)
			s.number("true", "With that: what was the true PO2 in the last three minutes on the bottom?", "bar", round(bar, 0.01), 0.05, fmt.Sprintf("The readings divided by that factor: %.2f bar.", bar))
			s.sure(silent, "The log shows nothing wrong, and could not have shown this: cells, vote and steps are all scaled alike.")
			s.next("Calibrate again in dry gas by the equipment's own procedure, and read this dive's figures as some per cent uncertain.", "Only a calibration in a gas that is known puts it right.",
				no("Replace the cells.", "They are sound. It is what they were told at the calibration that is not."),
				no("Nothing: they agree.", "They agree on a figure that is a few per cent too high."),
				no("Correct only the cell that reads highest.", "All are off by the same factor."))
			s.talk("A log says cal_gas_humid: no. What does that line prove?", "What was assumed. The log can't know what was in the hose.")
		},
	}
}

func offTheLoop() Lesson {
	return Lesson{
		Name: "off-the-loop", Title: "Minutes on open circuit", Minutes: 25,
		Line:    "nothing is wrong; the diver bails out and comes back, and the cells go on reading",
		Goals:   []string{"Keep what the cells read apart from what the diver breathes.", "Compute the PO2 on open circuit.", "Say what must be known before a return to the loop."},
		Physics: []Physics{{"On open circuit the PO2 breathed is the gas's oxygen fraction times pressure, whatever the loop's cells say.", "PO2 = F_O2 P", "METHODS 7"}, ascentLaw, {"Dose goes by what was breathed.", "", "METHODS 7"}},
		Look:    []string{"The breathing column and the events.", "What the cells read meanwhile: a loop that nobody breathes.", "The gas of the open circuit at the head of the log."},
		Wrong:   []string{"\"PO2 was so-and-so all dive\": not while the diver was off the loop.", "\"The cells stood still, so they froze\": nobody mixes the loop.", "\"Something must have failed\": the record does not say why he left."},
		Discuss: []string{"What do you check before you go back on the loop? Whose rule is that?", "When is it right never to go back?"},
		Unknown: []string{"Why the diver left the loop.", "What the loop's PO2 really was while nobody breathed it: the cells see the head only."},
		Caution: []string{agency, lakeNote, "Leaving the loop early is good practice: do not let the class call it a fault."},
		draw: func(d *draft) {
			d.strong()
			d.OpenCircuitGas = pick(d, "32/0", "30/0", "28/0")
			d.Recording.BreathingColumn = true
			at := d.onBottom(0.4, 0.6)
			d.Events = append(d.Events, scenario.Event{Kind: "bailout", AtS: at}, scenario.Event{Kind: "on_loop", AtS: at + round(d.between(150, 260), 2)})
		},
		shows: func(d *Dive) error {
			if err := d.agree(0.12, 20); err != nil {
				return err
			}
			return d.bearable(0.4, 1.41)
		},
		ask: func(s *sheet) {
			out, back := s.Spec.Events[0].AtS, s.Spec.Events[1].AtS
			m, _ := gas.ParseMix(s.Spec.OpenCircuitGas)
			mid := (out + back) / 2
			s.quiet(fmt.Sprintf("From %s to %s the diver breathes open circuit. The cells then read a loop that nobody mixes; before and after they behave as sound ones do.", wording.Clock(out-s.tS[0]), wording.Clock(back-s.tS[0])), oneStuck, allLate, oneDrift)
			s.number("breathed", fmt.Sprintf("What PO2 does the diver breathe at %s? The open-circuit gas is in the log.", wording.Clock(mid-s.tS[0])), "bar", round(m.O2*s.ambient(mid), 0.01), 0.04, fmt.Sprintf("%.2f x %.2f bar: the gas's fraction times pressure. The cells have no say.", m.O2, s.ambient(mid)))
			s.number("minutes", "For how many minutes was the diver off the loop?", "min", round((back-out)/60, 0.1), 0.4, "From bailout to the return.")
			s.sure(silent, "Nothing is shown to be wrong. Why the diver left is not in the record, and it need not be a fault.")
			s.next("Ask the diver why; look at the minutes before; take the dose on open circuit from that gas.", "The record says when, not why.",
				no("Count the dose from the cells all through.", "Nobody breathed that gas."),
				no("Name a frozen cell: readings hardly moved for minutes.", "All cells stood still together, while nobody breathed from the loop."),
				no("Decide never to leave the loop again without a fault.", "Leaving in doubt is good practice, and the rule of the agency comes first."))
			s.talk("What must a diver know before he goes back on the loop, and from what?", "That the loop's PO2 is known and breathable, by the procedure of the unit and the training held: for example after a flush with a gas that is known.")
		},
	}
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
