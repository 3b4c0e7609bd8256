package injection

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A clear saw-tooth is counted as commanded, at every sampling that is accepted.
func TestInferSawTooth(t *testing.T) {
	for _, dt := range []float64{1, 2, 5} {
		for _, step := range []float64{0, 0.01} {
			t.Run(fmt.Sprintf("%gs %gbar", dt, step), func(t *testing.T) {
				r := plain()
				r.everyS, r.pulseS, r.stepBar = 60, 5, step
				rng := rand.New(rand.NewPCG(3, 4))
				r.noise = func() float64 { return 0.003 * rng.NormFloat64() }
				in := r.run(3600, dt)
				want := Openings(in, DefaultParams())
				in.Valves = nil
				res := Analyse(in, DefaultParams())
				if !res.Inferred || len(res.Valves) != 1 {
					t.Fatalf("%+v", res.InferReason)
				}
				if got := res.Valves[0].Count; got < len(want)*9/10 || got > len(want) {
					t.Errorf("%d inferred, %d commanded", got, len(want))
				}
				if !res.Valves[0].CountIsLowerBound || !math.IsNaN(res.Valves[0].OpenS) {
					t.Errorf("%+v", res.Valves[0])
				}
				near(t, "interval", res.Valves[0].MedianIntervalS, 60, dt)
				if math.IsNaN(res.Remaining.Low[len(in.TimeS)-1]) || !math.IsNaN(res.Remaining.Value[len(in.TimeS)-1]) {
					t.Error("minutes to hypoxia are to be a planning range")
				}
			})
		}
	}
}

func TestInferRefuses(t *testing.T) {
	r := plain()
	r.everyS, r.pulseS = 60, 5
	for _, c := range []struct {
		name string
		in   func() Input
		want string
	}{
		{"rows 10 s apart", func() Input { return r.run(3600, 10) }, "rows are 10 s apart"},
		{"rounding of 0.05", func() Input { q := r; q.stepBar = 0.05; return q.run(3600, 1) }, "rounded to 0.05"},
		{"openings that run together", func() Input { q := r; q.everyS, q.pulseS = 6, 0.6; return q.run(3600, 1) }, "0 rises"},
		{"most openings too small to be seen", func() Input {
			q := r
			q.everyS, q.pulseS = 6, 0.6
			q.disturb = func(s, p float64) float64 { // and a few large ones
				if math.Mod(s, 600) >= 300 && math.Mod(s, 600) < 303 {
					return p + 0.03*rigStepS
				}
				return p
			}
			return q.run(3600, 1)
		}, "too small to be seen"},
		{"nothing", func() Input { return Input{} }, "too few readings"},
		{"one row", func() Input { return r.run(0.5, 1) }, "too few readings"},
	} {
		in := c.in()
		in.Valves = nil
		f := Infer(in, DefaultParams())
		if !strings.Contains(f.Reason, c.want) || len(f.Openings) != 0 {
			t.Errorf("%s: %d openings, %q", c.name, len(f.Openings), f.Reason)
		}
	}
}

// Law: noise, drift and changes of depth alone are no openings.
func TestInferSeesNothingInNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		sigma := rapid.Float64Range(0, 0.02).Draw(rt, "sigma")
		drift := rapid.Float64Range(-0.0015, 0.001).Draw(rt, "drift bar/s")
		climb := rapid.Float64Range(-0.3, 0.3).Draw(rt, "m/s")
		dt := rapid.SampledFrom([]float64{1, 2, 5}).Draw(rt, "dt")
		in := Input{}
		for i := range 400 {
			s := float64(i) * dt
			depth := 40 + 10*math.Sin(climb*s/10)
			in.TimeS = append(in.TimeS, s)
			in.DepthM = append(in.DepthM, depth)
			in.AmbientBar = append(in.AmbientBar, 1+depth/10)
			x := 0.25 + drift*s/20
			in.PO2Bar = append(in.PO2Bar, math.Round((x*(1+depth/10)+sigma*rng.NormFloat64())*100)/100)
		}
		if f := Infer(in, DefaultParams()); f.Reason == "" {
			rt.Fatalf("%d openings from nothing, threshold %g", len(f.Openings), f.ThresholdBar)
		}
	})
}
