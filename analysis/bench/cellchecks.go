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

// testCheck is one question put to a test as a whole.
type testCheck struct {
	id, title, looks string
	run              func(r *CellReport, res linearity.Result) verdict
}

func wholeTest() []testCheck {
	return []testCheck{
		{"levels", "Levels", "too few stretches at which the pressure stood", func(_ *CellReport, res linearity.Result) verdict { return checkLevels(res) }},
		{"pot-gas", "Gas in the pot", "an oxygen fraction that is only assumed", func(r *CellReport, _ linearity.Result) verdict { return checkPotGas(r) }},
		{"temperature", "Temperature", "a change of more than 3 K during the test", func(r *CellReport, _ linearity.Result) verdict { return checkTemperature(r) }},
	}
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
	for i, c := range wholeTest() {
		fraction := 1.0
		if i == 0 { // levels are sought in the time that they cover
			fraction = share
		}
		add(c.id, c.title, c.looks, c.run(r, res), fraction)
	}
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
		x.Others = fmt.Sprintf("%d of %d other cells in the same pot did not do so", well, len(cells)-1)
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
