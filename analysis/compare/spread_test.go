package compare

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestSpreadOfFew: two values have no spread, three and four no quartiles, and
// what is not known is not counted.
func TestSpreadOfFew(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		of                []float64
		n                 int
		middle, quartiles bool
	}{
		{nil, 0, false, false}, {[]float64{nan, nan}, 0, false, false}, {[]float64{1, nan, 2}, 2, false, false},
		{[]float64{1, 2, 3}, 3, true, false}, {[]float64{1, 2, 3, 4, nan}, 4, true, false}, {[]float64{5, 1, 2, 3, 4}, 5, true, true},
		{[]float64{1, 2, 3, math.Inf(1), 4}, 4, true, false},
	} {
		s := SpreadOf(c.of)
		if s.N != c.n || s.Median.Known() != c.middle || s.Min.Known() != c.middle || s.Quartile.Known() != c.quartiles || s.Upper.Known() != c.quartiles {
			t.Errorf("%v: %+v", c.of, s)
		}
	}
}

// TestSpreadLaws: in order, within the values, whatever their order.
func TestSpreadLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 5, 60).Draw(t, "values")
		s := SpreadOf(v)
		if !(s.Min <= s.Quartile && s.Quartile <= s.Median && s.Median <= s.Upper && s.Upper <= s.Max) {
			t.Fatalf("%v: %+v", v, s)
		}
		if float64(s.Min) != slices.Min(v) || float64(s.Max) != slices.Max(v) {
			t.Fatalf("range of %v: %+v", v, s)
		}
		w := slices.Clone(v)
		slices.Reverse(w)
		if SpreadOf(w) != s {
			t.Fatalf("the order of %v plays a part", v)
		}
	})
}
