package bench

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/tightness"
)

// loopCheck is one question put to a tightness test.
type loopCheck struct {
	id, title, looks string
	run              func(r *TightnessReport, x tightness.Result, p tightness.Params) verdict
}

func perLoop() []loopCheck {
	type (
		report = *TightnessReport
		result = tightness.Result
		params = tightness.Params
	)
	return []loopCheck{
		{"test-length", "Length", "a test shorter than it should be", func(_ report, x result, p params) verdict { return checkLength(x, p) }},
		{"gauge", "Gauge", "a pressure reading too coarse for the limit", func(_ report, x result, _ params) verdict { return checkGauge(x) }},
		{"test-temperature", "Temperature", "a temperature that is not recorded, or drifts", func(r report, x result, _ params) verdict { return checkDrift(r, x) }},
		{"small-change", "Small change", "a change of 10 % or more of the absolute pressure, beyond which the pressure-decay equation is not to be used", func(_ report, x result, _ params) verdict { return checkRatio(x) }},
		{"disturbance", "Disturbances", "jumps of pressure", func(_ report, x result, _ params) verdict { return checkJumps(x) }},
		{"relief", "Relief valve", "a relief valve that closed, or that may have held the pressure", func(_ report, x result, _ params) verdict { return checkRelief(x) }},
		{"inflow", "Inflow", "pressure that moves away from ambient", func(r report, x result, _ params) verdict { return checkInflow(r, x) }},
		{"tightness", "Tightness", "a rate above the limit", checkTightness},
	}
}

// tightnessChecks runs the checks; the verdict itself comes last, since what the
// others found bears on it.
func tightnessChecks(r *TightnessReport, x tightness.Result, in tightness.Input, p tightness.Params) {
	var fs []analysis.Finding
	share := x.JudgedS / math.Max(float64(r.Test.DurationS), 1)
	for _, c := range perLoop() {
		v := c.run(r, x, p)
		r.Checks = append(r.Checks, analysis.Check{ID: c.id, Version: 1, Title: c.title, Looks: c.looks, Outcome: v.outcome, Reason: v.reason, AssessableFraction: f(share)})
		if v.finding != nil {
			v.finding.Check = c.id
			v.finding.FromS, v.finding.ToS = f(x.FromS), f(x.ToS)
			fs = append(fs, *v.finding)
		}
	}
	r.Findings = complete(fs)
	r.Assessable = assessable(r.Checks, share)
}

func checkLength(x tightness.Result, p tightness.Params) verdict {
	switch {
	case x.Reason != "":
		return notAssessed(x.Reason)
	case x.JudgedS < p.TestS-1:
		return verdict{analysis.Borderline, fmt.Sprintf("%s s could be judged; %s s are common practice", num(x.JudgedS, 0), num(p.TestS, 0)), nil}
	}
	return ok(num(x.JudgedS, 0) + " s were judged")
}

func checkGauge(x tightness.Result) verdict {
	switch {
	case x.Reason != "":
		return notAssessed(x.Reason)
	case !x.FitsResolution:
		return verdict{analysis.Borderline, fmt.Sprintf("the gauge shows %s mbar, which is more than a tenth of the %s mbar that the limit allows over the judged time", num(x.Resolution, 2), num(x.LimitTotal, 2)), nil}
	}
	return ok(fmt.Sprintf("%s mbar against %s mbar that the limit allows over the judged time", num(x.Resolution, 2), num(x.LimitTotal, 2)))
}

func checkDrift(r *TightnessReport, x tightness.Result) verdict {
	switch {
	case !r.Test.Temp:
		return notAssessed("no temperature is recorded; 1 K is some 3.5 mbar")
	case x.Reason != "":
		return notAssessed(x.Reason)
	case !x.TempKnown:
		return notAssessed("the temperature covers too little of the judged time")
	}
	return ok(fmt.Sprintf("%s K/min [%s to %s], taken off the rate", num(x.TempKMin.Value, 2), num(x.TempKMin.Low, 2), num(x.TempKMin.High, 2)))
}

func checkRatio(x tightness.Result) verdict {
	switch {
	case math.IsNaN(x.Ratio):
		return notAssessed(x.Reason)
	case x.Ratio >= 0.1:
		return verdict{analysis.Borderline, "the pressure changed by " + percent(x.Ratio), nil}
	}
	return ok("it changed by " + percent(x.Ratio))
}

func plain(v float64, unit string) analysis.Value { return value(v, unit) }

func checkJumps(x tightness.Result) verdict {
	if math.IsNaN(x.Noise) {
		return notAssessed(x.Reason)
	}
	if len(x.Jumps) == 0 {
		return ok("none that the events don't explain")
	}
	text := "one jump, at " + num(x.Jumps[0], 0) + " s"
	if n := len(x.Jumps); n > 1 {
		text = fmt.Sprintf("%d jumps, the first at %s s", n, num(x.Jumps[0], 0))
	}
	v := found(analysis.Found, text, analysis.Finding{Kind: "test-disturbed", Severity: analysis.Note, Confidence: analysis.Likely, WhySure: "one pressure reading",
		Observed: "The pressure jumps: " + text + ". No rate was drawn across a jump.", Onset: plain(math.NaN(), ""), Worst: plain(math.NaN(), ""), End: plain(math.NaN(), ""), Limit: plain(math.NaN(), "")})
	return v
}

func checkRelief(x tightness.Result) verdict {
	switch {
	case math.IsNaN(x.Noise):
		return notAssessed(x.Reason)
	case x.Pinned:
		return found(analysis.Borderline, "the pressure stands where it was held while gas still went in", analysis.Finding{Kind: "relief-held", Severity: analysis.Caution, Confidence: analysis.Possible,
			WhySure: "a level start is all that speaks for it", Observed: "Before the loop was closed the pressure stood at the value at which the test began, while gas still went in.",
			Onset: plain(math.NaN(), ""), Worst: plain(x.StartMbar, "mbar"), End: plain(math.NaN(), ""), Limit: plain(math.NaN(), ""), LimitSource: ""})
	case !math.IsNaN(x.ReliefMbar):
		return verdict{analysis.Borderline, "a fast fall that ended at " + num(x.ReliefMbar, 1) + " mbar was taken for a relief valve closing and left out", nil}
	}
	return ok("no fast fall that ended at once")
}

func checkInflow(r *TightnessReport, x tightness.Result) verdict {
	e := x.RateMbarMin
	switch {
	case x.Reason != "":
		return notAssessed(x.Reason)
	case e.High < -0.05:
		return found(analysis.Found, "the pressure moves away from ambient", analysis.Finding{Kind: "loop-inflow", Severity: analysis.Warning, Confidence: confidenceOf(r, x), WhySure: whyTight(r, x),
			Observed: "The pressure difference grows by " + num(-e.Value, 2) + " mbar/min [" + num(-e.High, 2) + " to " + num(-e.Low, 2) + "], temperature taken off.",
			Onset:    plain(x.StartMbar, "mbar"), Worst: plain(-e.Value, "mbar/min"), End: plain(x.EndMbar, "mbar"), Limit: plain(0, "mbar/min"), LimitSource: "a closed loop makes no gas"})
	}
	return ok("none that the interval shows")
}

// confidenceOf: a verdict without a temperature, or with time left out for a
// jump, is at most likely.
func confidenceOf(r *TightnessReport, x tightness.Result) analysis.Confidence {
	switch {
	case x.State == tightness.OpenLimit || x.Pinned:
		return analysis.Possible
	case !x.TempKnown || len(x.Jumps) > 0 || !x.FitsResolution:
		return analysis.Likely
	}
	return analysis.Sure
}

func whyTight(r *TightnessReport, x tightness.Result) string {
	s := "the interval holds rounding, serial noise and temperature"
	if !x.TempKnown {
		s = "no temperature was recorded: its drift is only bounded"
	}
	if len(x.Jumps) > 0 {
		s += "; the test was disturbed"
	}
	if x.Pinned {
		s += "; a relief valve may have held the pressure"
	}
	return s
}

// checkTightness is the verdict.
func checkTightness(r *TightnessReport, x tightness.Result, p tightness.Params) verdict {
	res := &r.Result
	if x.Reason != "" {
		res.Outcome, res.Verdict = analysis.NotAssessed, "Not assessed: "+x.Reason+"."
		return notAssessed(x.Reason)
	}
	e := x.RateMbarMin
	figure := fmt.Sprintf("%s mbar/min [%s to %s] against a limit of %s", num(e.Value, 2), num(e.Low, 2), num(e.High, 2), num(p.LimitMbarMin, 2))
	res.Confidence = confidenceOf(r, x)
	finding := analysis.Finding{Severity: analysis.Warning, Confidence: res.Confidence, WhySure: whyTight(r, x), Onset: plain(x.StartMbar, "mbar"), Worst: plain(e.Value, "mbar/min"),
		End: plain(x.EndMbar, "mbar"), Limit: plain(p.LimitMbarMin, "mbar/min"), LimitSource: res.LimitFrom, Kind: "loop-leak", Observed: "The " + r.Test.Kind + " pressure difference falls by " + figure + "."}
	if l := res.LeakLMin; l.Value.Known() {
		finding.Evidence = []string{fmt.Sprintf("as a flow %s L/min [%s to %s] at the loop's pressure", num(float64(l.Value), 3), num(float64(l.Low), 3), num(float64(l.High), 3))}
	}
	certain := ""
	if !math.IsNaN(x.CertainAfterS) {
		certain = fmt.Sprintf(" That was already certain after %s s.", num(x.CertainAfterS, 0))
	}
	switch x.State {
	case tightness.BelowLimit:
		if e.High < -0.05 {
			res.Outcome, res.Verdict = analysis.Borderline, "The pressure moves away from ambient: gas came in, so that nothing is known of a leak. "+figure+"."
			return verdict{analysis.Borderline, "gas came in, which hides a leak", nil}
		}
		res.Outcome, res.Verdict = analysis.NotFound, "Below the limit: "+figure+"."+certain
		if x.Pinned {
			res.Outcome, res.Verdict = analysis.Borderline, "Below the limit: "+figure+", but a relief valve may have held the pressure."
		}
		return verdict{res.Outcome, figure, nil}
	case tightness.AboveLimit:
		res.Outcome, res.Verdict = analysis.Found, "Above the limit: "+figure+"."+certain
		return found(analysis.Found, figure, finding)
	}
	res.Outcome, res.Verdict = analysis.Borderline, "Can't be told from the limit: "+figure+"."
	finding.Kind, finding.Severity, finding.Observed = "loop-borderline", analysis.Caution, "The rate can't be told from the limit: "+figure+"."
	return found(analysis.Borderline, figure, finding)
}
