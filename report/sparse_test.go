package report

import (
	"strings"
	"testing"

	"afterloop/analysis"
)

// TestNothingOfWhatIsNotKnown: a log without depth and with one cell gets no depth of
// 0, no unit without a figure, and no vote.
func TestNothingOfWhatIsNotKnown(t *testing.T) {
	d, none := small.debrief(), analysis.Float(notANumber)
	d.Dive.SubmergedS, d.Dive.MaxDepthM, d.Dive.MeanDepthM, d.Dive.SetPointsBar = none, none, none, nil
	d.Dive.Cells, d.Dive.Valves = 1, 0
	page := string(render(t, d))
	for _, wrong := range []string{"– m", "not known bar", "0 valves", "kept a false cell"} {
		if strings.Contains(page, wrong) {
			t.Errorf("the page says %q", wrong)
		}
	}
	for _, right := range []string{"1 cell and no valve", "No depth was recorded", "One cell needs no vote", "It rests on one cell"} {
		if !strings.Contains(page, right) {
			t.Errorf("the page does not say %q", right)
		}
	}
}

// TestKnownGasSaysWhatItProves: a reading on the side that an incomplete flush explains is
// not shown as if the cell had failed.
func TestKnownGasSaysWhatItProves(t *testing.T) {
	d := small.debrief()
	open := string(render(t, d))
	if !strings.Contains(open, "which proves nothing") || strings.Contains(open, "and neither an incomplete flush") {
		t.Error("a reading that a flush explains is not said to prove nothing")
	}
	d.KnownGas[0].Readings[1].Conclusive = true
	if b := string(render(t, d)); !strings.Contains(b, "and neither an incomplete flush") || strings.Contains(b, "which proves nothing") {
		t.Error("a conclusive reading is not said to be one")
	}
}

// TestTrackingNotes are said once where they are the same of the unit's PO2 and of the estimate.
func TestTrackingNotes(t *testing.T) {
	unit, estimate := analysis.Tracking{Source: "unit", UnattainableS: 15}, analysis.Tracking{Source: "estimate", UnattainableS: 15}
	p := &page{Debrief: &analysis.Debrief{Tracking: &unit, TrackingEstimate: &estimate}}
	if n := p.TrackingNotes(); len(n) != 1 || !strings.HasPrefix(n[0], "For 15 s") {
		t.Errorf("%q", n)
	}
	estimate.UnattainableS = 25
	if n := p.TrackingNotes(); len(n) != 2 || !strings.HasPrefix(n[0], "PO2 of the unit: for 15 s") || !strings.HasPrefix(n[1], "PO2 of the estimate: for 25 s") {
		t.Errorf("%q", n)
	}
}
