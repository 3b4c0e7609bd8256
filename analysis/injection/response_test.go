package injection

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// Delay, gain and size come back from the rig at every sampling, with the cells'
// lag taken out. An opening's place within a row is known to half the row only.
func TestResponseRecovered(t *testing.T) {
	for _, dt := range []float64{1, 2, 5} {
		for _, delay := range []float64{0, 4, 10} {
			t.Run(fmt.Sprintf("%gs delay %gs", dt, delay), func(t *testing.T) {
				r := plain()
				r.delayS, r.everyS, r.pulseS = delay, 60, 5
				res := Analyse(r.run(3600, dt), DefaultParams())
				v := res.Valves[0]
				if v.Responses < 20 || v.ResponseReason != "" {
					t.Fatalf("%+v", v)
				}
				near(t, "delay", v.DelayS, delay, 0.5+dt/2)
				near(t, "delay overall", res.DelayS, delay, 0.5+dt/2)
				x := 1.2 / (1.013 + 1025*9.80665*30/1e5)
				gain := (1 - x) * r.flowPerVolume()
				near(t, "gain", v.GainBarPerS, gain, 0.04*gain)
				near(t, "size", v.ResponseBar, gain*r.pulseS, 0.04*gain*r.pulseS)
			})
		}
	}
}

// A dead valve of a pair has no response, and does not drag flow/V down.
func TestDeadValve(t *testing.T) {
	r := plain()
	r.valves, r.dead = 2, map[int]bool{2: true}
	r.vo2LMin = 0.4 // what one valve can give
	res := Analyse(r.run(5400, 1), DefaultParams())
	a, b := res.Valves[0], res.Valves[1]
	if a.Responses < 5 || b.Responses < 5 {
		t.Fatalf("%+v\n%+v", a, b)
	}
	if !(math.Abs(b.ResponseBar) < 0.1*a.ResponseBar) {
		t.Errorf("responses %g and %g bar", a.ResponseBar, b.ResponseBar)
	}
	near(t, "flow/V", res.Oxygen.Measured.Value, r.flowPerVolume(), 0.06*r.flowPerVolume())
}

// The depth's own part of a rise is taken out: x dPd.
func TestResponseCorrectedForDepth(t *testing.T) {
	r := plain()
	r.everyS, r.pulseS = 60, 5
	level := Analyse(r.run(3600, 1), DefaultParams()).Valves[0]
	r.depthM = func(s float64) float64 { return 30 - 0.15*math.Sin(2*math.Pi*s/120) } // rises with every other opening
	bobbing := Analyse(r.run(3600, 1), DefaultParams()).Valves[0]
	near(t, "size", bobbing.ResponseBar, level.ResponseBar, 0.05*level.ResponseBar)
}

// The answer of a lag to a ramp is the integral of the answers to its parts
// (gonum's quadrature).
func TestLaggedRamp(t *testing.T) {
	const w, tau = 3.0, 3.5
	for _, at := range []float64{-1, 0, 0.5, 2.9, 3, 3.1, 10, 60} {
		got := laggedRamp(at, w, tau)
		want := 0.0
		if at > 0 {
			want = quad.Fixed(func(s float64) float64 { return (1 - math.Exp(-(at-s)/tau)) / w }, 0, math.Min(at, w), 40, quad.Legendre{}, 0)
		}
		near(t, fmt.Sprint("at ", at), got, want, 1e-9)
	}
	near(t, "a sudden opening", laggedRamp(tau*math.Ln10, 0, tau), 0.9, 1e-12) // T90
}

// lineFit agrees with gonum's QR least squares.
func TestLineFit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(6, 40).Draw(rt, "n")
		var f lineFit
		a, b := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
		for i := range n {
			ti := float64(i) + rapid.Float64Range(0, 0.5).Draw(rt, "t")
			h := rapid.Float64Range(0, 1).Draw(rt, "h")
			y := rapid.Float64Range(-1, 1).Draw(rt, "y")
			f.add(ti, h, y)
			a.SetRow(i, []float64{1, ti, h})
			b.SetVec(i, y)
		}
		c, se := f.solve()
		var x mat.VecDense
		if err := x.SolveVec(a, b); err != nil {
			return // as good as collinear
		}
		var res mat.VecDense
		res.MulVec(a, &x)
		res.SubVec(b, &res)
		ss := mat.Dot(&res, &res)
		if math.Abs(c-x.AtVec(2)) > 1e-6*(1+math.Abs(c)) || math.Abs(f.residual()-ss) > 1e-6*(1+ss) || !(se >= 0) {
			rt.Fatalf("c %g, gonum %g; ss %g, gonum %g", c, x.AtVec(2), f.residual(), ss)
		}
	})
}
