package bench

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/linearity"
	"afterloop/ingest/benchlog"
)

// cellCheck is one question put to every cell.
type cellCheck struct {
	id, title, looks string
	run              func(c Cell, x linearity.Cell, p linearity.Params) verdict
}

func perCell() []cellCheck {
	return []cellCheck{
		{"linearity", "Linearity", "a departure from the straight line beyond the limit at any level on the way up", checkLine},
		{"ceiling", "Ceiling", "a reading that stops rising", checkCeiling},
		{"goal", "Shown to follow up to the goal", "a test or a cell that ends below the goal", checkGoal},
		{"offset", "Offset", "a line that misses zero", checkOffset},
		{"hysteresis", "Hysteresis", "another reading at the same PO2 on the way down", checkHysteresis},
		{"response", "Response", "a T90 above the limit", checkResponse},
	}
}

// cellChecks runs everything and gives each cell its verdict.
func cellChecks(r *CellReport, t *benchlog.CellTest, res linearity.Result, p linearity.Params) {
	var fs []analysis.Finding
	add := func(id, title, looks string, v verdict, fraction float64) {
		r.Checks = append(r.Checks, analysis.Check{ID: id, Version: 1, Title: title, Looks: looks, Outcome: v.outcome, Reason: v.reason, AssessableFraction: f(fraction)})
		if v.finding != nil {
			v.finding.Check = id
			fs = append(fs, *v.finding)
		}
	}
	levelS := 0.0
	for _, l := range res.Levels {
		levelS += t.TimeS[l.To] - t.TimeS[l.From]
	}
	share := levelS / math.Max(float64(r.Test.DurationS), 1)
	add("levels", "Levels", "too few stretches at which the pressure stood", checkLevels(res), share)
	add("pot-gas", "Gas in the pot", "an oxygen fraction that is only assumed", checkPotGas(r), 1)
	add("temperature", "Temperature", "a change of more than 3 K during the test", checkTemperature(r), 1)
	worst := make([]verdict, len(r.Cells))
	for _, c := range perCell() {
		all := verdict{outcome: analysis.DoesNotApply}
		for k := range r.Cells {
			v := c.run(r.Cells[k], res.Cells[k], p)
			if v.finding != nil {
				weigh(v.finding, res.Cells, k)
				n := r.Cells[k].Cell
				v.finding.Cell, v.finding.Cells, v.finding.Check = &n, []int{n}, c.id
				fs = append(fs, *v.finding)
				v.finding = nil
			}
			if grave[v.outcome] > grave[all.outcome] {
				all.outcome = v.outcome
			}
			if v.outcome != analysis.NotFound {
				all.reason += fmt.Sprintf("cell %d: %s; ", r.Cells[k].Cell, v.reason)
			}
			if c.id != "hysteresis" && grave[v.outcome] > grave[worst[k].outcome] || worst[k].outcome == "" {
				worst[k] = v
			}
		}
		if all.reason != "" {
			all.reason = all.reason[:len(all.reason)-2]
		}
		add(c.id, c.title, c.looks, all, share)
	}
	for k := range r.Cells {
		r.Cells[k].Outcome, r.Cells[k].Verdict = worst[k].outcome, sentence(r.Cells[k], worst[k])
	}
	r.Findings = complete(fs)
	r.Assessable = assessable(r.Checks, share)
}

// weigh compares a finding with the other cells in the same pot. The pot itself
// (gas that is not what was stated, slow mixing) makes all cells look alike bad:
// only another cell that did well speaks against it.
func weigh(x *analysis.Finding, cells []linearity.Cell, k int) {
	well := 0
	for i := range cells {
		if i != k && didWell(x.Kind, cells[i], cells[k]) {
			well++
		}
	}
	switch {
	case x.Kind != "bench-slow" && x.Kind != "bench-departs" && x.Kind != "bench-ceiling":
	case well > 0:
		x.Others = fmt.Sprintf("%d of %d other cells in the same pot did well", well, len(cells)-1)
	case len(cells) == 1:
		x.Others = "no other cell was in the pot"
		x.WhySure += "; no other cell in the pot speaks against the pot itself"
		x.Confidence = weaker(x.Confidence, x.Kind != "bench-ceiling")
	default:
		x.Others = "no other cell in the same pot did better"
		x.WhySure += "; all cells look alike, which the pot itself would explain"
		x.Confidence = weaker(x.Confidence, x.Kind != "bench-ceiling")
	}
}

// didWell tells whether the other cell was right where this one was not.
func didWell(kind string, other, this linearity.Cell) bool {
	if kind == "bench-slow" {
		return other.T90S.High < this.T90S.Low
	}
	return other.FollowsToBar >= this.FirstOffBar-1e-6
}

// weaker is a confidence without a witness: possible, or likely where the kind
// itself rules the pot out in part (a reading that stops is no wrong gas).
func weaker(c analysis.Confidence, possible bool) analysis.Confidence {
	if possible {
		return analysis.Possible
	}
	if c == analysis.Sure {
		return analysis.Likely
	}
	return c
}

// sentence is a cell's verdict in words.
func sentence(c Cell, worst verdict) string {
	shown := "it was not shown to follow at any level"
	if c.FollowsToBar.Known() {
		shown = "shown to follow up to " + num(float64(c.FollowsToBar), 2) + " bar"
	}
	if worst.outcome == analysis.NotFound {
		return "within all limits; " + shown
	}
	return worst.reason + "; " + shown
}

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
