package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
	"afterloop/analysis/supply"
	"afterloop/analysis/wording"
)

// checkOxygenBalance sets what left the oxygen cylinder beside what the valves and
// recorded additions gave. It names no cause: only candidates, and those only
// where the intervals exclude agreement.
func checkOxygenBalance(b *bench) verdict {
	x := b.supply.Balance
	other, name, v := x.Given, "the valves and recorded additions gave", x.CylinderAndGiven
	if !x.Given.Known() {
		other, name, v = x.Use, "the diver and the loop explain", x.CylinderAndUse
	}
	switch {
	case !x.Cylinder.Known():
		return notAssessed(x.Cylinder.Reason + b.fractionOfBar())
	case v == supply.CantTell:
		return notAssessed(fmt.Sprintf("can't tell: %s left the cylinder, %s %s, and the intervals are too wide to agree or to exclude each other", litres(x.Cylinder), name, litres(other)))
	}
	out := ran(b.usable(func(i int) bool { return b.tS[i] >= x.FromS && b.tS[i] <= x.ToS }))
	if v == supply.Agree {
		if supply.Compare(x.Cylinder, x.Valves, b.p.Supply.CantTellShare) == supply.Apart && x.FailedS > 0 {
			out.reason = fmt.Sprintf("agrees once %s of openings are left out that are judged to have given nothing; with them it would not", duration(x.FailedS))
		}
		return out
	}
	out.outcome, out.findings = Found, []Finding{b.oxygenUnbalanced(other, name)}
	return out
}

// cylinderWitness is what the cylinder says of openings that are judged to have
// given nothing: only where it excludes that they gave, and agrees without them.
func (b *bench) cylinderWitness(kind loop.ValveFaultKind) []string {
	x := b.supply.Balance
	if kind == loop.LeakingValve || x.FailedS == 0 || x.CylinderAndGiven != supply.Agree || supply.Compare(x.Cylinder, x.Valves, b.p.Supply.CantTellShare) != supply.Apart {
		return nil
	}
	return []string{fmt.Sprintf("the oxygen cylinder lost %s: with all openings it should have lost %s, without those judged to have given nothing %s", litres(x.Cylinder), litres(x.Valves), litres(x.Given))}
}

// fractionOfBar says what is left where litres are not known.
func (b *bench) fractionOfBar() string {
	if u := b.supply.Oxygen.UsedBar; b.supply.Oxygen.Reason == "" && u.Known() {
		return fmt.Sprintf(": only that it lost %.0f bar (%.0f to %.0f), not how much oxygen that was", u.Value, u.Low, u.High)
	}
	return ""
}

func litres(r supply.Range) string {
	if !r.Known() {
		return "an unknown amount"
	}
	return fmt.Sprintf("%.0f L (%.0f to %.0f)", r.Value, r.Low, r.High)
}

func (b *bench) oxygenUnbalanced(other supply.Range, name string) Finding {
	x := b.supply.Balance
	word := "more"
	if x.Cylinder.Value < other.Value {
		word = "less"
	}
	conf, why := Likely, "the intervals of two accounts exclude each other"
	if !x.TempKnown {
		conf, why = Possible, why+", but the cylinder's temperature rests on an assumption"
	}
	f := Finding{Kind: "oxygen-balance", Severity: Caution, Confidence: conf, WhySure: why, FromS: Float(x.FromS), ToS: Float(x.ToS),
		Observed: fmt.Sprintf("By its pressure %s left the oxygen cylinder between %s and %s, %s than %s: %s.", litres(x.Cylinder), b.clock(x.FromS), b.clock(x.ToS), word, name, litres(other)),
		Onset:    Value{Float(x.Start.Bar), "bar", Float(x.FromS)}, Worst: constant(x.Cylinder.Value-other.Value, "L"),
		End:   Value{Float(x.End.Bar), "bar", Float(x.ToS)},
		Limit: constant(0, "L beyond both intervals"), LimitSource: "ours: the 95 % intervals of the two accounts must exclude each other",
		Others: "what the diver and the loop can have taken: " + litres(x.Use) + ", by " + x.UseBasis, Alternatives: x.Candidates}
	f.Evidence = append(f.Evidence, fmt.Sprintf("cylinder against valves and additions: %s", sayVerdict(x.CylinderAndGiven)), fmt.Sprintf("cylinder against use: %s", sayVerdict(x.CylinderAndUse)))
	if x.UseRestsOnStatedFlow {
		f.Evidence = append(f.Evidence, "use was reckoned from the stated flow, so it can't tell cylinder and valves apart")
	}
	if x.FailedS > 0 {
		f.Evidence = append(f.Evidence, fmt.Sprintf("%s of openings are left out that are judged to have given nothing; with them the valves would have given %s", duration(x.FailedS), litres(x.Valves)))
	}
	return f
}

func sayVerdict(v supply.Verdict) string {
	return map[supply.Verdict]string{supply.Agree: "they agree", supply.Apart: "they lie apart", supply.CantTell: "can't tell"}[v]
}

// checkDiluentFalls looks for diluent that was lost while nothing should have taken it.
func checkDiluentFalls(b *bench) verdict {
	l := b.supply.Level
	if l.Reason != "" {
		return notAssessed(l.Reason)
	}
	fraction := l.Seconds / math.Max(1, b.tS[len(b.tS)-1]-b.tS[0])
	if !l.RateBarH.Known() {
		return notAssessed(l.RateBarH.Reason)
	}
	if !l.Falls {
		return ran(fraction)
	}
	p := b.p.Supply
	conf, why := Likely, "the gauge alone, over "+fmt.Sprint(l.Stretches)+" "+plural(l.Stretches, "stretch", "stretches")
	return ran(fraction, Finding{Kind: "diluent-falls", Severity: Caution, Confidence: conf, WhySure: why, FromS: Float(l.WorstFromS), ToS: Float(l.WorstToS),
		Observed: fmt.Sprintf("The diluent cylinder lost %.0f bar (%.0f to %.0f) in %s at one depth on the loop, without a recorded flush or addition: %.0f bar/h (95 %%: %.0f to %.0f). Cooling explains at most %.1f bar.",
			l.FallBar.Value, l.FallBar.Low, l.FallBar.High, duration(l.Seconds), l.RateBarH.Value, l.RateBarH.Low, l.RateBarH.High, l.AllowedBar),
		Onset: noValue("bar"), Worst: constant(l.RateBarH.Value, "bar/h"), End: noValue("bar"),
		Limit: constant(p.DiluentFallBarH, "bar/h"), LimitSource: fmt.Sprintf("ours: with the whole interval, and by %g bar beyond gauge and cooling", p.DiluentFallBar),
		Others: "most was lost in the stretch shown: " + fmt.Sprintf("%.0f bar", l.WorstBar)})
}

// checkBatteryLow looks for a voltage below the limit that was given. There is no
// limit that holds for every battery.
func checkBatteryLow(b *bench) verdict {
	if len(b.supply.Batteries) == 0 {
		return notAssessed("no battery voltage was recorded")
	}
	if !(b.p.Supply.BatteryMinV > 0) {
		return notAssessed("no limit was given: it stands in the equipment's own manual (--battery-min)")
	}
	var fs []Finding
	for _, x := range b.supply.Batteries {
		if !(x.BelowS > 0) {
			continue
		}
		fs = append(fs, Finding{Kind: "battery-low", Severity: Caution, Confidence: Likely, WhySure: "the recorded voltage", FromS: Float(x.LowFromS), ToS: Float(b.tS[len(b.tS)-1]),
			Observed: fmt.Sprintf("Battery %d was below %.2f V for %s in all, first at %s; lowest %.2f V at %s.", x.Number, b.p.Supply.BatteryMinV, duration(x.BelowS), b.clock(x.LowFromS), x.MinV, b.clock(x.MinAtS)), Evidence: b.besideBattery(x),
			Onset: constant(x.StartV, "V"), Worst: Value{Float(x.MinV), "V", Float(x.MinAtS)}, End: constant(x.EndV, "V"),
			Limit: constant(b.p.Supply.BatteryMinV, "V"), LimitSource: "given with --battery-min; it belongs to the equipment's own manual", Others: b.otherBatteries(x.Number)})
	}
	return ran(b.usable(func(i int) bool { return b.hasVoltage(i) }), fs...)
}

// checkBatterySag judges each battery against itself: a sag that grows, steps down
// that stay, readings lost right after an opening.
func checkBatterySag(b *bench) verdict {
	if len(b.supply.Batteries) == 0 {
		return notAssessed("no battery voltage was recorded")
	}
	var fs []Finding
	reason, judged := "", false
	for _, x := range b.supply.Batteries {
		if x.SagReason != "" {
			reason = fmt.Sprintf("battery %d: %s", x.Number, x.SagReason)
		}
		judged = judged || x.SagReason == "" || len(x.Drops) > 0
		if x.Grows || len(x.Drops) > 0 || b.brownOut(x) {
			fs = append(fs, b.batterySag(x))
		}
	}
	if !judged {
		return notAssessed(reason)
	}
	v := ran(b.usable(func(i int) bool { return b.hasVoltage(i) }), fs...)
	v.reason = reason
	return v
}

// brownOut tells whether more readings were lost right after openings than chance explains.
func (b *bench) brownOut(x supply.Battery) bool {
	return len(x.Lost) > 0 && x.LossChance < b.p.Supply.BrownOutChance
}

func (b *bench) batterySag(x supply.Battery) Finding {
	from, to := b.tS[0], b.tS[len(b.tS)-1]
	what := ""
	var evidence []string
	lines := 0
	if x.Grows {
		lines++
		what = fmt.Sprintf(" Its sag while a valve is open grew by %.2f V/h (95 %%: %.2f to %.2f).", x.SagPerH.Value, x.SagPerH.Low, x.SagPerH.High)
		evidence = append(evidence, fmt.Sprintf("%d openings: median sag %.2f V, worst %.2f V at %s", x.Sags, x.SagMedianV, x.SagWorstV, b.clock(x.SagWorstAtS)))
	}
	if len(x.Drops) > 0 {
		lines++
		d := x.Drops[0]
		from = d.AtS
		what += fmt.Sprintf(" It stepped down from %.2f to %.2f V at %s and stayed there.", d.FromV, d.ToV, b.clock(d.AtS))
		evidence = append(evidence, fmt.Sprintf("%d %s down that stayed", len(x.Drops), plural(len(x.Drops), "step", "steps")))
	}
	evidence = append(evidence, b.besideBattery(x)...)
	if b.brownOut(x) {
		lines++
		if lines == 1 {
			from = x.Lost[0].AtS
		}
		what += fmt.Sprintf(" Readings were lost right after an opening %d %s, first at %s.", len(x.Lost), plural(len(x.Lost), "time", "times"), b.clock(x.Lost[0].AtS))
		evidence = append(evidence, fmt.Sprintf("%d of %d losses fell right after an opening (by chance: %.1g); the sag before the first was %.2f V, the median %.2f V", len(x.Lost), x.LostInAll, x.LossChance, x.Lost[0].SagV, x.SagMedianV))
	}
	f := Finding{Kind: "battery-sag", Severity: Caution, Confidence: Likely, WhySure: "one line of evidence: the battery against itself", FromS: Float(from), ToS: Float(to),
		Observed: fmt.Sprintf("Battery %d:%s", x.Number, what), Onset: constant(x.StartV, "V"), Worst: Value{Float(x.MinV), "V", Float(x.MinAtS)}, End: constant(x.EndV, "V"),
		Limit: constant(b.p.Supply.SagGrowth, "of the median sag, as growth"), LimitSource: fmt.Sprintf("ours, relative to the battery's own course; steps from %g %% on; a limit of voltage stands in the equipment's own manual", 100*b.p.Supply.StepShare), Others: b.otherBatteries(x.Number), Evidence: evidence}
	if lines == 1 && !x.Grows && len(x.Drops) == 0 { // a loss after an opening may be chance
		f.Confidence, f.WhySure = Possible, "losses of readings may have another cause that openings share"
	}
	return f
}

func (b *bench) hasVoltage(i int) bool {
	for _, x := range b.dive.BatteryV {
		if !math.IsNaN(x.Values[i]) {
			return true
		}
	}
	return false
}

// otherBatteries says how the others did.
func (b *bench) otherBatteries(number int) string {
	var w []string
	for _, x := range b.supply.Batteries {
		if x.Number != number && x.Reason == "" {
			w = append(w, fmt.Sprintf("battery %d went from %.2f to %.2f V, lowest %.2f V", x.Number, x.StartV, x.EndV, x.MinV))
		}
	}
	if len(w) == 0 {
		return "no other battery was recorded"
	}
	return wording.And(w)
}
