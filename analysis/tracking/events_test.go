package tracking

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// A sine's half-wave has the area 2A/w (closed form; gonum's quadrature agrees).
func TestHalfWaveOfSine(t *testing.T) {
	const amplitude, period = 0.1, 60.0
	w := 2 * math.Pi / period
	area := quad.Fixed(func(s float64) float64 { return amplitude * math.Sin(w*s) }, 0, period/2, 40, quad.Legendre{}, 0)
	near(t, "quadrature", area, 2*amplitude/w, 1e-9)
	for _, dt := range []float64{0.5, 1, 2, 5} {
		in := level(int(900/dt), dt, 1.3, func(s float64) float64 { return 1.3 + amplitude*math.Sin(w*(s-7.3)) })
		hs := HalfWaves(in, DefaultParams())
		if len(hs) < 27 || len(hs) > 30 {
			t.Fatalf("dt %g: %d half-waves in 15 periods", dt, len(hs))
		}
		for i, h := range hs {
			near(t, "area", h.AreaBarS, area, area*0.012*dt) // chords lie below the arc
			near(t, "length", h.ToS-h.FromS, period/2, 0.2*dt)
			if i > 0 && h.Sign == hs[i-1].Sign {
				t.Error("signs do not take turns")
			}
		}
	}
}

func TestHalfWaveEnds(t *testing.T) {
	in := Input{
		TimeS:       []float64{0, 1, 2, 3, 4, 5, 6, 7},
		AmbientBar:  []float64{3, 3, 3, 3, 3, 3, 3, 3},
		SetPointBar: []float64{1, 1, 1, 1, 1, 1, 1, 1},
		PO2Bar:      []float64{1.1, 0.9, 1.1, 1, 1, 0.9, 1, 1.1},
	}
	hs := HalfWaves(in, DefaultParams())
	want := []HalfWave{{0.5, 1.5, 0.05, -1}, {1.5, 3, 0.075, 1}, {4, 6, 0.1, -1}}
	if len(hs) != len(want) {
		t.Fatalf("%+v", hs)
	}
	for i := range want {
		near(t, "from", hs[i].FromS, want[i].FromS, 1e-9)
		near(t, "to", hs[i].ToS, want[i].ToS, 1e-9)
		near(t, "area", hs[i].AreaBarS, want[i].AreaBarS, 1e-9)
		if hs[i].Sign != want[i].Sign {
			t.Errorf("sign of %d", i)
		}
	}
	in.GapAfter = make([]bool, 8)
	in.GapAfter[1] = true // cuts the first two
	if hs := HalfWaves(in, DefaultParams()); len(hs) != 1 {
		t.Errorf("across a gap: %+v", hs)
	}
	in.GapAfter = nil
	in.SetPointBar[1], in.SetPointBar[0] = 1, 0.8 // a change of set point, too
	if hs := HalfWaves(in, DefaultParams()); len(hs) != 2 {
		t.Errorf("across a change of set point: %+v", hs)
	}
}

// Law: the areas of complete half-waves never exceed the whole IAE.
func TestHalfWavesWithinIAE(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		e := rapid.SliceOfN(rapid.Float64Range(-0.4, 0.4), 2, 60).Draw(rt, "error")
		in := level(len(e), 1, 1, func(s float64) float64 { return 1 + e[int(s)] })
		var area, all float64
		last := math.Inf(-1)
		for _, h := range HalfWaves(in, DefaultParams()) {
			if h.FromS < last || h.ToS <= h.FromS {
				rt.Fatalf("overlap at %g", h.FromS)
			}
			last = h.ToS
			area += h.AreaBarS
		}
		for i := 1; i < len(e); i++ {
			all += (math.Abs(e[i]) + math.Abs(e[i-1])) / 2
		}
		if area > all+1e-9 {
			rt.Fatalf("%g > %g", area, all)
		}
	})
}

func TestOscillations(t *testing.T) {
	p := DefaultParams()
	swing := func(amplitude, period float64) Input {
		return level(1800, 1, 1.3, func(s float64) float64 {
			if s < 300 || s > 1500 {
				return 1.3 + 0.001*math.Sin(s)
			}
			return 1.3 + amplitude*math.Sin(2*math.Pi/period*(s-300))
		})
	}
	for _, c := range []struct {
		name              string
		amplitude, period float64
		want              int
	}{
		{"0.12 bar every 90 s", 0.12, 90, 1},       // 3.4 bar s each, 13 in 10 min
		{"too small", 0.03, 90, 0},                 // 0.86 bar s
		{"too slow", 0.12, 250, 0},                 // 6 half-waves take 750 s
		{"just quick enough: 200 s", 0.12, 199, 1}, // 6 half-waves take 597 s
	} {
		in := swing(c.amplitude, c.period)
		os := Oscillations(in, HalfWaves(in, p), p)
		if len(os) != c.want {
			t.Errorf("%s: %d, want %d: %+v", c.name, len(os), c.want, os)
			continue
		}
		if c.want == 1 {
			near(t, c.name+" period", os[0].PeriodS, c.period, 1.5)
			near(t, c.name+" from", os[0].FromS, 300, 2)
			near(t, c.name+" to", os[0].ToS, 1500, c.period/2+3)
			near(t, c.name+" depth range", os[0].DepthRangeM, 0, 1e-12)
		}
	}
}

// One event is one excursion, even if it grows; a brief return does not split it.
func TestNotHeld(t *testing.T) {
	p := DefaultParams()
	course := func(pieces ...[2]float64) Input { // error, seconds
		var e []float64
		for _, q := range pieces {
			for range int(q[1]) {
				e = append(e, q[0])
			}
		}
		return level(len(e), 1, 1.3, func(s float64) float64 { return 1.3 + e[int(s)] })
	}
	for _, c := range []struct {
		name string
		in   Input
		want [][3]float64 // from, to, worst
	}{
		{"59 s are too short", course([2]float64{0, 30}, [2]float64{-0.2, 59}, [2]float64{0, 30}), nil},
		{"60 s are enough", course([2]float64{0, 30}, [2]float64{-0.2, 60}, [2]float64{0, 30}), [][3]float64{{30, 90, -0.2}}},
		{"the limit itself is held", course([2]float64{0, 30}, [2]float64{-0.1, 200}), nil},
		{"it grows", course([2]float64{0, 30}, [2]float64{-0.15, 50}, [2]float64{-0.5, 50}, [2]float64{-0.12, 50}), [][3]float64{{30, 180, -0.5}}},
		{"a brief return", course([2]float64{0.2, 50}, [2]float64{0.05, 10}, [2]float64{0.3, 50}, [2]float64{0, 5}), [][3]float64{{0, 110, 0.3}}},
		{"a longer return", course([2]float64{0.2, 70}, [2]float64{0.05, 20}, [2]float64{0.3, 80}), [][3]float64{{0, 70, 0.2}, {90, 170, 0.3}}},
		{"the sign changes", course([2]float64{0.2, 70}, [2]float64{-0.2, 70}), [][3]float64{{0, 70, 0.2}, {70, 140, -0.2}}},
		{"unknown for a moment", course([2]float64{0.2, 40}, [2]float64{math.NaN(), 8}, [2]float64{0.2, 40}), [][3]float64{{0, 88, 0.2}}},
	} {
		got := NotHeld(c.in, nil, p)
		if len(got) != len(c.want) {
			t.Errorf("%s: %d, want %d: %+v", c.name, len(got), len(c.want), got)
			continue
		}
		for i, w := range c.want {
			near(t, c.name+" from", got[i].FromS, w[0], 1e-9)
			near(t, c.name+" to", got[i].ToS, w[1], 1e-9)
			near(t, c.name+" worst", got[i].WorstBar, w[2], 1e-9)
		}
	}
}

func TestNotHeldTellsChangeAndPhase(t *testing.T) {
	in := stepAt60(1, 600, func(s float64) float64 { return 1 - math.Exp(-s/100) })
	ph := make([]Phase, len(in.TimeS))
	for i := range ph {
		ph[i] = Descent
	}
	got := NotHeld(in, ph, DefaultParams())
	if len(got) != 1 || !got[0].AfterChange || !got[0].PhaseKnown || got[0].Phase != Descent || got[0].Sign != -1 {
		t.Fatalf("%+v", got)
	}
	near(t, "onset", got[0].OnsetBar, -0.6, 1e-9)
	near(t, "set point", got[0].SetPointBar, 1.3, 1e-9)
	// The same course without a change of set point is the loop's own doing.
	for i := range in.SetPointBar {
		in.SetPointBar[i] = 1.3
	}
	if got := NotHeld(in, nil, DefaultParams()); len(got) != 1 || got[0].AfterChange || got[0].FromS != 0 {
		t.Errorf("%+v", got)
	}
}

// A gap ends an excursion: what happened in it is not known.
func TestNotHeldGap(t *testing.T) {
	in := level(200, 1, 1.3, func(float64) float64 { return 1.0 })
	in.GapAfter = make([]bool, 200)
	in.GapAfter[99] = true
	for i := 100; i < 200; i++ {
		in.TimeS[i] += 600
	}
	got := NotHeld(in, nil, DefaultParams())
	if len(got) != 2 || got[0].ToS != 100 || got[1].FromS != 700 {
		t.Errorf("%+v", got)
	}
}
