package cell_test

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis/cell"
)

// A recorder that reads the cells in turn, or loses some readings, hides no fault and
// makes none.
func TestCellsReadInTurn(t *testing.T) {
	for _, c := range []struct {
		name  string
		cells []smallCell
		want  map[int]cell.Kind
	}{
		{"sound", sound(3), nil},
		{"slow", with(3, func(c []smallCell) { c[1].t90S = 40 }), map[int]cell.Kind{2: cell.Slow}},
		{"limited", with(4, func(c []smallCell) { c[0].ceiling = 1.1 }), map[int]cell.Kind{1: cell.Limited}},
		{"frozen", with(3, func(c []smallCell) { c[2].frozen = [2]float64{1100, 1700} }), map[int]cell.Kind{3: cell.Frozen}},
		{"erratic", with(3, func(c []smallCell) { c[0].erratic = [2]float64{600, 900} }), map[int]cell.Kind{1: cell.Erratic}},
	} {
		r := base(c.cells).record(4)
		for k := range r.CellsBar {
			for i := range r.CellsBar[k] {
				if i%len(r.CellsBar) != k {
					r.CellsBar[k][i] = math.NaN()
				}
			}
		}
		found := map[int]cell.Kind{}
		for _, f := range cell.Diagnose(r, cell.DefaultParams()).Faults {
			if !f.Borderline {
				found[f.Cell] = f.Kind
			}
		}
		if len(found) != len(c.want) {
			t.Errorf("%s: found %v", c.name, found)
		}
		for n, k := range c.want {
			if found[n] != k {
				t.Errorf("%s: found %v, want %v", c.name, found, c.want)
			}
		}
	}
}

// PO2 that the recorder writes some seconds later than depth looks like a lag of all
// cells: the log can't tell which, and that is said.
func TestPO2WrittenLate(t *testing.T) {
	for _, late := range []int{2, 4, 6} {
		for seed := range uint64(3) {
			r := base(sound(3)).record(seed)
			for k, y := range r.CellsBar {
				r.CellsBar[k] = append(append([]float64{}, y[:late]...), y[:len(y)-late]...)
			}
			for _, f := range cell.Diagnose(r, cell.DefaultParams()).Faults {
				if told := strings.Contains(strings.Join(f.Alternatives, "; "), "later than depth, with quick cells"); !f.Borderline && (f.Confidence != cell.Possible || !told) {
					t.Errorf("%d s late: %s of cell %d, %s", late, f.Kind, f.Cell, f.Confidence)
				}
			}
		}
	}
	slow := base(with(3, func(c []smallCell) { c[0].t90S, c[1].t90S, c[2].t90S = 40, 45, 38 }))
	d := cell.Diagnose(slow.record(1), cell.DefaultParams())
	if len(d.Faults) != 3 {
		t.Fatalf("%d faults of three slow cells", len(d.Faults))
	}
	for _, f := range d.Faults {
		if f.Confidence == cell.Possible {
			t.Errorf("no delay explains cells as slow as cell %d, yet it is %s", f.Cell, f.Confidence)
		}
	}
}
