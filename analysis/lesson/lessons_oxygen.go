package lesson

import (
	"fmt"
	"math"

	"afterloop/analysis/gas"
	"afterloop/analysis/scenario"
	"afterloop/analysis/wording"
)

// noCell asks which cells not to trust where the cells are sound.
func (s *sheet) noCell() {
	s.cells("None: the cells agree with each other and with depth all through. What moves PO2 is the oxygen that comes in, or does not.", "Cells that agree about an odd PO2 are showing an odd PO2.", None)
}

func shutValve() Lesson {
	return Lesson{
		Name: "shut-valve", Title: "A valve that stays shut", Minutes: 25,
		Line:    "one of two valves is commanded and gives nothing",
		Goals:   []string{"Read openings one by one against what PO2 did after them.", "Tell command from flow.", "See how a second valve hides the loss of the first."},
		Physics: []Physics{addLaw, burnLaw, {"The log has what was commanded. Whether gas came shows in PO2 alone, or in the cylinder's pressure.", "", "FORMAT; common practice"}},
		Look:    []string{"PO2 in the half-minute after each opening, valve by valve.", "The length of the openings before and after.", "How deep PO2 dips between two that work."},
		Wrong:   []string{"\"The diver worked harder\": then both valves would answer.", "\"The cells became slow\": the answers to the other valve are as quick as before.", "\"The log shows openings, so gas came.\""},
		Discuss: []string{"What does a diver notice? Who hears a valve?", "What is left if the second one fails?"},
		Unknown: []string{"Whether it is the coil, the cable, the supply of that side or dirt."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"dead-valve"},
		draw: func(d *draft) {
			d.valves(2)
			d.Controller = scenario.Controller{Style: "fixed", Vote: "leave-one-out", IntervalS: pick(d, 9.0, 10), PulseS: round(d.between(2.2, 2.8), 0.2), Turns: "alternate", DeadbandBar: 0.01}
			d.fault(scenario.Fault{Kind: scenario.ValveDead, Valve: 1 + d.r.IntN(2), FromS: d.onBottom(0.15, 0.35)})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			if err := d.bearable(0.35, 1.6); err != nil {
				return err
			}
			n := d.openings(f.Valve, f.FromS)
			return want(n >= 8 && d.openings(3-f.Valve, f.FromS) >= 8, "only %.0f openings", n)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.ValveDead)
			n := s.openings(f.Valve, f.FromS)
			s.seen(valveShut, fmt.Sprintf("From %s on valve %d is commanded %.0f times, and PO2 goes on falling after each; after valve %d it rises.", wording.Clock(f.FromS-s.tS[0]), f.Valve, n, 3-f.Valve), oxygenLost, valveLeaks, sawTooth)
			s.noCell()
			s.when("From the first opening that has no answer.", s.minutes(f.FromS, 3))
			s.choice(2, "valve", "Take the openings of the two valves apart. After whose openings does PO2 not rise in the later part of the dive?", 2, fmt.Sprintf("Valve %d: commanded, and no rise follows.", f.Valve),
				option{text: "Valve 1", right: f.Valve == 1, feedback: "After its openings PO2 rises as it did before; the other's have no answer."},
				option{text: "Valve 2", right: f.Valve == 2, feedback: "After its openings PO2 rises as it did before; the other's have no answer."},
				no("Neither: both give some", "The one that works makes up for both, so that the mean looks like little from each. Take the openings one by one."),
				no("Both: PO2 only falls", "Then PO2 would have fallen all the way. It is held, if with deeper dips."))
			s.number("count", "How many openings were commanded that gave nothing?", "openings", n, math.Max(4, 0.25*n), fmt.Sprintf("%.0f in the log from then on.", n))
			s.sure(named, "Opening after opening of one valve without an answer, while the other's have one: many lines of evidence. What is broken in it is not in the log.")
			s.next("End the dive by the unit's procedure for a lost injector; afterwards have that side looked at before the unit is used.", "One valve holding the set point is luck with the work load.",
				no("Go on: the set point is held.", "By one valve alone. The next failure leaves none."),
				no("Replace the cells, since PO2 dips.", "They show the dips truly; all agree."),
				no("Shorten the interval between decisions.", "The valve that gives nothing gives nothing more often."))
			s.talk("Could a diver have noticed before the log was read? By what?", "Deeper dips, longer time to the set point, one valve not heard; on many units an alarm. And by checking the cylinder's fall.")
		},
	}
}

// openings counts those commanded of a valve from a moment on.
func (d *Dive) openings(valve int, fromS float64) float64 {
	n := 0.0
	v := d.column(fmt.Sprintf("valve%d_openings", valve))
	for i := d.row(fromS) + 1; i < len(v); i++ {
		n += v[i]
	}
	return n
}

func leakingValve() Lesson {
	return Lesson{
		Name: "leaking-valve", Title: "Oxygen that comes in by itself", Minutes: 25,
		Line:    "a valve leaks more than the diver uses: PO2 rises with the valves shut",
		Goals:   []string{"Use the time when valves are shut.", "Tell an inflow from a lower metabolic rate.", "Estimate a flow from a slope."},
		Physics: []Physics{burnLaw, {"With an inflow Q the slope with valves shut is that of inflow less use. A rise can't be explained by a diver who uses less: nobody uses less than nothing.", "dp/dt = (1 - x)(Q - VO2)/V while the loop vents, x = PO2/P", "METHODS 3, table of cases"}},
		Look:    []string{"The openings: when does the last one come?", "The slope of PO2 after that on the level.", "Whether depth could explain it."},
		Wrong:   []string{"\"The controller overshoots\": it commands nothing.", "\"The cells drift up\": all of them, alike, at once?", "\"The diver used less\": then PO2 would fall more slowly, not rise."},
		Discuss: []string{"Where is this most dangerous: deep, or at the last stop?", "What does shutting the cylinder do, and to what else?"},
		Unknown: []string{"Through which valve or by which way the oxygen came in.", "The flow exactly: volume and use are known only roughly."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"leaking-valve"},
		draw: func(d *draft) {
			from := round(d.upS-d.between(330, 420), 2)
			vo2 := round(d.between(0.75, 0.95), 0.05)
			d.Work = []scenario.Work{{FromS: 0, VO2LMin: 0.8}, {FromS: d.downS, VO2LMin: vo2}}
			d.SetPoint.HighBar = pick(d, 1.1, 1.15)
			d.fault(scenario.Fault{Kind: scenario.ValveLeak, RateLMin: round(vo2+d.between(0.6, 0.8), 0.05), FromS: from})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			if err := d.bearable(0.4, 1.75); err != nil {
				return err
			}
			rise := d.sensed()[d.row(d.draft.upS-6)] - d.sensed()[d.row(f.FromS+60)]
			if err := want(rise >= 0.15, "PO2 rises by %.2f bar only", rise); err != nil {
				return err
			}
			_, flow := d.inflow(f.FromS+60, d.draft.upS-6)
			return want(math.Abs(flow-f.RateLMin) <= 0.2*f.RateLMin, "the slope says %.2f L/min", flow)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.ValveLeak)
			from, to := f.FromS+60, s.draft.upS-6
			slope, flow := s.inflow(from, to)
			s.seen(valveLeaks, fmt.Sprintf("From about %s on no valve is commanded, depth is level, and PO2 rises: %.2f bar a minute in truth. Only oxygen that comes in does that.", wording.Clock(f.FromS-s.tS[0]), slope), overshoots, oneDrift, valveShut)
			s.noCell()
			s.when("When PO2 begins to rise although nothing is commanded.", s.minutes(f.FromS+20, 2.5))
			s.number("slope", "How fast did PO2 rise on the level before the ascent, with the valves shut?", "bar/min", round(slope, 0.001), 0.35*slope, "The rise over the minutes from the last opening to the start of the ascent.")
			s.number("flow", fmt.Sprintf("Loop volume %.1f L; take the diver's use as %.2f L/min. About how much oxygen came in?", s.Spec.Loop.VolumeL, s.uptake(to)), "L/min", f.RateLMin, 0.3*f.RateLMin, fmt.Sprintf("Slope x V/(1 - x), x = PO2/P, gives inflow less use, since the loop vents; %.2f L/min by the slope, %.2f in truth. One litre a minute is some 0.018 bar L/s.", flow, f.RateLMin))
			s.sure(named, "PO2 rises for minutes on the level with nothing commanded, in all cells: an inflow of oxygen. By which way it came in is not in the log.")
			s.next("Treat PO2 as not under control: the unit's procedure for high oxygen, then end the dive; do not use the unit before it is repaired.", "A valve that passes gas by itself is not cured by the next dive.",
				no("Raise the set point until the controller has work again.", "Then PO2 is high by intention."),
				no("Add diluent now and then and go on.", "It hides the leak, at a price in gas, and fails at the next distraction."),
				no("Calibrate: all cells read high.", "They read what is there; it is high."))
			s.talk("Would you have seen it if the leak were half of what the diver uses?", "PO2 would still fall with the valves shut, only more slowly; a lower use explains that as well. Then it can't be known from the slope alone.")
		},
	}
}

// inflow is how fast the true PO2 rises over a window, bar/min, and the flow of
// oxygen that follows, L/min STPD, with the valves shut and the loop venting:
//
//	Q = V/(1 - x) dp/dt + VO2
func (d *Dive) inflow(fromS, toS float64) (slope, flow float64) {
	p := d.sensed()
	slope = (p[d.row(toS)] - p[d.row(fromS)]) / (toS - fromS) * 60
	x := d.mean(p, fromS, toS) / (d.ambient(toS) - d.Spec.Loop.HumidBar)
	return slope, slope/60*d.Spec.Loop.VolumeL/(1-x)/gas.STPDToLoop(1, d.Spec.Loop.TempC) + d.uptake(toS)
}

// uptake is that aimed at at a moment, L/min.
func (d *Dive) uptake(tS float64) float64 {
	v := d.Spec.Work[0].VO2LMin
	for _, w := range d.Spec.Work {
		if w.FromS <= tS {
			v = w.VO2LMin
		}
	}
	return v
}

func oxygenShut() Lesson {
	return Lesson{
		Name: "oxygen-shut", Title: "Oxygen shut off before the ascent", Minutes: 30,
		Line:    "the supply is lost shortly before the ascent; PO2 falls by use and by pressure",
		Goals:   []string{"See two causes of a falling PO2 add up.", "Tell a lost supply from a dead valve and from bad cells.", "Estimate how long was left."},
		Physics: []Physics{burnLaw, ascentLaw, {"A loop without oxygen lasts minutes: a handbook gives 2 to 5.", "t = (p - 0.16) V/((1 - F_dil) VO2)", "METHODS 6; US Navy Diving Manual, ch. 17 (2 to 5 min)"}},
		Look:    []string{"Openings that get longer and longer.", "PO2 after each: no answer from any valve.", "The ascent: pressure takes its share on top."},
		Wrong:   []string{"\"PO2 falls because of the ascent\": it fell before, and went on at the stop.", "\"The valves are dead\": all at once points to what they share.", "\"The cells read low\": they all follow depth and use."},
		Discuss: []string{"At what moment would you have left the loop, and by whose rule?", "Why is the ascent the worst moment for this?"},
		Unknown: []string{"Why nothing came: cylinder shut or empty, regulator, hose, electronics.", "What the diver did about it, but for what the log records."},
		Caution: []string{agency, lakeNote, "Hypoxia gives no warning. Say so, and that this dive was let go on only because nobody is in it."},
		Expect:  []string{"oxygen-supply-lost"},
		draw: func(d *draft) {
			d.Work = []scenario.Work{{FromS: 0, VO2LMin: round(d.between(0.8, 1), 0.05)}}
			d.fault(scenario.Fault{Kind: scenario.OxygenOff, FromS: round(d.upS-d.between(90, 150), 2), ToS: round(d.stopS+d.between(50, 100), 2)})
		},
		shows: func(d *Dive) error {
			f := d.Spec.Faults[0]
			low := d.sensed()[d.row(f.ToS)]
			if err := want(low >= 0.24 && low <= 0.68, "PO2 is %.2f bar when oxygen comes back", low); err != nil {
				return err
			}
			return d.bearable(0.22, 1.6)
		},
		ask: func(s *sheet) {
			f, _ := s.firstFault(scenario.OxygenOff)
			low := s.sensed()[s.row(*f.ToS)]
			s.seen(oxygenLost, fmt.Sprintf("From %s on every opening is without answer and the openings grow longer; PO2 falls by use, on the ascent by pressure too, down to %.2f bar.", wording.Clock(f.FromS-s.tS[0]), low), valveShut, allLate, oneDrift)
			s.noCell()
			s.when("From the first opening without an answer, before the ascent.", s.minutes(f.FromS, 2.5))
			s.number("low", "What was the lowest true PO2 before oxygen came back?", "bar", round(low, 0.01), 0.07, "All cells show it; they agree.")
			v := gas.STPDToLoop(s.uptake(*f.ToS), s.Spec.Loop.TempC) * 60
			left := (low - 0.16) * s.Spec.Loop.VolumeL / ((1 - s.diluentO2()) * v)
			s.number("left", fmt.Sprintf("Had nothing been done then: about how many minutes until 0.16 bar, on the level with diluent holding the volume? (Use %.2f L/min, loop %.1f L, diluent %s.)", s.uptake(*f.ToS), s.Spec.Loop.VolumeL, s.Spec.Diluent), "min", round(left, 0.1), math.Max(0.3, 0.35*left), fmt.Sprintf("(%.2f - 0.16) V/((1 - F_dil) VO2) = %.1f min.", low, left))
			s.sure(named, "No opening has an answer, and PO2 falls by what a diver uses, in all cells. Which part of the supply failed is not in the log.")
			s.next("Off the loop at once onto gas known to be breathable, as the training held says for falling PO2; look for the cause at the surface.", "Nobody diagnoses a supply in time with a PO2 that falls on the way up.",
				no("Finish the ascent first: PO2 comes back when the set point changes.", "A lower set point puts no oxygen in the loop, and every metre up takes some away."),
				no("Wait for the next opening.", "The openings are commanded and give nothing."),
				no("Descend until PO2 is right.", "Pressure brings it up for the moment, and use goes on; it is no cure."))
			s.talk("How much of the fall during the ascent was pressure, and how much use?", "Pressure takes its ratio; the rest is use. Compute both and compare with the record.")
		},
	}
}

func tooMuch() Lesson {
	return Lesson{
		Name: "too-much", Title: "A controller that overshoots", Minutes: 20,
		Line:    "after a change of set point more oxygen goes in than is needed",
		Goals:   []string{"Measure an overshoot.", "See delay as its cause.", "Keep it apart from the rise that a descent makes."},
		Physics: []Physics{addLaw, firstOrder, {"A controller that adds by the error it sees goes on adding while oxygen is on its way: delay times gain is what comes too much.", "", "METHODS 5; common practice"}},
		Look:    []string{"The change of set point on a level stretch.", "The last opening, and where PO2 goes after it.", "How long it takes to come down again: by use alone."},
		Wrong:   []string{"\"A valve leaks\": after the peak PO2 falls by use, as it should.", "\"The cells read high\": they agree, and the oxygen did go in.", "\"It was the descent\": depth was level."},
		Discuss: []string{"What would a slower or a smaller addition cost?", "Where would such an overshoot do harm?"},
		Unknown: []string{"Whether it is set so, or a valve passes more than it should.", "How it would look at another depth: a gain per second open does not depend on it, but 1 - x does."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"overshoot"},
		draw: func(d *draft) {
			high := pick(d, 1.15, 1.2)
			d.SetPoint.HighBar = pick(d, 0.75, 0.8)
			d.SetPoint.LowBar = 0.7
			at := d.onBottom(0.12, 0.35)
			d.SetPoint.Changes = []scenario.SetPointChange{{TimeS: at, Bar: high}}
			d.valves(1)
			d.Valves[0].FlowLMin = round(d.between(13, 16), 0.5)
			for k := range d.Cells {
				d.Cells[k].T90S = round(d.between(6.5, 8), 0.1)
			}
			d.Loop.InjectionLagS, d.Loop.VentilationBaseLMin, d.Loop.VentilationPerVO2 = 7, 8, 14
			d.Controller = scenario.Controller{Style: "variable", Vote: "leave-one-out", IntervalS: 4, BaseS: 0.6, SPerBar: round(d.between(100, 160), 5), MaxS: 3.6}
			d.Work = []scenario.Work{{FromS: 0, VO2LMin: round(d.between(0.8, 1.0), 0.05)}}
		},
		shows: func(d *Dive) error {
			if err := d.bearable(0.4, 1.65); err != nil {
				return err
			}
			return want(d.peak() >= 0.12, "it overshoots by %.2f bar", d.peak())
		},
		ask: func(s *sheet) {
			c := s.Spec.SetPoint.Changes[0]
			s.seen(overshoots, fmt.Sprintf("At %s the set point goes to %.2f bar on the level; PO2 passes it by %.2f bar and falls back by use over minutes.", wording.Clock(c.TimeS-s.tS[0]), c.Bar, s.peak()), valveLeaks, sawTooth, oneGain)
			s.noCell()
			s.when("After the change of set point on the bottom.", s.minutes(c.TimeS+30, 2))
			s.number("over", "By how much did PO2 pass the new set point?", "bar", round(s.peak(), 0.01), 0.06, "The highest PO2 after the change, less the set point.")
			s.sure(named, "A level stretch, a change of set point, openings, a peak past it in all cells, a fall by use: nothing else fits. Whether it is meant so is not in the log.")
			s.next("Have the addition of oxygen looked at by the equipment's own procedure: flow, settings, valve.", "An overshoot that depends on settings or flow is put right there.",
				no("Replace the cells: they read high after the change.", "They agree, and oxygen did go in."),
				no("Change set points only at the surface.", "That hides it, and an overshoot can come after any large error."),
				no("Nothing: it settles by itself.", "It does. Until then the diver has more than he asked for."))
			s.talk("What would happen with the same controller and slow cells?", "It would see the oxygen later still, and add more.")
		},
	}
}

// peak is how far the true PO2 passes the new set point within five minutes of its change.
func (d *Dive) peak() float64 {
	c, high := d.Spec.SetPoint.Changes[0], 0.0
	v := d.sensed()
	for i := d.row(c.TimeS); i < d.row(math.Min(c.TimeS+300, d.draft.upS)); i++ {
		high = math.Max(high, v[i]-c.Bar)
	}
	return high
}

func coarseAdding() Lesson {
	return Lesson{
		Name: "coarse-adding", Title: "Coarse injection", Minutes: 20,
		Line:    "each addition is large: a saw-tooth about the set point",
		Goals:   []string{"Read a saw-tooth: rise by an opening, fall by use.", "Compute what one opening adds.", "Judge its size against what a diver should bear."},
		Physics: []Physics{addLaw, burnLaw},
		Look:    []string{"The length and the interval of the openings.", "The rise after one of them.", "The swing on a level stretch, and its mean."},
		Wrong:   []string{"\"A cell jumps\": all cells show the teeth.", "\"A valve leaks\": between openings PO2 falls.", "\"The mean is at the set point, so all is well.\""},
		Discuss: []string{"Which swing is usual on your unit, and who says so?", "What does the swing do to the oxygen dose? (Little: compare.)"},
		Unknown: []string{"Whether the valve passes too much or the pulses are set long."},
		Caution: []string{agency, lakeNote},
		Expect:  []string{"oscillation"},
		draw: func(d *draft) {
			d.valves(1)
			d.Valves[0].FlowLMin = round(d.between(12, 15), 0.5)
			d.SetPoint.HighBar = pick(d, 1.1, 1.15, 1.2)
			d.Controller = scenario.Controller{Style: "fixed", Vote: "leave-one-out", IntervalS: 45, PulseS: round(d.between(8, 10.5), 0.2), DeadbandBar: 0.06, Turns: "alternate"}
			d.Work = []scenario.Work{{FromS: 0, VO2LMin: round(d.between(0.95, 1.15), 0.05)}}
		},
		shows: func(d *Dive) error {
			if err := d.bearable(0.35, 1.65); err != nil {
				return err
			}
			s := d.swing()
			return want(s >= 0.15 && s <= 0.5, "PO2 swings by %.2f bar", s)
		},
		ask: func(s *sheet) {
			s.seen(sawTooth, fmt.Sprintf("On the level PO2 swings by %.2f bar: up within half a minute of each long opening, down by use over minutes, in all cells.", s.swing()), oneJumps, valveLeaks, overshoots)
			s.noCell()
			s.when("From the first additions at the high set point on.", fromStart(), s.minutes(s.draft.downS*0.8, s.draft.downS/60*0.8+4))
			s.number("swing", "How far does PO2 swing, lowest to highest, over the last five minutes on the bottom?", "bar", round(s.swing(), 0.01), 0.08, "Read off the record on the level, between teeth.")
			x := s.Spec.SetPoint.HighBar / s.ambient(s.draft.upS-60)
			one := (1 - x) * gas.STPDToLoop(s.Spec.Valves[0].FlowLMin, s.Spec.Loop.TempC) * s.Spec.Controller.PulseS / s.Spec.Loop.VolumeL
			s.number("one", fmt.Sprintf("What should one opening of %.1f s add on the bottom? (Flow %.1f L/min, loop %.1f L.)", s.Spec.Controller.PulseS, s.Spec.Valves[0].FlowLMin, s.Spec.Loop.VolumeL), "bar", round(one, 0.01), 0.05, fmt.Sprintf("(1 - x) flow x time/V = %.2f bar, with x = PO2/P = %.2f.", one, x))
			s.sure(named, "Tooth after tooth, each with its opening, in all cells. Whether the pulses are set long or the valve passes too much, flow and log together must say.")
			s.next("Have flow and pulse length checked by the equipment's own procedure.", "Rise per second open against the stated flow tells which of the two it is.",
				no("Replace the cells: they are restless.", "They are in step with each other and with the openings."),
				no("Make the vote's tolerance wider.", "No cell differs from another."),
				no("Nothing: the mean is right.", "The mean is; the diver breathes the swing."))
			s.talk("What would halve the swing, and what would it cost?", "Half the pulse, twice as often. It costs openings, current and wear.")
		},
	}
}

// swing is how far the true PO2 moves over the last five minutes on the bottom.
func (d *Dive) swing() float64 { return d.span(d.sensed(), d.draft.upS-300, d.draft.upS-10) }
