package fit

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// nile is the yearly flow of the Nile at Aswan, 1871 to 1970, in 1e8 m3: G. W.
// Cobb, "The problem of the Nile: conditional solution to a changepoint problem",
// Biometrika 65:243 (1978), who places the change at 1898. It is the data set
// Nile of R.
var nile = []float64{1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100, 1210,
	1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832,
	764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801,
	1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740}

func years() []float64 {
	x := make([]float64, len(nile))
	for i := range x {
		x[i] = 1871 + float64(i)
	}
	return x
}

// TestTheilSenSciPy holds the line and its interval to scipy.stats.theilslopes
// of SciPy 1.10.1, a general-purpose library.
func TestTheilSenSciPy(t *testing.T) {
	small := []float64{0.1, 1.9, 4.2, 6.0, 7.8, 30, 12.1, 14.0, 15.9, 18.2}
	index := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	for _, c := range []struct {
		name             string
		x, y             []float64
		slope, low, high float64
	}{
		{"Nile", years(), nile, -2.6, -3.627906976744186, -1.4285714285714286},
		{"one wild point", index, small, 2.0, 1.925, 2.05},
	} {
		r := TheilSen(c.x, c.y, nil, 0.95, false)
		closeTo(t, c.name+" slope", r.Slope, c.slope, 1e-12)
		closeTo(t, c.name+" low", r.Low, c.low, 1e-12)
		closeTo(t, c.name+" high", r.High, c.high, 1e-12)
	}
}

// TestTheilSenGonum holds the slope to a median by gonum over all pairs, for any points.
func TestTheilSenGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "n")
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i] = float64(i) + rapid.Float64Range(0, 0.5).Draw(t, "x")
			y[i] = rapid.Float64Range(-100, 100).Draw(t, "y")
		}
		var slopes []float64
		for i := range x {
			for j := range i {
				slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
			}
		}
		slices.Sort(slopes)
		// gonum's empirical quantile of an even count is the lower of the two middle values.
		lower := stat.Quantile(0.5, stat.Empirical, slopes, nil)
		got := TheilSen(x, y, nil, 0.95, false).Slope
		if len(slopes)%2 == 1 && got != lower || got < lower {
			t.Fatalf("slope %v, by gonum %v", got, lower)
		}
		if r := TheilSen(x, y, nil, 0.95, false); r.Low > r.Slope || r.High < r.Slope {
			t.Fatalf("slope %v outside of its interval [%v, %v]", r.Slope, r.Low, r.High)
		}
	})
}

// TestTheilSenGroups: a jump between two stretches bends nothing.
func TestTheilSenGroups(t *testing.T) {
	var x, y []float64
	var g []int
	for i := range 40 {
		x = append(x, float64(i))
		y = append(y, -0.5*float64(i)+0.01*math.Sin(float64(i*i)))
		g = append(g, i/20)
		if i >= 20 {
			y[i] += 30
		}
	}
	if r := TheilSen(x, y, g, 0.95, true); math.Abs(r.Slope+0.5) > 0.002 || r.Low > -0.5 || r.High < -0.5 {
		t.Errorf("slope %v [%v, %v], true is -0.5", r.Slope, r.Low, r.High)
	}
	if r := TheilSen(x, y, nil, 0.95, true); math.Abs(r.Slope+0.5) < 0.1 {
		t.Error("without stretches the jump must show, or this test proves nothing")
	}
}

// TestTheilSenFew: nothing bounds a slope through three points.
func TestTheilSenFew(t *testing.T) {
	r := TheilSen([]float64{0, 1, 2}, []float64{0, 1, 2}, nil, 0.95, false)
	if r.Slope != 1 || !math.IsInf(r.Low, -1) || !math.IsInf(r.High, 1) {
		t.Errorf("three points gave %+v", r)
	}
	if r := TheilSen([]float64{0, 1}, []float64{0, 1}, nil, 0.95, false); !math.IsNaN(r.Slope) {
		t.Errorf("two points gave %+v", r)
	}
}

// TestSegmentsStrucchange holds the optimal cuts to those of breakpoints() of the
// R package strucchange 1.5-3 (Bai and Perron), a general-purpose library, on
// the data set Nile: each penalty lies between the gains of one cut more or less.
func TestSegmentsStrucchange(t *testing.T) {
	for _, c := range []struct {
		shape   Shape
		least   int
		penalty float64
		cuts    []int
		rss     float64
	}{
		{Level, 5, 2e6, nil, 2835157},
		{Level, 5, 1e5, []int{28}, 1597457}, // after 1898
		{Level, 5, 75000, []int{28, 83, 95}, 1438126},
		{Sloped, 8, 7e5, nil, 2221264},
		{Sloped, 8, 1.2e5, []int{28}, 1580175},
	} {
		got := Segments(years(), nile, c.shape, c.penalty, c.least)
		if !slices.Equal(got[1:], c.cuts) && len(got)+len(c.cuts) > 1 {
			t.Errorf("shape %v, penalty %v: cuts %v, strucchange %v", c.shape, c.penalty, got[1:], c.cuts)
		}
		s, rss := newSums(years(), nile), 0.0
		for i, from := range got {
			to := len(nile)
			if i+1 < len(got) {
				to = got[i+1]
			}
			rss += s.cost(from, to, c.shape)
		}
		closeTo(t, "residual sum of squares", rss, c.rss, 1e-6)
	}
}

// TestNoise: the noise of a line with jumps is that of its points.
func TestNoise(t *testing.T) {
	var x, y []float64
	for i := range 400 {
		x = append(x, float64(i))
		y = append(y, 3*float64(i)+math.Floor(float64(i)/100)*50+math.Sqrt2*math.Sin(float64(i)*float64(i)*1.7))
	}
	if n := Noise(x, y); n < 0.7 || n > 1.5 {
		t.Errorf("noise %v of values with a standard deviation of 1", n)
	}
	if !math.IsNaN(Noise(x[:2], y[:2])) {
		t.Error("two points have no noise")
	}
}
