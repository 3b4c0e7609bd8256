package analysis

import (
	"testing"

	"afterloop/analysis/scenario"
)

// All cells at a ceiling below the set point: they agree, the vote agrees, the unit adds
// oxygen without end, and PO2 goes where no cell shows it. The ascents tell.
func TestAllCellsAtACeiling(t *testing.T) {
	told := 0
	const dives = 6
	for seed := range uint64(dives) {
		d := simulate(t, "plain/none", 9400+seed, func(s *scenario.Spec) {
			for k := range s.Cells {
				s.Faults = append(s.Faults, scenario.Fault{Kind: "limited", Cell: k + 1, CeilingBar: s.SetPoint.HighBar - 0.08 + 0.01*float64(k), Slope: 0.1})
			}
		}, nil)
		for _, f := range ofKind(d, noCellFollows) {
			told++
			if f.Severity != Warning || f.Confidence != Possible || len(f.Cells) != len(d.Cells) || f.Cell != nil {
				t.Errorf("seed %d: %+v", seed, f)
			}
		}
		for _, f := range d.Findings {
			if f.Kind == "current-limited-cell" && f.Confidence == Sure {
				t.Errorf("seed %d: %s", seed, f.Observed)
			}
		}
	}
	if told < dives/2 {
		t.Errorf("told on %d of %d dives", told, dives)
	}
}

// Without a record of openings a reading that stands in an ascent may be held by oxygen.
func TestCellsFollowIsNotAssessedWithoutValves(t *testing.T) {
	d := threeCells(120, func(int) float64 { return 1.2 }).analyze(t)
	if c := outcome(d, "cells-follow"); c.Outcome != NotAssessed || c.Reason == "" {
		t.Errorf("%+v", c)
	}
}

func TestSoundCellsFollow(t *testing.T) {
	for seed := range uint64(4) {
		for _, kind := range []string{"plain/none", "hard-healthy/work", "hard-healthy/yoyo", "wide/none"} {
			none(t, simulate(t, kind, 9500+seed, nil, nil), noCellFollows)
		}
	}
}
