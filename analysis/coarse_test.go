package analysis

import (
	"strings"
	"testing"

	"afterloop/analysis/scenario"
)

// Rounding limits what the other checks may claim: a healthy dive names no part, and a
// record too coarse says of each cell and valve that it was not judged, and why.
func TestCoarseRounding(t *testing.T) {
	for _, c := range []struct {
		stepBar float64
		note    string
		judged  bool
	}{
		{0.01, "", true},
		{0.02, "Small differences between cells may not show", true},
		{0.05, "A cell so coarse is not judged", false},
		{0.1, "A cell so coarse is not judged", false},
	} {
		for seed := range uint64(3) {
			d := simulate(t, "plain/none", 9100+seed, func(s *scenario.Spec) { s.Recording.PO2StepBar = c.stepBar }, nil)
			for _, f := range d.Findings {
				switch {
				case f.Kind == "recording-coarse":
					if c.note == "" || !strings.Contains(f.Observed, c.note) {
						t.Errorf("%g bar: %s", c.stepBar, f.Observed)
					}
				case f.Cell != nil || f.Valve != nil || f.Kind == "oxygen-supply-lost" || f.Kind == "leaking-valve":
					t.Errorf("%g bar, seed %d: %s, %s: %s", c.stepBar, seed, f.Kind, f.Confidence, f.Observed)
				}
			}
			for _, id := range []string{"slow-cell", "current-limited-cell", "miscalibrated-cell", "frozen-cell", "erratic-cell", "dead-valve", "oxygen-supply-lost"} {
				k := outcomeOf(d, id)
				judged := c.judged && !(id == "erratic-cell" && c.stepBar > 0.01) // 0.02 bar blurs its limit
				if told := k.Outcome == NotAssessed && strings.Contains(k.Reason, "rounded to"); told == judged {
					t.Errorf("%g bar: %s %s, %q", c.stepBar, id, k.Outcome, k.Reason)
				}
			}
		}
	}
}
