package linearity

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// cellModel is a simulated cell.
type cellModel struct{ slope, offset, ceiling, tau float64 }

// potRun simulates a pot at 1 Hz: held levels joined by ramps of rate bar/s, one
// bar of air to begin with, filled with oxygen. Readings are rounded to 0.1 mV.
func potRun(levels []float64, holdS, rate float64, cells ...cellModel) Input {
	r := rand.New(rand.NewPCG(7, 7))
	in := Input{Fraction: 0.209, SupplyO2: 1, Readings: make([][]float64, len(cells))}
	p, po2 := levels[0], 0.209*levels[0]
	state := make([]float64, len(cells))
	for k, c := range cells {
		state[k] = po2
		in.StepRaw = append(in.StepRaw, 0.1)
		_ = c
	}
	step := func(next float64) {
		const sub = 20
		d := (next - p) / sub
		for range sub {
			before := po2
			if d > 0 {
				po2 += d
			} else {
				po2 *= (p + d) / p
			}
			p += d
			for k, c := range cells {
				state[k] += (math.Min((po2+before)/2, c.ceiling) - state[k]) * (1 - math.Exp(-1/(sub*c.tau)))
			}
		}
		in.TimeS = append(in.TimeS, float64(len(in.TimeS)))
		in.PressureBar = append(in.PressureBar, p+0.002*r.NormFloat64())
		for k, c := range cells {
			in.Readings[k] = append(in.Readings[k], math.Round((c.offset+c.slope*state[k]+0.03*r.NormFloat64())*10)/10)
		}
	}
	for _, l := range levels {
		for math.Abs(l-p) > 1e-9 {
			step(p + math.Copysign(math.Min(rate, math.Abs(l-p)), l-p))
		}
		for range int(holdS) {
			step(p)
		}
	}
	return in
}

var upAndDown = []float64{1, 1.4, 1.8, 2.2, 2.7, 3.1, 3.5, 2.6, 1.8, 1}

// TestAfterPurges: one bar of air pressed to 3.5 bar with oxygen is 77 % (the
// mass balance by hand: (0.209 + 2.5)/3.5 = 0.774), and purges go on from there.
func TestAfterPurges(t *testing.T) {
	for _, c := range []struct {
		n    int
		want float64
	}{{0, 0.209}, {1, 0.774}, {2, 0.93543}, {3, 0.98155}} {
		if got := AfterPurges(0.209, 1, 1, 3.5, c.n); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("%d purges: %v, want %v", c.n, got, c.want)
		}
	}
	if got, want := Filled(0.209, 1, 1, 3.5), AfterPurges(0.209, 1, 1, 3.5, 1); math.Abs(got-want) > 1e-12 {
		t.Errorf("one filling %v is one purge %v", got, want)
	}
}

// TestPurgesByHistory: the pot's fraction from the recorded pressure is that of
// the equation for any number of purges.
func TestPurgesByHistory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 5).Draw(t, "n")
		high := rapid.Float64Range(1.5, 4).Draw(t, "high")
		levels := []float64{1}
		for range n {
			levels = append(levels, high, 1)
		}
		in := potRun(levels, 40, 0.05)
		_, x := PotPO2(in, DefaultParams())
		if want := AfterPurges(0.209, 1, 1, high, n); math.Abs(x[len(x)-1]-want) > 0.004 {
			t.Fatalf("fraction %v, want %v", x[len(x)-1], want)
		}
	})
}

func TestGoodCell(t *testing.T) {
	r := Analyze(potRun(upAndDown, 90, 0.05, cellModel{52, 0.4, 9, 2.6}), DefaultParams())
	if len(r.Levels) != len(upAndDown) {
		t.Fatalf("%d levels, want %d", len(r.Levels), len(upAndDown))
	}
	// Noise of the gauge fills no pot: air stays air, and the top is (0.209 + 2.5)/3.5.
	for l, want := range map[int]float64{0: 0.209, 6: 0.774, 9: 0.774} {
		if got := r.Levels[l].Fraction; math.Abs(got-want) > 0.001 {
			t.Errorf("level %d: fraction %v, want %v", l+1, got, want)
		}
	}
	c := r.Cells[0]
	holds(t, "slope", c.Slope, 52)
	holds(t, "offset", c.OffsetRaw, 0.4)
	holds(t, "T90", c.T90S, 2.6*math.Ln10)
	if !(c.FollowsToBar > 2.6) || !math.IsNaN(c.Ceiling.Value) || !math.IsNaN(c.FirstOffBar) {
		t.Errorf("a good cell follows to %v, ceiling %v, off at %v", c.FollowsToBar, c.Ceiling, c.FirstOffBar)
	}
	if math.Abs(c.Hysteresis.Value) > 0.03 {
		t.Errorf("hysteresis %v", c.Hysteresis)
	}
}

// holds wants the truth inside of the interval, and the interval useful.
func holds(t *testing.T, what string, e Estimate, truth float64) {
	t.Helper()
	if !(e.Low <= truth && truth <= e.High) {
		t.Errorf("%s %v does not hold %v", what, e, truth)
	}
	if e.High-e.Low > 0.3*math.Abs(truth)+0.1 && what != "offset" {
		t.Errorf("%s %v is of no use", what, e)
	}
}

// TestCeilings: wherever the ceiling lies, it is found there, and the cell is
// never said to follow beyond it.
func TestCeilings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ceiling := rapid.Float64Range(0.9, 2.3).Draw(t, "ceiling")
		slope := rapid.Float64Range(35, 70).Draw(t, "slope")
		r := Analyze(potRun(upAndDown, 60, 0.08, cellModel{slope, 0, ceiling, 2.5}), DefaultParams())
		c := r.Cells[0]
		if c.FollowsToBar > (ceiling+0.02)*1.05+0.01 { // within the limit of 5 % and 0.01 bar
			t.Fatalf("said to follow to %v, ceiling is %v", c.FollowsToBar, ceiling)
		}
		if !(c.Ceiling.Low <= ceiling+0.02 && c.Ceiling.High >= ceiling-0.02) {
			t.Fatalf("ceiling %+v does not hold %v", c.Ceiling, ceiling)
		}
	})
}

// TestT90 over tau: a slow filling is not taken for a slow cell.
func TestT90(t *testing.T) {
	for _, tau := range []float64{2, 4.343, 8, 12} {
		for _, rate := range []float64{0.02, 0.2} {
			r := Analyze(potRun([]float64{1, 2, 3, 2}, 120, rate, cellModel{50, 0, 9, tau}), DefaultParams())
			e := r.Cells[0].T90S
			if truth := tau * math.Ln10; math.Abs(e.Value-truth) > 0.04*truth || !(e.Low <= truth && truth <= e.High) {
				t.Errorf("T90 %+v at %v bar/s, true is %v", e, rate, truth)
			}
		}
	}
}

// TestNothing: input of which nothing can be said gives no figure and no panic.
func TestNothing(t *testing.T) {
	p := DefaultParams()
	for name, in := range map[string]Input{
		"no rows":   {Readings: [][]float64{{}}, StepRaw: []float64{0}},
		"one level": potRun([]float64{1}, 100, 0.1, cellModel{50, 0, 9, 2}),
		"dead cell": potRun(upAndDown, 60, 0.1, cellModel{0, 3, 9, 2}),
		"all NaN":   {TimeS: []float64{0, 1}, PressureBar: []float64{nan, nan}, Readings: [][]float64{{nan, nan}}, StepRaw: []float64{0}},
	} {
		c := Analyze(in, p).Cells[0]
		if !math.IsNaN(c.FollowsToBar) || !math.IsNaN(c.Slope.Value) || c.LineReason == "" {
			t.Errorf("%s: follows to %v, slope %v, reason %q", name, c.FollowsToBar, c.Slope, c.LineReason)
		}
	}
}
