package halves_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/halves"
)

func TestCompare(t *testing.T) {
	nan := math.NaN()
	a := []float64{1.30, 1.30, 1.30, 1.30, nan, 1.30}
	b := []float64{1.30, 1.20, 1.10, 1.00, 1.00, nan}
	d := halves.Compare(a, b, []float64{10, 10, 10, 10, 10, 10}, 0.20)
	if d.ComparedS != 40 || d.OverS != 10 || d.WorstRow != 3 || math.Abs(d.Worst+0.30) > 1e-12 || math.Abs(d.Median+0.20) > 1e-12 || math.Abs(d.P95-0.30) > 1e-12 {
		t.Errorf("%+v", d)
	}
	none := halves.Compare([]float64{nan}, []float64{1}, []float64{1}, 0.2)
	if none.ComparedS != 0 || none.WorstRow != -1 || !math.IsNaN(none.Median) || !math.IsNaN(none.Worst) {
		t.Errorf("%+v", none)
	}
}

// Exchanging the series turns the sign and nothing else, but for the median of an even number.
func TestCompareLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := 2*rapid.IntRange(0, 20).Draw(rt, "n") + 1
		a := rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(rt, "a")
		b := rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(rt, "b")
		hold := make([]float64, n)
		for i := range hold {
			hold[i] = 1
		}
		x, y := halves.Compare(a, b, hold, 0.2), halves.Compare(b, a, hold, 0.2)
		if x.Worst != -y.Worst || x.P95 != y.P95 || x.OverS != y.OverS || math.Abs(x.Median+y.Median) > 1e-12 {
			rt.Fatalf("%+v\n%+v", x, y)
		}
		if !(x.P95 <= math.Abs(x.Worst)) || !(math.Abs(x.Median) <= math.Abs(x.Worst)) {
			rt.Fatalf("%+v", x)
		}
	})
}
