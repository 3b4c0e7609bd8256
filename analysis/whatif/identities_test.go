package whatif

import (
	"testing"

	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

// TestIdentities: changes that change nothing.
func TestIdentities(t *testing.T) {
	bad := spec(3)
	bad.Cells[2].Gain = 0.5 // out from the first vote on
	bad.Controller = scenario.Controller{Vote: "leave-one-out"}
	out, _ := dive(t, bad)
	healthy, _ := dive(t, spec(4))
	for name, c := range map[string]struct {
		d  *ingest.Dive
		ch Changes
	}{
		"a cell lost that was out all the time":   {out, Changes{Policy: "worst-first", LoseCells: []At{{Number: 3}}}},
		"the set point that was in force":         {healthy, Changes{SetPoints: setPointsOf(healthy)}},
		"a supply lost at the last row":           {healthy, Changes{NoOxygen: &Moment{Given: "t", S: healthy.TimeS[healthy.Rows()-1]}}},
		"additions left out where there are none": {healthy, Changes{NoAdditions: &Moment{}}},
	} {
		r := mustRun(t, c.d, c.ch)
		if c.ch.ofVote() {
			// the loss against the same rule without it
			whole := mustRun(t, c.d, Changes{Policy: c.ch.Policy})
			if !same(whole.Series.ChangedBar, r.Series.ChangedBar) {
				t.Errorf("%s: changes the replay", name)
			}
			if !same(whole.Series.SimChangedBar, r.Series.SimChangedBar) {
				t.Errorf("%s: changes the simulation", name)
			}
			continue
		}
		if !r.Simulation.Assessed || !same(r.Series.SimOriginalBar, r.Series.SimChangedBar) || r.Simulation.MaxDifference.Value != 0 {
			t.Errorf("%s: changes the simulation by %g (%s)", name, float64(r.Simulation.MaxDifference.Value), r.Simulation.Reason)
		}
	}
}

// setPointsOf are the recorded changes of set point, given as changes.
func setPointsOf(d *ingest.Dive) []SetPointAt {
	var out []SetPointAt
	for i, b := range d.SetPointBar {
		if i == 0 || b != d.SetPointBar[i-1] {
			out = append(out, SetPointAt{b, at(d.TimeS[i])})
		}
	}
	return out
}
