package cell

import (
	"math"
	"testing"
)

// NIST StRD, nonlinear regression, Misra1a (lower difficulty, 14 observations):
// y = b1 (1 - exp(-b2 x)), which is a first-order step response with tau = 1/b2.
// Certified: b1 = 2.3894212918E+02 (sd 2.7070075241E+00), b2 = 5.5015643181E-04
// (sd 7.2668688436E-06), residual sum of squares 1.2455138894E-01.
func TestMisra1a(t *testing.T) {
	y := []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78}
	x := []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0}
	const b1, b2, sd2, certified = 2.3894212918e+02, 5.5015643181e-04, 7.2668688436e-06, 1.2455138894e-01
	variance := certified / float64(len(y)-2)

	var taus, cost, gains []float64
	for k := -400; k <= 400; k++ {
		tau := 1 / b2 * math.Exp(0.0005*float64(k)+0.0001)
		n := newNormal(1)
		for i := range x {
			n.add([]float64{1 - math.Exp(-x[i]/tau)}, y[i], 1)
		}
		gain := n.solve()[0]
		rss := 0.0
		for i := range x {
			rss += sq(y[i] - gain*(1-math.Exp(-x[i]/tau)))
		}
		taus, cost, gains = append(taus, tau), append(cost, rss/variance/2), append(gains, gain)
	}
	v := minimum(taus, cost)
	if got := math.Ln10 / v.Value; math.Abs(got/b2-1) > 1e-6 {
		t.Errorf("b2 = %.10e, certified %.10e", got, b2)
	}
	least := 0
	for k := range cost {
		if cost[k] < cost[least] {
			least = k
		}
	}
	if rss := 2 * variance * cost[least]; math.Abs(rss/certified-1) > 1e-3 {
		t.Errorf("residual sum of squares %.10e, certified %.10e", rss, certified)
	}
	if math.Abs(gains[least]/b1-1) > 1e-3 {
		t.Errorf("b1 = %g, certified %g", gains[least], b1)
	}
	// The profile's 95 % interval, by the normal quantile 1.96 certified sd.
	for _, end := range []float64{v.Low, v.High} {
		if half := math.Abs(math.Ln10/end - b2); math.Abs(half/(1.96*sd2)-1) > 0.05 {
			t.Errorf("half width %.3e, want %.3e", half, 1.96*sd2)
		}
	}
}

// Reweighting is exact where it has nothing to do: y = a u + b v is found, and
// with few outliers nearly so.
func TestLinear(t *testing.T) {
	p := DefaultParams()
	const n = 200
	q := pair{p: &p, y: make([]float64, n), weight: make([]float64, n), inv: make([]float64, n)}
	u, v := make([]float64, n), make([]float64, n)
	for k := range n {
		u[k], v[k] = 1, float64(k)/n
		q.y[k], q.weight[k], q.inv[k] = 2*u[k]-0.5*v[k], 0.2, 100
	}
	if l := q.linear(u, v, 0, 0, 30); math.Abs(l.a-2) > 1e-6 || math.Abs(l.b+0.5) > 1e-6 || l.cost > 1e-6 {
		t.Errorf("%+v", l)
	}
	for k := 0; k < n; k += 10 {
		q.y[k] += 5
	}
	if l := q.linear(u, v, 2, -0.5, 30); math.Abs(l.a-2) > 0.01 || math.Abs(l.b+0.5) > 0.01 {
		t.Errorf("with outliers %+v", l)
	}
	want := 0.0
	for _, e := range q.y {
		want += 0.2 * 2.5 * math.Log1p(sq((e-1)*100)/4)
	}
	if c := q.newCosts(); true {
		for _, e := range q.y {
			c.add(0.2, (e-1)*100)
		}
		if got := c.total(); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("costs %g, one by one %g", got, want)
		}
	}
}
