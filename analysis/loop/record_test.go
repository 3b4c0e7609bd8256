package loop

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// A first-order element answers a unit step with 1 - exp(-t/tau), whatever the
// steps between rows: the closed form. Its T90 is tau ln 10 (METHODS, "The loop").
func TestLowPassStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tau := rapid.Float64Range(0.5, 60).Draw(t, "tau")
		steps := rapid.SliceOfN(rapid.Float64Range(0.2, 12), 3, 40).Draw(t, "h")
		timeS, u := []float64{0, 1e-12}, []float64{0, 1}
		for _, h := range steps {
			timeS = append(timeS, timeS[len(timeS)-1]+h)
			u = append(u, 1)
		}
		y := LowPass(nil, timeS, u, tau, nil)
		for i := range y[1:] {
			if want := 1 - math.Exp(-timeS[i+1]/tau); math.Abs(y[i+1]-want) > 1e-9 {
				t.Fatalf("t=%g: %g, want %g", timeS[i+1], y[i+1], want)
			}
		}
	})
}

// A ramp u = t is followed as t - tau (1 - exp(-t/tau)): exact under the hold.
func TestLowPassRampAcrossMissing(t *testing.T) {
	timeS := []float64{0, 1, 3, 3.5, 10, 20}
	u := []float64{0, 1, math.NaN(), 3.5, 10, 20}
	y := LowPass(nil, timeS, u, 4, nil)
	for i, x := range timeS {
		want := x - 4*(1-math.Exp(-x/4))
		if i == 2 {
			if !math.IsNaN(y[i]) {
				t.Errorf("missing reading filled with %g", y[i])
			}
			continue
		}
		if math.Abs(y[i]-want) > 1e-12 {
			t.Errorf("t=%g: %g, want %g", x, y[i], want)
		}
	}
}

func TestLowPassRestartsAfterGap(t *testing.T) {
	timeS := []float64{0, 1, 2, 100, 101}
	u := []float64{1, 1, math.NaN(), 5, 5}
	y := LowPass(nil, timeS, u, 10, []bool{false, true, false, false, false})
	if y[3] != 5 || y[4] != 5 {
		t.Errorf("after the gap: %v", y[3:])
	}
	if got := SettledRows(timeS, []bool{false, true, false, false, false}, 1); !cmp.Equal(got, []bool{false, true, false, true, true}) {
		t.Errorf("settled %v", got)
	}
}

func TestSlope(t *testing.T) {
	timeS := []float64{0, 1, 2, 4, 8, 9}
	x := []float64{3, 5, math.NaN(), 11, 19, 21}
	for i, v := range Slope(timeS, x, 8) {
		if math.Abs(v-2) > 1e-12 {
			t.Errorf("row %d: slope %g", i, v)
		}
	}
	if v := Slope([]float64{0, 100}, []float64{1, 2}, 10); !math.IsNaN(v[0]) {
		t.Errorf("one row in the window gives %g", v[0])
	}
}

func TestPhasesAndMask(t *testing.T) {
	var r Record
	for i := range 600 {
		d := math.Min(20, math.Max(0, float64(i-100)*0.25)) // 15 m/min from 100 s
		if i > 400 {
			d = math.Max(0, 20-float64(i-400)*0.15) // 9 m/min from 400 s
		}
		r.TimeS, r.DepthM = append(r.TimeS, float64(i)), append(r.DepthM, d)
	}
	var kinds []PhaseKind
	for _, p := range Phases(r, 30, 3) {
		kinds = append(kinds, p.Kind)
	}
	if d := cmp.Diff([]PhaseKind{Level, Descent, Level, Ascent, Level}, kinds); d != "" {
		t.Error(d)
	}
	r.Events = []Event{{AtS: 200, Kind: DiluentFlush}, {AtS: 300, Kind: CalibrationRun}}
	m := MaskEvents(r, DefaultMaskParams())
	if !m[190] || !m[260] || m[189] || m[261] || m[300] {
		t.Error("mask of a flush is not 190..260 s")
	}
	r.OnLoop = make([]bool, 600)
	for i := range 580 {
		r.OnLoop[i] = true
	}
	if m = MaskEvents(r, DefaultMaskParams()); !m[570] || m[569] || !m[599] {
		t.Error("open circuit is not masked with its margins")
	}
	if got := Phases(Record{}, 30, 3); len(got) != 0 {
		t.Error("phases of nothing")
	}
	if !math.IsNaN(Quantile(nil, 0.5)) || Quantile([]float64{3, math.NaN(), 1}, 0.5) != 2 {
		t.Error("quantile")
	}
}
