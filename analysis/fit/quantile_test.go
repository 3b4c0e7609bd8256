package fit

import (
	"math"
	"testing"
)

// TestQuantile: definition 7 of Hyndman and Fan, 1996; the values are those that
// R gives for quantile(1:4) and quantile(c(1,2,4,8,16)) (memory).
func TestQuantile(t *testing.T) {
	for _, c := range []struct {
		of   []float64
		p    float64
		want float64
	}{
		{[]float64{1, 2, 3, 4}, 0.25, 1.75}, {[]float64{1, 2, 3, 4}, 0.5, 2.5}, {[]float64{1, 2, 3, 4}, 0.75, 3.25},
		{[]float64{1, 2, 4, 8, 16}, 0.25, 2}, {[]float64{1, 2, 4, 8, 16}, 0.5, 4}, {[]float64{1, 2, 4, 8, 16}, 0.75, 8},
		{[]float64{7}, 0.5, 7}, {[]float64{7, 9}, 0, 7}, {[]float64{7, 9}, 1, 9},
	} {
		if got := Quantile(c.of, c.p); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("quantile %g of %v is %g, want %g", c.p, c.of, got, c.want)
		}
	}
	if !math.IsNaN(Quantile(nil, 0.5)) {
		t.Error("a quantile of nothing")
	}
}
