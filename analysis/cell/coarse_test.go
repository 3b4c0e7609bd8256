package cell_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"afterloop/analysis/cell"
)

// Rounding is no fault: however coarse, it names nobody on a healthy dive.
func TestRoundingNamesNobody(t *testing.T) {
	for _, round := range []float64{0.02, 0.05, 0.1} {
		for _, step := range []int{1, 5, 10} {
			for seed := range uint64(4) {
				s := base(sound(3 + int(seed%2)))
				s.round, s.stepS = round, step
				for _, f := range cell.Diagnose(s.record(seed), cell.DefaultParams()).Faults {
					if !f.Borderline {
						t.Errorf("rounded to %g bar, a row every %d s, seed %d: %s of cell %d, %s: %v", round, step, seed, f.Kind, f.Cell, f.Confidence, f.Evidence)
					}
				}
			}
		}
	}
}

// What rounding hides is not assessed, with the reason; nothing is said to be sound.
func TestTooCoarseIsNotAssessed(t *testing.T) {
	s := base(sound(3))
	s.round = 0.05
	d := cell.Diagnose(s.record(1), cell.DefaultParams())
	for _, c := range d.Checks {
		if c.Assessed || !strings.Contains(c.Reason, "rounded to 0.05 bar") {
			t.Errorf("%s of cell %d: assessed %v, %q", c.Kind, c.Cell, c.Assessed, c.Reason)
		}
	}
	for _, c := range d.Cells {
		if c.T90S.Known() || c.Gain.Known() || c.CeilingBar.Known() || c.DriftPerH.Known() {
			t.Errorf("cell %d has figures: %+v", c.Cell, c)
		}
	}
	if len(d.Reference) > 1 {
		t.Errorf("cells %v are the reference of nothing", d.Reference)
	}
}

// What is larger than the rounding still shows.
func TestGrossFaultsShowThroughRounding(t *testing.T) {
	s := base(with(3, func(c []smallCell) { c[2].frozen = [2]float64{100, 1700} }))
	s.round = 0.05
	found := map[string]bool{}
	for _, f := range cell.Diagnose(s.record(1), cell.DefaultParams()).Faults {
		found[fmt.Sprint(f.Kind, f.Cell)] = true
	}
	if !found[fmt.Sprint(cell.Frozen, 3)] || len(found) != 1 {
		t.Errorf("found %v, want the frozen cell 3 alone", found)
	}
}

// One coarse cell among fine ones is left out; the others are judged by one another.
func TestOneCoarseCell(t *testing.T) {
	s := base(with(4, func(c []smallCell) { c[1].t90S = 40 }))
	r := s.record(1)
	for i, y := range r.CellsBar[0] {
		r.CellsBar[0][i] = math.Round(y*10) / 10
	}
	r.CellStepBar[0] = 0.1
	d := cell.Diagnose(r, cell.DefaultParams())
	for _, f := range d.Faults {
		if f.Kind != cell.Slow || f.Cell != 2 {
			t.Errorf("%s of cell %d: %+v", f.Kind, f.Cell, f)
		}
	}
	if len(d.Faults) != 1 {
		t.Errorf("%d faults, want that of cell 2", len(d.Faults))
	}
}
