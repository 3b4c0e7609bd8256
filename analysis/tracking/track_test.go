package tracking

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// level is a record at 20 m with the given set point and PO2, every dtS.
func level(n int, dtS, setPointBar float64, po2 func(tS float64) float64) Input {
	in := Input{VapourBar: 0.0627}
	for i := range n {
		t := float64(i) * dtS
		in.TimeS = append(in.TimeS, t)
		in.DepthM = append(in.DepthM, 20)
		in.AmbientBar = append(in.AmbientBar, 3)
		in.SetPointBar = append(in.SetPointBar, setPointBar)
		in.PO2Bar = append(in.PO2Bar, po2(t))
	}
	return in
}

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.8g, want %.8g within %g", name, got, want, tol)
	}
}

// The error exp(-t) has IAE 1 and ISE 0.5 over all time, and a sine of amplitude
// A has MAE 2A/pi and RMSE A/sqrt 2 (closed forms; checked against gonum's
// Gauss-Legendre quadrature).
func TestTrackClosedForms(t *testing.T) {
	const dt = 0.001
	t.Run("exponential", func(t *testing.T) {
		r := Track(level(40000, dt, 1, func(s float64) float64 { return 1 + math.Exp(-s) }), nil, DefaultParams())
		iae := quad.Fixed(func(s float64) float64 { return math.Exp(-s) }, 0, 40, 200, quad.Legendre{}, 0)
		ise := quad.Fixed(func(s float64) float64 { return math.Exp(-2 * s) }, 0, 40, 200, quad.Legendre{}, 0)
		near(t, "quadrature of IAE", iae, 1, 1e-9)
		near(t, "quadrature of ISE", ise, 0.5, 1e-9)
		near(t, "IAE", r.IAEBarS, iae, 1e-3)
		near(t, "ISE from RMSE", r.RMSEBar*r.RMSEBar*r.AssessedS, ise, 1e-3)
		near(t, "mean error", r.MeanErrorBar*r.AssessedS, iae, 1e-3)
	})
	t.Run("sine", func(t *testing.T) {
		const amplitude, w = 0.08, 2 * math.Pi / 50
		r := Track(level(50*20*20, 0.05, 1.3, func(s float64) float64 { return 1.3 + amplitude*math.Sin(w*s) }), nil, DefaultParams())
		mae := quad.Fixed(func(s float64) float64 { return amplitude * math.Abs(math.Sin(w*s)) }, 0, 25, 60, quad.Legendre{}, 0) / 25
		near(t, "quadrature of MAE", mae, 2*amplitude/math.Pi, 1e-9)
		near(t, "MAE", r.MAEBar, mae, 1e-6)
		near(t, "RMSE", r.RMSEBar, amplitude/math.Sqrt2, 1e-6)
		near(t, "mean error", r.MeanErrorBar, 0, 1e-6)
		// |sin| <= 0.05/0.08 for 2/pi asin(0.625) of the time.
		near(t, "within 0.05", r.Within005, 2/math.Pi*math.Asin(0.625), 2e-3)
		near(t, "within 0.10", r.Within010, 1, 1e-12)
	})
}

// Each row weighs the time to the next, the last as the one before, a gap nothing.
func TestTrackWeights(t *testing.T) {
	in := Input{
		TimeS:       []float64{0, 1, 3, 100, 104},
		AmbientBar:  []float64{3, 3, 3, 3, 3},
		SetPointBar: []float64{1, 1, 1, 1, 1},
		PO2Bar:      []float64{1.1, 1.2, 1.3, 1.4, 1.5},
		GapAfter:    []bool{false, false, true, false, false},
	}
	r := Track(in, nil, DefaultParams())
	// weights 1, 2, 2 (as the one before), 4, 4
	near(t, "assessed", r.AssessedS, 13, 1e-12)
	near(t, "IAE", r.IAEBarS, 0.1*1+0.2*2+0.3*2+0.4*4+0.5*4, 1e-12)
	near(t, "within 0.10, limit inclusive", r.Within010, 1.0/13, 1e-12)
}

// Time with a set point above ambient pressure is apart and not in the figures;
// time between dry and ambient pressure is in them and said apart.
func TestTrackAttainable(t *testing.T) {
	nan := math.NaN()
	in := Input{
		TimeS:       []float64{0, 1, 2, 3, 4, 5, 6, 7},
		AmbientBar:  []float64{1.0, 1.3, 1.34, 2, 2, 2, 2, nan},
		SetPointBar: []float64{1.3, 1.3, 1.3, 1.3, nan, 1.3, 1.3, 1.3},
		PO2Bar:      []float64{0.9, 1.2, 1.2, 1.3, 1.3, 1.3, nan, 1.3},
		OnLoop:      []bool{true, true, true, true, true, false, true, true},
		VapourBar:   0.06,
	}
	r := Track(in, nil, DefaultParams())
	want := Result{
		Figures:       Figures{AssessedS: 3, MeanErrorBar: -0.2 / 3, MAEBar: 0.2 / 3, RMSEBar: math.Sqrt(0.02 / 3), IAEBarS: 0.2, Within005: 1.0 / 3, Within010: 1},
		UnattainableS: 1, AboveDryS: 2,
		ErrorBar: []float64{nan, -0.1, -0.1, 0, nan, nan, nan, nan},
	}
	if d := cmp.Diff(want, r, cmpopts.EquateNaNs(), cmpopts.EquateApprox(0, 1e-12)); d != "" {
		t.Error(d)
	}
}

// Time between dry and ambient pressure is part of the figures, so that a row
// without PO2, which is in none, is no such time.
func TestAboveDryIsAssessed(t *testing.T) {
	in := Input{TimeS: []float64{0, 1, 2, 3}, AmbientBar: []float64{1.3, 1.3, 1.3, 1.3}, SetPointBar: []float64{1.3, 1.3, 1.3, 1.3},
		PO2Bar: []float64{1.2, math.NaN(), math.NaN(), 1.2}, VapourBar: 0.06}
	r := Track(in, nil, DefaultParams())
	near(t, "assessed", r.AssessedS, 2, 1e-12)
	near(t, "above dry", r.AboveDryS, 2, 1e-12)
}

func TestTrackNothingToAssess(t *testing.T) {
	nan := math.NaN()
	for name, in := range map[string]Input{
		"empty":        {},
		"one row":      {TimeS: []float64{5}, AmbientBar: []float64{2}, SetPointBar: []float64{1}, PO2Bar: []float64{1.2}},
		"no set point": {TimeS: []float64{0, 1}, AmbientBar: []float64{2, 2}, PO2Bar: []float64{1, 1}},
		"all NaN":      {TimeS: []float64{0, 1}, AmbientBar: []float64{2, 2}, SetPointBar: []float64{1, 1}, PO2Bar: []float64{nan, nan}},
	} {
		r := Track(in, nil, DefaultParams())
		if r.AssessedS != 0 || !math.IsNaN(r.MAEBar) || !math.IsNaN(r.Within005) {
			t.Errorf("%s: got %+v, want nothing assessed", name, r.Figures)
		}
		if len(Changes(in, DefaultParams())) != 0 || len(NotHeld(in, nil, DefaultParams())) != 0 || len(HalfWaves(in, DefaultParams())) != 0 {
			t.Errorf("%s: found something in nothing", name)
		}
	}
}

func TestTrackByPhaseAddsUp(t *testing.T) {
	in := level(600, 1, 1.3, func(s float64) float64 { return 1.3 + 0.1*math.Sin(s/7) })
	for i := range in.DepthM {
		in.DepthM[i] = math.Min(20, float64(i)/6)
	}
	ph := Phases(in.TimeS, in.DepthM, nil, DefaultParams())
	r := Track(in, ph, DefaultParams())
	var seconds, iae float64
	for _, f := range r.ByPhase {
		seconds += f.AssessedS
		iae += f.IAEBarS
	}
	if len(r.ByPhase) < 2 {
		t.Fatalf("phases: %v", r.ByPhase)
	}
	near(t, "seconds", seconds, r.AssessedS, 1e-9)
	near(t, "IAE", iae, r.IAEBarS, 1e-9)
}

// Law: a row that only repeats what still held changes no figure, wherever it
// stands; sampling the same course twice as densely is the special case.
func TestTrackSamplingInvariance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(rt, "rows")
		var coarse, fine Input
		tS := 0.0
		for i := range n {
			e := rapid.Float64Range(-0.3, 0.3).Draw(rt, "error")
			dt := rapid.Float64Range(0.5, 10).Draw(rt, "dt")
			add := func(in *Input, at float64) {
				in.TimeS = append(in.TimeS, at)
				in.AmbientBar = append(in.AmbientBar, 3)
				in.SetPointBar = append(in.SetPointBar, 1)
				in.PO2Bar = append(in.PO2Bar, 1+e)
			}
			add(&coarse, tS)
			add(&fine, tS)
			if i < n-2 { // the last row weighs as the one before: leave these two alone
				for k := range rapid.IntRange(0, 3).Draw(rt, "extra") {
					add(&fine, tS+dt*float64(k+1)/5)
				}
			}
			tS += dt
		}
		a, b := Track(coarse, nil, DefaultParams()), Track(fine, nil, DefaultParams())
		if d := cmp.Diff(a.Figures, b.Figures, cmpopts.EquateApprox(1e-9, 1e-12)); d != "" {
			rt.Fatal(d)
		}
		if a.RMSEBar < a.MAEBar-1e-12 || a.MAEBar < math.Abs(a.MeanErrorBar)-1e-12 {
			rt.Fatalf("|mean| <= MAE <= RMSE does not hold: %+v", a.Figures)
		}
	})
}

func TestLengthMismatchPanics(t *testing.T) {
	defer func() {
		if r := recover(); r != "tracking: columns differ in length" {
			t.Errorf("recovered %v", r)
		}
	}()
	Track(Input{TimeS: []float64{1, 2}, PO2Bar: []float64{1}}, nil, DefaultParams())
}
