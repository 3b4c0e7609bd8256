package bench

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/linearity"
)

func checkLevels(res linearity.Result) verdict {
	if len(res.Levels) < 3 {
		return notAssessed(fmt.Sprintf("%d of the three levels that a straight line needs", len(res.Levels)))
	}
	return ok(fmt.Sprintf("%d levels", len(res.Levels)))
}

func checkPotGas(r *CellReport) verdict {
	for _, a := range r.Assumptions {
		if a.ID == "supply-o2" || a.ID == "start-o2" {
			return verdict{analysis.Borderline, "the fraction rests on what was assumed: see the assumptions", nil}
		}
	}
	return ok(r.Test.FractionFrom)
}

func checkTemperature(r *CellReport) verdict {
	span := float64(r.Test.TempMaxC - r.Test.TempMinC)
	switch {
	case math.IsNaN(span):
		return notAssessed("no temperature is recorded")
	case span <= 3:
		return ok("it moved by " + num(span, 1) + " K")
	}
	return found(analysis.Found, "it moved by "+num(span, 1)+" K", analysis.Finding{Kind: "bench-temperature", Severity: analysis.Note, Confidence: analysis.Likely,
		WhySure: "one sensor", Observed: "The temperature went from " + num(float64(r.Test.TempMinC), 1) + " to " + num(float64(r.Test.TempMaxC), 1) + " C.",
		Onset: value(math.NaN(), ""), Worst: value(span, "K"), End: value(math.NaN(), ""), Limit: value(3, "K"), LimitSource: "ours"})
}

// checkLine looks at every level of the way up.
func checkLine(c Cell, x linearity.Cell, p linearity.Params) verdict {
	if x.LineReason != "" {
		return notAssessed(x.LineReason)
	}
	worst, open, n := -1, 0, 0
	for i, pt := range x.Points {
		switch pt.State {
		case linearity.Beyond:
			if n++; worst < 0 || math.Abs(pt.Depart.Value) > math.Abs(x.Points[worst].Depart.Value) {
				worst = i
			}
		case linearity.Open:
			open++
		}
	}
	if worst < 0 && open == 0 {
		return ok("every settled level is within the limit")
	}
	if worst < 0 {
		return verdict{analysis.Borderline, fmt.Sprintf("at %d levels the interval holds the limit", open), nil}
	}
	pt := x.Points[worst]
	reason := fmt.Sprintf("at %d of %d levels beyond the limit, first at %s bar", n, len(x.Points), num(x.FirstOffBar, 2))
	if !math.IsNaN(x.Ceiling.Value) {
		return verdict{analysis.Found, reason, nil} // one event is one finding: the ceiling tells it
	}
	return found(analysis.Found, reason, analysis.Finding{Kind: "bench-departs", Severity: analysis.Warning, Confidence: confidence(n > 1, c), WhySure: whySure(n > 1),
		Observed: fmt.Sprintf("The reading departs from the cell's own line by %s bar [%s to %s] at level %d.", num(pt.Depart.Value, 3), num(pt.Depart.Low, 3), num(pt.Depart.High, 3), pt.Level+1),
		Onset:    value(x.FirstOffBar, "bar"), Worst: value(pt.Depart.Value, "bar"), End: value(math.NaN(), ""), Limit: value(pt.LimitBar, "bar"),
		LimitSource: fmt.Sprintf("%s of the PO2 and %s bar: stated limit", percent(p.DepartureFraction), num(p.DepartureBar, 2)),
		Evidence:    lineEvidence(c)})
}

func percent(v float64) string { return num(100*v, 1) + " %" }

// confidence: sure needs a second line of evidence.
func confidence(second bool, c Cell) analysis.Confidence {
	if second && c.LineLevels >= 3 {
		return analysis.Sure
	}
	return analysis.Likely
}

func whySure(second bool) string {
	if second {
		return "more than one level says so, with intervals that hold the errors of pressure, gas and reading"
	}
	return "one level says so"
}

func lineEvidence(c Cell) []string {
	return []string{fmt.Sprintf("line through %d levels: slope %s %s per bar, offset %s bar", c.LineLevels, num(slopeOf(c), 2), c.RawUnit, num(float64(c.OffsetBar.Value), 3))}
}

func slopeOf(c Cell) float64 {
	if c.MVPerBar.Value.Known() {
		return float64(c.MVPerBar.Value)
	}
	return float64(c.Gain.Value)
}

func checkCeiling(c Cell, x linearity.Cell, p linearity.Params) verdict {
	switch {
	case x.LineReason != "":
		return notAssessed(x.LineReason)
	case math.IsNaN(x.Ceiling.Value):
		return ok("none up to the highest level")
	}
	n := 0
	for _, pt := range x.Points {
		if pt.State == linearity.Beyond {
			n++
		}
	}
	e := x.Ceiling
	return found(analysis.Found, "the reading stops at "+num(e.Value, 2)+" bar", analysis.Finding{Kind: "bench-ceiling", Severity: analysis.Warning,
		Confidence: confidence(n > 1, c), WhySure: whySure(n > 1),
		Observed: fmt.Sprintf("The reading stops rising at %s bar [%s to %s] while PO2 goes on to %s bar.", num(e.Value, 2), num(e.Low, 2), num(e.High, 2), num(highest(c), 2)),
		Onset:    value(x.FirstOffBar, "bar"), Worst: value(e.Value, "bar"), End: value(math.NaN(), ""), Limit: value(p.GoalBar, "bar"),
		LimitSource: "goal of the test; a ceiling at any PO2 is a finding", Evidence: lineEvidence(c)})
}

// highest is the highest PO2 by the line plus what was lost.
func highest(c Cell) float64 {
	m := math.NaN()
	for _, p := range c.Points {
		if v := float64(p.LineBar - p.Departure.Value); !(v <= m) && !math.IsNaN(v) {
			m = v
		}
	}
	return m
}

func checkGoal(c Cell, x linearity.Cell, p linearity.Params) verdict {
	switch {
	case x.LineReason != "":
		return notAssessed(x.LineReason)
	case x.FollowsToBar >= p.GoalBar-1e-6:
		return ok("shown up to " + num(x.FollowsToBar, 2) + " bar")
	case !math.IsNaN(x.Ceiling.Value): // told by the ceiling
		return verdict{analysis.Found, "it reads low above " + num(x.Ceiling.Value, 2) + " bar", nil}
	case x.FirstOffBar <= p.GoalBar:
		return verdict{analysis.Found, "it departs at " + num(x.FirstOffBar, 2) + " bar", nil} // told by linearity
	}
	reason := "shown only up to " + num(x.FollowsToBar, 2) + " bar, the goal is " + num(p.GoalBar, 2)
	return found(analysis.NotAssessed, reason, analysis.Finding{Kind: "bench-short", Severity: analysis.Note, Confidence: analysis.Sure, WhySure: "no level was higher, or its interval holds the limit",
		Observed: "The cell was " + reason + ".", Onset: value(math.NaN(), ""), Worst: value(x.FollowsToBar, "bar"), End: value(math.NaN(), ""), Limit: value(p.GoalBar, "bar"), LimitSource: "stated goal (common practice: 1.6)"})
}

// within judges a figure's interval against +-limit.
func against(e linearity.Estimate, limit float64) analysis.Outcome {
	switch {
	case e.Low > limit || e.High < -limit:
		return analysis.Found
	case e.High <= limit && e.Low >= -limit:
		return analysis.NotFound
	}
	return analysis.Borderline
}

func checkOffset(c Cell, x linearity.Cell, p linearity.Params) verdict {
	return checkFigure(x.OffsetBar, p.OffsetBar, x.LineReason, "bench-offset", "The line misses zero by", c)
}

func checkHysteresis(c Cell, x linearity.Cell, p linearity.Params) verdict {
	reason := x.LineReason
	if math.IsNaN(x.Hysteresis.Value) && reason == "" {
		reason = "no settled level on the way down"
	}
	return checkFigure(x.Hysteresis, p.HysteresisBar, reason, "bench-hysteresis", "On the way down the reading differs by", c)
}

func checkFigure(e linearity.Estimate, limit float64, reason, kind, says string, c Cell) verdict {
	if math.IsNaN(e.Value) {
		return notAssessed(reason)
	}
	text := num(e.Value, 3) + " bar [" + num(e.Low, 3) + " to " + num(e.High, 3) + "], limit " + num(limit, 3)
	switch o := against(e, limit); o {
	case analysis.Found:
		return found(o, text, analysis.Finding{Kind: kind, Severity: analysis.Caution, Confidence: analysis.Likely, WhySure: "one line of evidence", Observed: says + " " + text + ".",
			Onset: value(math.NaN(), ""), Worst: value(e.Value, "bar"), End: value(math.NaN(), ""), Limit: value(limit, "bar"), LimitSource: "stated limit (ours)", Evidence: lineEvidence(c)})
	default:
		return verdict{o, text, nil}
	}
}

func checkResponse(c Cell, x linearity.Cell, p linearity.Params) verdict {
	e := x.T90S
	if math.IsNaN(e.Value) {
		return notAssessed(x.T90Reason)
	}
	text := num(e.Value, 1) + " s [" + num(e.Low, 1) + " to " + num(e.High, 1) + "]"
	n := 0
	for _, s := range x.Steps {
		if s.Assessed {
			n++
		}
	}
	switch {
	case e.High <= p.T90S:
		return ok("T90 " + text)
	case e.Low <= p.T90S:
		return verdict{analysis.Borderline, "T90 " + text + " holds the limit", nil}
	}
	return found(analysis.Found, "T90 "+text, analysis.Finding{Kind: "bench-slow", Severity: analysis.Warning, Confidence: confidence(n > 1, c), WhySure: fmt.Sprintf("%d steps; the filling itself is taken out, mixing in the pot is not", n),
		Observed: "T90 is " + text + ".", Onset: value(math.NaN(), ""), Worst: value(e.Value, "s"), End: value(math.NaN(), ""), Limit: value(p.T90S, "s"), LimitSource: "common practice: new cells reach 90 % in 5 to 10 s"})
}
