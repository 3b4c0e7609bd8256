package score

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (memory).
func TestWilsonAgainstNewcombe(t *testing.T) {
	for _, c := range []struct {
		right, of int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0.0000, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		r := rateOf(c.right, c.of)
		if math.Abs(float64(r.Low)-c.low) > 5e-5 || math.Abs(float64(r.High)-c.high) > 5e-5 {
			t.Errorf("%d/%d: %.4f to %.4f, want %.4f to %.4f", c.right, c.of, r.Low, r.High, c.low, c.high)
		}
	}
	if r := rateOf(0, 0); r.Share.Known() || r.Low.Known() || r.High.Known() {
		t.Errorf("a share of no cases is %+v", r)
	}
}

// By its definition each end of Wilson's interval is a p for which the observed
// share lies just z standard deviations off; and right and wrong are symmetric.
func TestWilsonByItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 2000).Draw(t, "n")
		k := rapid.IntRange(0, n).Draw(t, "k")
		r, mirror := rateOf(k, n), rateOf(n-k, n)
		if !(r.Low <= r.Share && r.Share <= r.High && r.Low >= 0 && r.High <= 1) {
			t.Fatalf("%+v", r)
		}
		if math.Abs(float64(r.Low+mirror.High)-1) > 1e-12 {
			t.Fatalf("not symmetric: %+v and %+v", r, mirror)
		}
		for _, end := range []float64{float64(r.Low), float64(r.High)} {
			z := (float64(r.Share) - end) / math.Sqrt(end*(1-end)/float64(n))
			if end > 0 && end < 1 && math.Abs(math.Abs(z)-1.96) > 1e-4 {
				t.Fatalf("%d/%d: end %g is %g deviations off", k, n, end, z)
			}
		}
	})
}

// Upper limits of a Poisson mean at 95 %, one-sided: Review of Particle Physics,
// chapter Statistics, table of limits for a Poisson variable (memory); 3.00 for
// no event is the rule of three.
func TestPoissonLimitAgainstTheTable(t *testing.T) {
	for n, want := range map[int]float64{0: 3.00, 1: 4.74, 2: 6.30, 3: 7.75, 4: 9.15, 5: 10.51, 10: 16.96} {
		if got := countOf(n, 1); math.Abs(float64(got.High)-want) > 0.005 {
			t.Errorf("%d events: at most %.3f, want %.2f", n, got.High, want)
		}
	}
	if c := countOf(0, 0); c.Rate.Known() || c.High.Known() {
		t.Errorf("a rate over no time is %+v", c)
	}
}

// By its definition a Poisson variable with the limit for its mean is as small as
// the count in one case of twenty.
func TestPoissonLimitByItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 300).Draw(t, "n")
		per := rapid.Float64Range(0.1, 1000).Draw(t, "per")
		c := countOf(n, per)
		if p := (distuv.Poisson{Lambda: float64(c.High) * per}).CDF(float64(n)); math.Abs(p-0.05) > 1e-6 {
			t.Fatalf("%d events: the limit's tail is %g", n, p)
		}
	})
}

// The bootstrap of many normal values must agree with the interval from theory,
// mean +- 1.96 s/sqrt(n), and the same values must give the same interval.
func TestMeanOfAgainstTheory(t *testing.T) {
	x := make([]float64, 400)
	for i := range x { // the quantiles of a normal distribution
		x[i] = 5 + distuv.UnitNormal.Quantile((float64(i)+0.5)/float64(len(x)))
	}
	m := meanOf(x)
	half := 1.96 / math.Sqrt(float64(len(x)))
	if math.Abs(float64(m.Mean)-5) > 1e-9 || math.Abs(float64(m.Low)-(5-half)) > 0.1*half || math.Abs(float64(m.High)-(5+half)) > 0.1*half {
		t.Errorf("%+v, want 5 +- %.4f", m, half)
	}
	if again := meanOf(x); again != m {
		t.Errorf("%+v, then %+v", m, again)
	}
	if one := meanOf([]float64{0.7}); one.Low != 0.7 || one.High != 0.7 {
		t.Errorf("one dive: %+v", one)
	}
	if none := meanOf(nil); none.Mean.Known() {
		t.Errorf("no dive: %+v", none)
	}
}

// Missing cases count as larger than any: they cannot flatter a median.
func TestDistributionKeepsMissingCases(t *testing.T) {
	d := distribution([]Float{3, 1, unknown, 2})
	if d.N != 4 || d.Missing != 1 || d.Median != 2.5 || !math.IsInf(float64(d.P90), 1) || !math.IsInf(float64(d.Worst), 1) {
		t.Errorf("%+v", d)
	}
	d = distribution([]Float{unknown, unknown, 1})
	if !math.IsInf(float64(d.Median), 1) {
		t.Errorf("median %g of two missing and one", d.Median)
	}
	if d = distribution(nil); !math.IsNaN(float64(d.Median)) {
		t.Errorf("median %g of nothing", d.Median)
	}
	var ten []Float
	for i := range 10 {
		ten = append(ten, Float(i+1))
	}
	if d = distribution(ten); d.Median != 5.5 || d.P90 != 9 || d.Worst != 10 {
		t.Errorf("1 to 10: %+v", d)
	}
}

// The best factor undoes a gain exactly, and no other factor fits better.
func TestBestScale(t *testing.T) {
	p := []float64{0.7, 1.2, 1.3, 0.9}
	x := []float64{0.77, 1.32, 1.43, 0.99}
	k := bestScale(x, p)
	if math.Abs(k-1/1.1) > 1e-12 || rmsError(x, p, k) > 1e-12 {
		t.Errorf("factor %g leaves %g", k, rmsError(x, p, k))
	}
	x = []float64{0.8, 1.1, 1.4, 0.9}
	k = bestScale(x, p)
	if best := rmsError(x, p, k); best >= rmsError(x, p, k*1.001) || best >= rmsError(x, p, k*0.999) {
		t.Errorf("factor %g is not the best", k)
	}
	if e := rmsError(x, p, 1); math.Abs(e-math.Sqrt((0.01+0.01+0.01+0)/4)) > 1e-12 {
		t.Errorf("rms %g", e)
	}
	if !math.IsNaN(rmsError(nil, p, 1)) {
		t.Error("a missing series has an error")
	}
}
