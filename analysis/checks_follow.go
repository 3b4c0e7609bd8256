package analysis

import "fmt"

// noCellFollows is a kind of finding that concerns all cells at once.
const noCellFollows = "cells-do-not-follow"

// checkFollow asks whether the readings follow PO2 at all where it must move: in an
// ascent it follows the pressure at once, whatever valves and diver do. Cells that agree
// with one another answer to no other question: all of them may be at a ceiling below
// the set point, and then the unit adds oxygen without end while every display stands.
func checkFollow(b *bench) verdict {
	if r := b.notDiagnosed(); r != "" {
		return notAssessed(r)
	}
	if len(b.dive.Valves) == 0 {
		return notAssessed("no valve was recorded: oxygen that a unit adds in an ascent holds the readings just as well")
	}
	c := b.diag.cells
	if c.NotFollowing == nil {
		if c.AscentsJudged < 2 {
			return notAssessed("fewer than two ascents could be judged")
		}
		return ran(1)
	}
	n := c.NotFollowing
	last := len(b.tS) - 1
	return ran(1, Finding{Kind: noCellFollows, Severity: Warning, Confidence: Possible, WhySure: "one line of evidence, how pressure moves PO2 in ascents, and oxygen that this log does not hold would explain it",
		Cells: b.numbers, FromS: Float(b.tS[0]), ToS: Float(b.tS[last]),
		Observed: fmt.Sprintf("In %d of %d ascents that could be judged, where PO2 falls with the pressure at once, no cell's reading fell with it: as if every cell took more than %.0f s to 90 %% of a step. PO2 may have been higher than any cell read.",
			n.Ascents, c.AscentsJudged, n.T90LowS),
		Onset: noValue(""), Worst: Value{Value: Float(n.T90LowS), Unit: "s", AtS: unknown}, End: noValue(""), Limit: constant(b.p.Cell.SlowT90S, "s"),
		LimitSource: "METHODS: absolute T90 by the ascents",
		Others:      "the cells agree with one another, which proves nothing here: cells of one age reach their ceilings together",
		Evidence: []string{
			fmt.Sprintf("a model of the loop with quick cells misses the readings around these ascents by %.0f nats more than one with cells that hardly answer", n.MarginNats),
			"no estimate is made of readings that may not have followed; doses by cell and vote may be too low"}})
}
