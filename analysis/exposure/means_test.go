package exposure

import (
	"math"
	"testing"
)

// TestMeansWhereEndsAreClose compares the means on either side of the threshold
// between their two forms with forty terms of their series.
func TestMeansWhereEndsAreClose(t *testing.T) {
	for _, w := range []float64{1e-12, 1e-7, 1e-4, 0.005, 0.0199, 0.0201, 0.1} {
		a, b := 1-w, 1+w
		inverse := series(w*w, func(n int) float64 { return 1 / float64(2*n+1) })
		near(t, "mean inverse", meanInverse(b, a), inverse, 1e-13)
		near(t, "mean power", meanPower(a, b), series(w*w, binomialMean), 1e-13)
	}
	near(t, "from 0", meanPower(0, 1), 6.0/11, 1e-15)
	near(t, "level", meanPower(0.7, 0.7), math.Pow(0.7, 5.0/6), 1e-15)
}

// binomialMean is the coefficient of w^(2n) in the mean of (1+ws)^(5/6), s from -1 to 1.
func binomialMean(n int) float64 {
	c := 1.0
	for k := range 2 * n {
		c *= (5.0/6 - float64(k)) / float64(k+1)
	}
	return c / float64(2*n+1)
}

// series is the sum of coefficient(n) x^n, smallest terms first.
func series(x float64, coefficient func(n int) float64) float64 {
	sum := 0.0
	for n := 40; n >= 0; n-- {
		sum = sum*x + coefficient(n)
	}
	return sum
}
