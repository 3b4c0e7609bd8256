package vote

import (
	"fmt"
	"math"
	"math/bits"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var nan = math.NaN()

// drawReading is mostly of a healthy cell, on a grid as a display has it, and
// sometimes wild or absent.
func drawReading(t *rapid.T) float64 {
	switch rapid.IntRange(0, 9).Draw(t, "kind") {
	case 0:
		return nan
	case 1:
		return rapid.SampledFrom([]float64{0, 9.99, 0.21, 3, math.Inf(1)}).Draw(t, "odd")
	case 2, 3, 4:
		return float64(rapid.IntRange(0, 250).Draw(t, "hundredths")) / 100
	}
	return float64(rapid.IntRange(125, 135).Draw(t, "healthy hundredths")) / 100
}

func drawParams(t *rapid.T) Params {
	p := DefaultParams()
	if rapid.Bool().Draw(t, "delays") {
		p.OutAfterS = float64(rapid.IntRange(0, 30).Draw(t, "out after"))
		p.InAfterS = float64(rapid.IntRange(0, 30).Draw(t, "in after"))
	}
	if rapid.Bool().Draw(t, "relative tolerance") {
		p.Relative = 0.2
	}
	return p
}

// drawInput is a record of up to maxCells cells with gaps and votes by hand.
func drawInput(t *rapid.T, maxCells int) Input {
	cells, rows := rapid.IntRange(0, maxCells).Draw(t, "cells"), rapid.IntRange(0, 30).Draw(t, "rows")
	in := Input{TimeS: make([]float64, rows), GapAfter: make([]bool, rows)}
	atS := -3.0
	for i := range in.TimeS {
		atS += float64(rapid.IntRange(1, 20).Draw(t, "step"))
		in.TimeS[i], in.GapAfter[i] = atS, rapid.IntRange(0, 9).Draw(t, "gap") == 0
	}
	for k := range cells {
		readings, manual := make([]float64, rows), make([]Manual, rows)
		for i := range readings {
			readings[i] = drawReading(t)
			if rapid.IntRange(0, 5).Draw(t, "by hand") == 0 {
				manual[i] = Manual(rapid.IntRange(0, 2).Draw(t, "manual"))
			}
		}
		in.Cells, in.Manual, in.Numbers = append(in.Cells, readings), append(in.Manual, manual), append(in.Numbers, k+1)
	}
	return in
}

// TestContract holds every registered policy to what all of them promise.
func TestContract(t *testing.T) {
	for _, pol := range Policies() {
		t.Run(pol.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in, p := drawInput(t, 8), drawParams(t)
				stepper, row := pol.New(len(in.Cells), p), newRow(in, len(in.Cells))
				for i, tS := range in.TimeS {
					row.load(i)
					checkDecision(t, newBallot(row.readings, row.manual), stepper.Step(tS, row.readings, row.manual))
				}
			})
		})
	}
}

func checkDecision(t *rapid.T, b *ballot, d Decision) {
	t.Helper()
	if (d.State == None) != (b.present == 0) || math.IsNaN(d.PO2Bar) != (b.present == 0) {
		t.Fatalf("%+v where the cells %b read", d, b.present)
	}
	if d.In&^b.present != 0 || d.In&d.Out != 0 || b.barred&^d.Out != 0 || b.forcedIn&d.Out != 0 {
		t.Fatalf("in %b, out %b; present %b, by hand in %b, out %b", d.In, d.Out, b.present, b.forcedIn, b.barred)
	}
	if b.present == 0 {
		return
	}
	lo, hi := b.extremes(b.present)
	if !(d.PO2Bar >= lo-1e-12 && d.PO2Bar <= hi+1e-12 && d.LowBar >= lo-1e-12 && d.HighBar <= hi+1e-12) {
		t.Fatalf("%+v outside the readings from %g to %g", d, lo, hi)
	}
	if !(d.LowBar <= d.PO2Bar+1e-12 && d.PO2Bar <= d.HighBar+1e-12) {
		t.Fatalf("%+v: the range does not hold the number", d)
	}
	if d.State == Agreed && (d.LowBar != d.PO2Bar || d.HighBar != d.PO2Bar || d.In == 0) {
		t.Fatalf("%+v: agreed, yet with a range or without a cell", d)
	}
}

// TestNumberingMakesNoDifference is the law that all but the policies marked as
// order-dependent obey; and those do break it.
func TestNumberingMakesNoDifference(t *testing.T) {
	for _, pol := range Policies() {
		if pol.OrderDependent {
			continue
		}
		t.Run(pol.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in, p := drawInput(t, 6), drawParams(t)
				cells := len(in.Cells)
				order := rapid.Permutation(identity(cells)).Draw(t, "order")
				one, other := pol.New(cells, p), pol.New(cells, p)
				row, turned := newRow(in, cells), newRow(in, cells)
				for i, tS := range in.TimeS {
					row.load(i)
					turned.reorder(row, order)
					a, b := one.Step(tS, row.readings, row.manual), other.Step(tS, turned.readings, turned.manual)
					sameButForOrder(t, a, b, order)
				}
			})
		})
	}
}

func identity(n int) []int {
	out := make([]int, n)
	for k := range out {
		out[k] = k
	}
	return out
}

func sameButForOrder(t *rapid.T, a, b Decision, order []int) {
	t.Helper()
	for k, from := range order {
		if a.In>>from&1 != b.In>>k&1 || a.Out>>from&1 != b.Out>>k&1 {
			t.Fatalf("in another order %v: %+v became %+v", order, a, b)
		}
	}
	same := func(x, y float64) bool { return math.Abs(x-y) <= 1e-12 || math.IsNaN(x) && math.IsNaN(y) }
	if a.State != b.State || !same(a.PO2Bar, b.PO2Bar) || !same(a.LowBar, b.LowBar) || !same(a.HighBar, b.HighBar) {
		t.Fatalf("in another order %v: %+v became %+v", order, a, b)
	}
}

// TestAgreeingCells: where all cells lie within the lower tolerance of each other,
// every policy agrees and nobody is out.
func TestAgreeingCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "cells")
		readings := make([]float64, n)
		for k := range readings {
			readings[k] = rapid.Float64Range(1.2, 1.2+0.14).Draw(t, "reading")
		}
		for _, pol := range Policies() {
			if d := pol.New(n, DefaultParams()).Step(0, readings, nil); d.State != Agreed || d.Out != 0 {
				t.Fatalf("%s on %v: %+v", pol.Name, readings, d)
			}
		}
	})
}

// TestTwoAlwaysStay: the voting policies never leave fewer than two cells in, if
// two read.
func TestTwoAlwaysStay(t *testing.T) {
	for _, name := range []string{"worst-first", "leave-one-out"} {
		pol, _ := ByName(name)
		rapid.Check(t, func(t *rapid.T) {
			n := rapid.IntRange(2, 8).Draw(t, "cells")
			stepper, readings := pol.New(n, DefaultParams()), make([]float64, n)
			for i := range 20 {
				for k := range readings {
					readings[k] = rapid.Float64Range(0, 3).Draw(t, "reading")
				}
				if d := stepper.Step(float64(i), readings, nil); bits.OnesCount64(d.In) < 2 {
					t.Fatalf("%v: %+v", readings, d)
				}
			}
		})
	}
}

func TestRegistry(t *testing.T) {
	want := "mid-value mean worst-first leave-one-out closest-pair majority lowest highest"
	var names []string
	for _, pol := range Policies() {
		names = append(names, pol.Name)
		if got, ok := ByName(pol.Name); !ok || got.Rule != pol.Rule {
			t.Errorf("ByName(%q) = %+v, %v", pol.Name, got, ok)
		}
		if !strings.HasSuffix(pol.Rule, ".") || strings.Count(pol.Rule, ".") != 1 {
			t.Errorf("%s: the rule is not one sentence: %q", pol.Name, pol.Rule)
		}
		if pol.OrderDependent != (pol.Name == "leave-one-out") {
			t.Errorf("%s: order-dependent %v", pol.Name, pol.OrderDependent)
		}
	}
	if got := strings.Join(names, " "); got != want {
		t.Errorf("policies %s, want %s", got, want)
	}
	if p, ok := ByName("model"); ok {
		t.Errorf("%q is not a function of a row", p.Name)
	}
}

// TestSteppingAllocatesNothing: a row costs no memory, once a cell is in or out.
func TestSteppingAllocatesNothing(t *testing.T) {
	readings := []float64{1.30, 1.28, 0.90, nan}
	for _, pol := range Policies() {
		stepper, tS := pol.New(4, DefaultParams()), 0.0
		if n := testing.AllocsPerRun(100, func() { tS++; stepper.Step(tS, readings, nil) }); n > 0 {
			t.Errorf("%s: %g allocations a row", pol.Name, n)
		}
	}
}

func TestMoreCellsThanAVoteHolds(t *testing.T) {
	in := Input{TimeS: []float64{0, 1}}
	for k := range MaxCells + 3 {
		in.Cells, in.Numbers = append(in.Cells, []float64{1.3, 1.3}), append(in.Numbers, k+1)
	}
	for _, pol := range Policies() {
		r := Replay(pol, in, DefaultParams())
		if fmt.Sprint(r.LeftOut) != "[65 66 67]" || len(r.Cells) != MaxCells || math.Abs(r.PO2Bar[1]-1.3) > 1e-12 {
			t.Errorf("%s: %d cells, left out %v, PO2 %g", pol.Name, len(r.Cells), r.LeftOut, r.PO2Bar[1])
		}
		pol.New(MaxCells+3, DefaultParams()).Step(0, make([]float64, MaxCells+3), make([]Manual, MaxCells+3))
	}
}
