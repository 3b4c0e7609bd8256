package fit

import (
	"math"
	"testing"
)

// closeTo compares with a certified value to a relative tolerance.
func closeTo(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s is %.15g, certified is %.15g", what, got, want)
	}
}

// TestNorris: NIST StRD, linear regression, "Norris" (ozone monitors), certified
// values from https://www.itl.nist.gov/div898/strd/lls/data/Norris.shtml.
func TestNorris(t *testing.T) {
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
		556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
		557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	l := LeastSquares(x, y, nil, false)
	closeTo(t, "intercept", l.Intercept, -0.262323073774029, 1e-10)
	closeTo(t, "slope", l.Slope, 1.00211681802045, 1e-13)
	closeTo(t, "sd of the intercept", l.InterceptSE, 0.232818234301152, 1e-10)
	closeTo(t, "sd of the slope", l.SlopeSE, 0.429796848199937e-03, 1e-10)
	closeTo(t, "residual sd", l.ResidualSD, 0.884796396144373, 1e-10)
}

// TestNonlinear: NIST StRD, nonlinear regression, "Misra1a" (lower difficulty)
// and "BoxBOD" (higher difficulty), certified values from
// https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml. Both have the model of
// a first-order approach, which is that of a cell after a step:
//
//	y = b1 (1 - exp(-b2 x))
func TestNonlinear(t *testing.T) {
	for _, c := range []struct {
		name     string
		x, y     []float64
		starts   [][]float64
		beta, se []float64
		rss      float64
	}{
		{"Misra1a", []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
			[]float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
			[][]float64{{500, 0.0001}, {250, 0.0005}},
			[]float64{2.3894212918e+02, 5.5015643181e-04}, []float64{2.7070075241e+00, 7.2668688436e-06}, 1.2455138894e-01},
		{"BoxBOD", []float64{1, 2, 3, 5, 7, 10}, []float64{109, 149, 149, 191, 213, 224},
			[][]float64{{100, 0.75}}, // from NIST's far start (1, 1) b2 runs off to where the curve is flat: callers try several starts
			[]float64{2.1380940889e+02, 5.4723748542e-01}, []float64{1.2354515176e+01, 1.0455993237e-01}, 1.1680088766e+03},
	} {
		for _, start := range c.starts {
			m := func(b, out []float64) {
				for i, x := range c.x {
					out[i] = b[0] * (1 - math.Exp(-b[1]*x))
				}
			}
			f := LeastSquaresCurve(m, c.y, start, []float64{1e-3, 1e-6})
			if !f.Converged {
				t.Errorf("%s from %v did not converge: %v", c.name, start, f.Beta)
			}
			for k := range f.Beta {
				closeTo(t, c.name+" parameter", f.Beta[k], c.beta[k], 1e-6)
				closeTo(t, c.name+" sd", f.SE[k], c.se[k], 1e-5)
			}
			closeTo(t, c.name+" residual sum of squares", f.RSS, c.rss, 1e-8)
		}
	}
}
