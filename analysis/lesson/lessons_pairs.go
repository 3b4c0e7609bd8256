package lesson

import (
	"fmt"
	"math"

	"afterloop/analysis/scenario"
)

func outvoted() Lesson {
	return Lesson{
		Name: "outvoted", Title: "Two limited cells that outvote the good one", Minutes: 40,
		Line:    "two of three cells have a ceiling; the vote throws out the good one and the unit adds oxygen",
		Goals:   []string{"See a majority that is wrong.", "Recognise a ceiling by what happens above and below it.", "Say what the diver really breathed."},
		Physics: []Physics{ceilingLaw, companyLaw, flushLaw},
		Look:    []string{"The highest PO2 that each cell ever showed.", "Where the cells part: at which reading?", "The openings of the valves after that: why does the unit go on adding?", "The flush: below the ceilings all agree again, and with the gas."},
		Wrong:   []string{"\"Two agree, so the third is bad.\"", "\"Cell so-and-so reads too high\": nothing contradicts it, and the flush agrees.", "\"The unit held 1.3 all the time\": it held what two cells can't show beyond."},
		Discuss: []string{"What makes two cells fail alike? Age, batch, storage, the same calibration.", "Which rules of voting would have fared better, and would they always?", "What did the display show, and what could have made the diver doubt?"},
		Unknown: []string{"How far the good cell itself is right above the highest PO2 at which a gas was known.", "When the cells became limited."},
		Caution: []string{agency, lakeNote, "The PO2 in this dive goes where no diver should: say so, and that exposure was computed from the highest that may have been breathed.",
			"If you show \"what if\" afterwards: it may refuse to simulate this dive. It first holds its simulation against the PO2 estimated from the record; with two cells at a ceiling both rest on little and can come out more than 3 % O2 apart. Then it shows the replay of the vote alone."},
		Expect: []string{"current-limited-cell"},
		draw: func(d *draft) {
			d.three()
			d.SetPoint.HighBar = pick(d, 1.25, 1.3)
			d.flush(d.between(0.6, 0.75))
			knee := d.SetPoint.HighBar - d.between(0.10, 0.15)
			slope := d.between(0.11, 0.18)
			d.SetPoint.UpDepthM = round(d.bottomM-6, 1)
			for _, c := range []int{d.cellA, d.cellB} {
				d.fault(scenario.Fault{Kind: scenario.Limited, Cell: c, CeilingBar: round(knee+d.between(-0.012, 0.012), 0.005), Slope: round(slope, 0.01)})
			}
		},
		shows: func(d *Dive) error {
			a, b := d.cell(d.draft.cellA), d.cell(d.draft.cellB)
			if long := d.apart(a, b, 0.06); long > 60 {
				return fmt.Errorf("the pair differs for %.0f s", long)
			}
			if err := d.bearable(0.3, 2.25); err != nil {
				return err
			}
			if len(d.Truth.Facts.Faults) < 2 {
				return fmt.Errorf("a ceiling was never reached")
			}
			over := d.mean(d.sensed(), d.draft.flushS-120, d.draft.flushS-4) - d.Spec.SetPoint.HighBar
			return want(over >= 0.15, "the diver got only %.2f bar more than the set point", over)
		},
		ask: func(s *sheet) {
			good := s.others(s.draft.cellA, s.draft.cellB)[0]
			f, _ := s.firstFault(scenario.Limited)
			over := s.mean(s.sensed(), s.draft.flushS-120, s.draft.flushS-4)
			s.seen(pairCeiling, fmt.Sprintf("Cells %s agree with each other and stop near %.2f bar; cell %d goes on. At the flush all three agree with the gas, which contradicts none of them below the ceilings.", words(s.draft.cellA, s.draft.cellB), f.CeilingBar, good), oneGain, oneDrift, oneCeiling)
			s.cells(fmt.Sprintf("Cells %s: they hardly rise above one level, however much oxygen comes in. Cell %d was voted out; nothing contradicts it, and the flush agrees.", words(s.draft.cellA, s.draft.cellB), good),
				"Blaming the odd one is what the vote does. Ask instead who obeys the physics: oxygen goes in, and only one cell shows it.", numbers(s.draft.cellA, s.draft.cellB))
			s.when("When PO2 first passed the ceilings; before that nothing could show.", s.minutes(f.FromS, 2.5))
			s.flushValue(s.draft.flushS)
			s.number("true", fmt.Sprintf("What PO2 do you take for true in the two minutes before the flush (set point %.2f bar)?", s.Spec.SetPoint.HighBar), "bar", round(over, 0.01), 0.10, fmt.Sprintf("Cell %d's reading, which nothing contradicts and with which the flush agrees (a flush bounds it from one side only): %.2f bar in truth.", good, over))
			s.sure(named, "The two stop at one level while additions go on; below it they follow; at the flush all three agree with the gas. The count of cells says the contrary and is no evidence.")
			s.next("Off the loop onto a gas known to be breathable.", "As the training held says; then end the dive. What to do with a PO2 that can't be trusted is a matter of training and of the unit's procedure. It is not to go on with the majority.",
				no("Go on: two of three cells say the set point is held.", "They would say so at any PO2 above their ceilings."),
				no("Go on, and replace the odd cell after the dive.", "That replaces the only good one."),
				no("Raise the set point until the cells agree again.", "They agree only below their ceilings. Every bit of oxygen makes it worse."))
			s.talk("Name the moment at which the diver could have known, and the test that would have told.", "The moment is when the cells part; the test a diluent flush, which takes all below the ceilings, and after it the rise, at which two stop.")
		},
	}
}

func allLag() Lesson {
	return Lesson{
		Name: "all-lag", Title: "All cells late", Minutes: 30,
		Line:    "every cell is slow: nothing healthy to compare with",
		Goals:   []string{"Use depth as a clock when cells can't be compared.", "See that agreement is no proof of quickness either."},
		Physics: []Physics{ascentLaw, firstOrder, companyLaw},
		Look:    []string{"The first minute of the ascent: when does depth move, when do the cells?", "After an opening: how long until the reading rises?", "The flush: how long until the last tenth."},
		Wrong:   []string{"\"All agree, so all is well.\"", "\"The controller is sluggish\": it acts on what it sees, late.", "\"It is mixing\": mixing takes a few breaths, not most of a minute."},
		Discuss: []string{"What do three cells of one age have in common?", "What would the display have hidden on a fast ascent?"},
		Unknown: []string{"Whether it is the cells or something in front of them: a wet membrane, a blocked gas path.", "The exact T90 of each."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"slow-cell"},
		draw: func(d *draft) {
			d.weak()
			d.flush(d.between(0.3, 0.45))
			t90 := d.between(40, 52)
			for k := range d.Cells {
				d.fault(scenario.Fault{Kind: scenario.Slow, Cell: k + 1, T90S: round(t90*d.between(0.93, 1.07), 0.5)})
			}
		},
		shows: func(d *Dive) error {
			if err := d.agree(0.10, 30); err != nil {
				return err
			}
			late := 0.0
			for i := d.row(d.draft.upS); i < d.row(d.draft.stopS); i++ {
				late = math.Max(late, d.cell(1)[i]-d.sensed()[i])
			}
			if err := want(late >= 0.05, "on the ascent the cells are only %.2f bar late", late); err != nil {
				return err
			}
			i := d.row(d.draft.flushS + 16)
			late = d.cell(1)[i] - d.sensed()[i]
			return want(late >= 0.12, "in the flush the cells are only %.2f bar late", late)
		},
		ask: func(s *sheet) {
			mean := 0.0
			for _, f := range s.Truth.Facts.Faults {
				mean += f.T90S / float64(len(s.Spec.Cells))
			}
			s.seen(allLate, fmt.Sprintf("The cells agree, but on the ascent they fall well after pressure does, and after the flush they need most of a minute (T90 %.0f s in truth).", mean), nothingWrong, oneLate, sawTooth)
			all := make([]int, len(s.Spec.Cells))
			for k := range all {
				all[k] = k + 1
			}
			s.cells("All of them: each follows depth late, and depth is not a cell.", "No cell stands out, which is why company can't help here. The ascent is a clock of its own.", numbers(all...))
			s.when("It is there from the start; the ascent shows it best.", fromStart(), s.minutes(s.draft.downS*0.6, s.draft.downS/60*0.8))
			s.flushValue(s.draft.flushS)
			s.number("t90", "About how many seconds does the cell that comes last take to 90 % of a step?", "s", round(mean, 1), 0.45*mean, "From the flush or the ascent. Mixing adds some 15 s, so that a careful reading comes out a little high.")
			s.sure(likely, "Ascents and the flush say the same, and neither rests on comparing cells: that readings are late is sure. That it is the cells, and not what is in front of them, stays open. So \"likely\" is right for the cells, and \"named\" counts as well for the lag.", named)
			s.next("Replace or test all of them before the next dive.", "By the equipment's own procedure, and look at what they have in common. Cells that lag alike have a cause in common: age, moisture, or the gas path.",
				no("Nothing: they agree to a few hundredths.", "They agree with each other, not with the depth."),
				no("Replace one of them, so that one is new.", "Then two late cells outvote the quick one whenever something moves."),
				no("Slow the ascent down in future and leave the cells.", "A slower ascent hides it and does not make the cells right."))
			s.talk("Two of your three cells are from one batch and two years old, the third is new. How would this log look?", "As one odd cell against two: and the odd one would be right.")
		},
	}
}

func undecidable() Lesson {
	return Lesson{
		Name: "cannot-know", Title: "A disagreement that can't be settled", Minutes: 25,
		Line:    "cells differ in gain, and no gas was ever known: \"I can't know\" is the right answer",
		Goals:   []string{"Say \"I can't know\" with a reason.", "Name the measurement that would settle it.", "Resist counting cells."},
		Physics: []Physics{gainLaw, companyLaw, {"What could witness: a flush, a calibration in the record, helium, ambient pressure as the upper bound. None is here.", "p <= Pd", "METHODS 9, witnesses"}},
		Look:    []string{"The ratio of the cells at each set point: constant?", "Their speed: alike?", "Is any gas known at any moment of this record?"},
		Wrong:   []string{"\"Two agree, so the third is wrong.\"", "\"The odd one is wrong because the vote put it out.\"", "\"Nothing can be said\": the range in which the PO2 lay can."},
		Discuss: []string{"What range of PO2 does the record allow, and what dose at its upper end?", "Which test would you make before the next dive?"},
		Unknown: []string{"Which cells are right. In one half of the sheets the pair is wrong, in the other half the odd one; the records look alike.", "The true PO2 within the range that the cells span."},
		Caution: []string{agency, lakeNote, "Do not tell the class before the second stage that the answer is \"can't be known\"; and do not let \"can't be known\" become the answer to everything: run a lesson that can be settled beside it."},
		draw: func(d *draft) {
			d.three()
			g := 1 + d.sign()*d.between(0.10, 0.13)
			if d.r.IntN(2) == 0 {
				d.Cells[d.cellA-1].Gain = round(g, 0.002)
				return
			}
			for k := range d.Cells {
				if k != d.cellA-1 {
					d.Cells[k].Gain = round(g*(1+d.between(-0.004, 0.004)), 0.002)
				}
			}
		},
		shows: func(d *Dive) error {
			at := d.mean(d.cell(d.draft.cellA), d.draft.upS-200, d.draft.upS-20)
			rest := 0.0
			o := d.others(d.draft.cellA)
			for _, k := range o {
				rest += d.mean(d.cell(k), d.draft.upS-200, d.draft.upS-20) / float64(len(o))
			}
			if err := want(math.Abs(at-rest) >= 0.09, "they differ by %.2f bar", at-rest); err != nil {
				return err
			}
			return d.bearable(0.4, 1.62)
		},
		ask: func(s *sheet) {
			odd := s.draft.cellA
			truth := "the odd cell"
			if math.Abs(s.Truth.Facts.Gain[odd-1]-1) < 0.05 {
				truth = "the two that agree"
			}
			lo, hi := math.Inf(1), math.Inf(-1)
			for k := range s.Spec.Cells {
				v := s.mean(s.cell(k+1), s.draft.upS-200, s.draft.upS-20)
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
			why := fmt.Sprintf("Cell %d differs from the others by the same share all the time; nothing in this record knows the gas. In truth %s were wrong, but another sheet of this lesson, alike to the eye, has it the other way round. \"None\" counts as well: the record shows no single cell to be wrong.", odd, truth)
			s.seen(notSettled, why, oneGain, pairGain, oneDrift)
			s.cells(why, "Not to trust any of them is wise; but the record shows neither the odd one nor the others to be wrong. A count of cells is no evidence: cells of one age fail alike.", CantKnow, None)
			s.when("The difference is there from the start and is plainest at the high set point.", fromStart(), s.minutes(s.draft.downS*0.5, s.draft.downS/60*0.5+3))
			s.number("range", "How wide is the range that the cells span in the last three minutes on the bottom? The PO2 may lie anywhere in it.", "bar", round(hi-lo, 0.01), 0.04, fmt.Sprintf("From %.2f to %.2f bar. A dose is then a range as well, and its upper end counts.", lo, hi))
			s.sure(unknown, "Two explanations fit equally well: the odd one is off, or the two others are, alike. Steps can't tell, since a gain scales both sides, and no gas was known.")
			s.next("Test all of them in a gas that is known.", "Before the next dive, by the equipment's own procedure; treat no cell as proven until then. A known gas is the only judge of a gain.",
				no("Replace the odd cell.", "With even odds that throws out a good cell and leaves two bad ones."),
				no("Replace nothing: the difference is within the vote's tolerance.", "A tolerance says what a vote bears, not what is right."),
				no("Take the mean of the three as the PO2.", "It is wrong whichever explanation is true."))
			s.talk("What would you have done in the water to be able to know?", "A diluent flush at a depth where its PO2 lies below all readings; a reading below the gas is the cell's.")
		},
	}
}

func heliumWitness() Lesson {
	return Lesson{
		Name: "helium-witness", Title: "Helium as a witness", Minutes: 40,
		Line:  "two of three cells are off alike; a helium sensor settles it",
		Goals: []string{"Use a witness that is no oxygen cell.", "Compute PO2 from helium and know the error of it.", "See a pair that is wrong."},
		Physics: []Physics{{"Oxygen added or used leaves helium to nitrogen as in the diluent, so the helium fraction tells how much of the gas is diluent.", "PO2 = Pd (1 - F_He (1 + R)),   R = N2/He", "METHODS 11"},
			{"An error e of the helium fraction moves PO2 by pressure times (1 + R) times e: it is the depth that makes it coarse.", "dPO2 = P (1 + R) e", "METHODS 11"}, gainLaw, companyLaw},
		Look:    []string{"The cells: a pair and an odd one, from the start.", "The helium fraction on the bottom; the diluent in the head of the log.", "PO2 by helium against each cell, at two depths."},
		Wrong:   []string{"\"Two against one.\"", "\"Helium is measured, so it is exact.\"", "\"The helium sensor disagrees with the majority, so it is broken.\""},
		Discuss: []string{"How much helium must be in the gas for this to work?", "When is the sensor no witness: after a bailout, before the starting air is washed out."},
		Unknown: []string{"An error that the helium sensor and the odd cell share, however unlikely.", "Why the pair is off."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"miscalibrated-cell"},
		draw: func(d *draft) {
			d.course(d.between(40, 48), d.between(1080, 1200))
			d.three()
			d.Diluent = pick(d, "18/45", "16/50", "18/50")
			d.Loop.HumidBar = round(d.between(0.035, 0.05), 0.001)
			d.Helium = &scenario.Helium{Basis: "dry", NoiseSigma: 0.0012, BiasSigma: 0.0008, LagS: round(d.between(8, 14), 1), StatedSigma: 0.002}
			g := 1 - d.between(0.11, 0.14)
			for k := range d.Cells {
				if k != d.cellA-1 {
					d.fault(scenario.Fault{Kind: scenario.Gain, Cell: k + 1, Gain: round(g*(1+d.between(-0.003, 0.003)), 0.002)})
				}
			}
		},
		shows: func(d *Dive) error {
			good := d.cell(d.draft.cellA)
			pair := d.cell(d.others(d.draft.cellA)[0])
			diff := d.mean(good, d.draft.upS-300, d.draft.upS-20) - d.mean(pair, d.draft.upS-300, d.draft.upS-20)
			if err := want(diff >= 0.12, "they differ by %.2f bar", diff); err != nil {
				return err
			}
			he := d.heliumPO2(d.draft.upS-300, d.draft.upS-20)
			return want(math.Abs(he-d.mean(d.sensed(), d.draft.upS-300, d.draft.upS-20)) <= 0.06, "helium says %.2f bar", he)
		},
		ask: func(s *sheet) {
			pair := s.others(s.draft.cellA)
			from, to := s.draft.upS-300, s.draft.upS-20
			he := s.heliumPO2(from, to)
			s.seen(pairGain, fmt.Sprintf("Cells %s agree and read some %.0f %% low; helium, which is no oxygen cell, gives %.2f bar on the bottom, which is what cell %d reads.", words(pair...), 100*(1-s.Spec.Faults[0].Gain), he, s.draft.cellA), oneGain, notSettled, pairCeiling)
			s.cells(fmt.Sprintf("Cells %s. Helium and the diluent's composition give the PO2 without any oxygen cell, and side with cell %d.", words(pair...), s.draft.cellA), "Counting cells names the odd one. The helium sensor is a witness of another kind.", numbers(pair...))
			s.when("From the first row; helium can witness once the starting gas is washed out.", fromStart(), s.minutes(s.draft.downS*0.5, s.draft.downS/60*0.6+1))
			s.number("helium", "What PO2 follows from the measured helium in the last five minutes on the bottom? (Diluent and helium stand in the log; take the gas as dry, or 0.04 bar of vapour.)", "bar", round(he, 0.01), 0.12, fmt.Sprintf("Pd (1 - F_He (1 + R)) with R = N2/He of the diluent: %.2f bar. One hundredth of helium would move it by %.2f bar.", he, 0.01*s.ambient(to)*(1+s.nitrogenPerHelium())))
			s.sure(likely, "One line of evidence stands alone: the helium sensor. It is independent of all oxygen cells and sides with one of them, which makes it likely that the pair is off; a helium sensor that is itself off stays open, since no flush and no known gas tests it.")
			s.next("Test all cells in a gas that is known.", "Treat the pair as wrong until then, although it is the majority. The witness sides with one cell; the bench settles the rest.",
				no("Replace the odd cell.", "It is the one that the helium confirms."),
				no("Distrust the helium sensor: it stands alone with one cell.", "It measures another gas by another principle: that is what makes it a witness."),
				no("Average cells and helium.", "A mean with two wrong members is wrong."))
			s.talk("At the 6 m stop the same helium error is worth how much in PO2? What follows for where to look?", "About a third of that on the bottom, since it goes with pressure; but less helium-bearing gas has been replaced there, so look at several depths.")
		},
	}
}

// nitrogenPerHelium is N2/He of the diluent.
func (d *Dive) nitrogenPerHelium() float64 {
	m := d.mix()
	return m.N2PerHe()
}

// heliumPO2 is the mean PO2 that the measured helium gives over a window, with
// the vapour that is truly there.
func (d *Dive) heliumPO2(fromS, toS float64) float64 {
	he := d.column("loop_he")
	sum, n := 0.0, 0.0
	for i := d.row(fromS); i <= d.row(toS); i++ {
		sum += (d.ambient(d.tS[i]) - d.Spec.Loop.HumidBar) * (1 - he[i]*(1+d.nitrogenPerHelium()))
		n++
	}
	return sum / n
}
