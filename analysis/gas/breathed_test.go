package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestLoopMix(t *testing.T) {
	// 18/45 held at 1.3 bar of 6.9 bar dry: the inert part keeps 45 : 37.
	m := LoopMix(1.3, 6.9, Mix{0.18, 0.45}.HeOfInert())
	near(t, "oxygen", m.O2, 1.3/6.9, 1e-12)
	near(t, "He : N2", m.He/m.N2(), 45.0/37, 1e-9)
	near(t, "sum", m.O2+m.He+m.N2(), 1, 1e-12)
	if m := LoopMix(1.7, 1.6, 0.5); m.O2 != 1 || m.He != 0 {
		t.Errorf("PO2 above the dry pressure gives %+v, want pure oxygen", m)
	}
	for _, m := range []Mix{LoopMix(math.NaN(), 2, 0), LoopMix(1, 0, 0), LoopMix(1, math.NaN(), 0), LoopMix(1, 2, Mix{O2: 1}.HeOfInert())} {
		if m.Known() {
			t.Errorf("%+v from what is not known", m)
		}
	}
}

func TestWetFractions(t *testing.T) {
	// Inspired oxygen of air at sea level: 0.21 (1.01325 - 0.0627) = 0.1996 bar,
	// 150 mmHg; textbooks print 149 to 150 with 0.209 to 0.21 (memory).
	w := Air().Wet(BarPerAta, 0.0627)
	near(t, "inspired PO2 of air, mmHg", w.O2*BarPerAta/1.33322e-3, 149.7, 0.1)
	near(t, "sum", w.O2+w.N2+w.He+w.H2O, 1, 1e-12)
	near(t, "vapour", w.H2O, 0.0627/BarPerAta, 1e-12)
}

func TestWetDensity(t *testing.T) {
	// Moist air at 20 C and 1013.25 hPa, saturated (23.4 hPa): 1.194 kg/m3 by the
	// ideal gas with the air of this package, 10.6 g/m3 less than dry.
	dry, wet := Density(Air(), BarPerAta, 20), WetDensity(Air(), BarPerAta, 0.0234, 20)
	near(t, "dry less wet", (dry-wet)*1000, 0.0234*(28.85-18.015)/(gasConstant*293.15)*1000, 0.02)
	near(t, "without vapour", WetDensity(Air(), 5, 0, 0), Density(Air(), 5, 0), 1e-12)
	// Worked out apart: saturated at 37 C the limits' own example, 5.21 at 0 C, is an eighth thinner.
	near(t, "air at 31 m as breathed", WetDensity(Air(), 4.1, 0.0627, 37), 4.561, 0.001)
}

func TestNarcoticDepth(t *testing.T) {
	for _, tt := range []struct {
		what    string
		m       Mix
		depthM  float64
		counted bool
		want    float64
		within  float64
	}{
		// Worked examples of a training page (technical-diving-uk.blogspot.com, 2011):
		// 18/35 at 60 m, nitrogen only, 31.64 m; 15/55 at 75 m, oxygen counted, 28 m.
		{"18/35, nitrogen", Mix{0.18, 0.35}, 60, false, 31.64, 0.01},
		{"15/55, oxygen too", Mix{0.15, 0.55}, 75, true, 28.25, 0.01},
		// The calculator of borrett.id.au/interests/end.php prints 32 m.
		{"40 % helium, oxygen too", Mix{0.18, 0.40}, 60, true, 32, 0.01},
		// Air is its own measure by both rules.
		{"air, nitrogen", Air(), 40, false, 40, 0.01},
		{"air, oxygen too", Air(), 40, true, 40, 0.01},
		{"oxygen at 6 m holds no nitrogen", Mix{O2: 1}, 6, false, -10, 0.01},
	} {
		p := Ambient(1, tt.depthM, EN13319Water)
		near(t, tt.what, NarcoticDepth(tt.m, p, 1, EN13319Water, tt.counted), tt.want, tt.within)
	}
}

// Counting oxygen never makes a loop look less narcotic where it holds no less
// oxygen than air, and helium never makes it more so.
func TestNarcoticDepthOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o2 := rapid.Float64Range(0.21, 1).Draw(t, "O2")
		he := rapid.Float64Range(0, 1-o2).Draw(t, "He")
		p := rapid.Float64Range(0.6, 16).Draw(t, "pBar")
		m := Mix{O2: o2, He: he}
		n2, both := NarcoticDepth(m, p, 1, SeaWater, false), NarcoticDepth(m, p, 1, SeaWater, true)
		if n2 > both+1e-9 {
			t.Fatalf("%v at %g bar: nitrogen alone %g m, with oxygen %g m", m, p, n2, both)
		}
		if less := NarcoticDepth(Mix{O2: o2, He: he / 2}, p, 1, SeaWater, true); less < both-1e-9 {
			t.Fatalf("half the helium makes %g m of %g m", less, both)
		}
	})
}

// Wet fractions add up, and give back the dry ones.
func TestWetAndDryAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o2 := rapid.Float64Range(0.01, 1).Draw(t, "O2")
		m := Mix{O2: o2, He: rapid.Float64Range(0, 1-o2).Draw(t, "He")}
		p := rapid.Float64Range(0.5, 16).Draw(t, "pBar")
		w := m.Wet(p, 0.0627)
		if math.Abs(w.O2+w.N2+w.He+w.H2O-1) > 1e-9 {
			t.Fatalf("%v wet sums to %g", m, w.O2+w.N2+w.He+w.H2O)
		}
		if dry := w.O2 * p / Dry(p, 0.0627); math.Abs(dry-m.O2) > 1e-9 {
			t.Fatalf("oxygen %g came back as %g", m.O2, dry)
		}
	})
}

func TestLeastWashIn(t *testing.T) {
	flat := func(n int, v float64) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = v
		}
		return x
	}
	// From 0.8 bar of the air's nitrogen to 4 bar inert: 3.2 of 4 came with the diluent.
	dry := []float64{1, 2, 3.2, 4.2, 5.2}
	po2 := []float64{0.2, 0.7, 1.2, 1.2, 1.2}
	got := LeastWashIn(po2, dry, flat(5, 0.6), 0)
	near(t, "after the descent", got[4], 0.6*3.2/4, 1e-12)
	// The ascent vents: the share stays.
	got = LeastWashIn(append(po2, 1.2), append(dry, 2), flat(6, 0.6), 0)
	near(t, "after the ascent", got[5], 0.6*3.2/4, 1e-12)
	// A saw-tooth at one depth brings nothing in.
	saw := make([]float64, 1000)
	for i := range saw {
		saw[i] = 1.3 - 0.1*float64(i%2)
	}
	got = LeastWashIn(saw, flat(1000, 5), flat(1000, 0.6), 0.1)
	near(t, "after the saw-tooth", got[999], 0.1, 0.1*0.6)
	if got[999] != got[2] {
		t.Errorf("the saw-tooth went on washing in: %g to %g", got[2], got[999])
	}
	// An unknown diluent, and unknown readings.
	nan := math.NaN()
	got = LeastWashIn([]float64{0.2, nan, 0.2, 0.2}, flat(4, 1), []float64{0.5, 0.5, nan, 0.7}, 0)
	if got[0] != 0 || got[1] != 0 || !math.IsNaN(got[2]) || got[3] != 0.7 {
		t.Errorf("got %v", got)
	}
}

// The share lies between what the loop began with and what came in.
func TestWashInIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "rows")
		po2, dry, dil := make([]float64, n), make([]float64, n), make([]float64, n)
		share := rapid.Float64Range(0, 1).Draw(t, "diluent")
		start := rapid.Float64Range(0, 1).Draw(t, "start")
		for i := range po2 {
			dry[i] = rapid.Float64Range(0.5, 15).Draw(t, "dry")
			po2[i] = rapid.Float64Range(0, dry[i]).Draw(t, "po2")
			dil[i] = share
		}
		last := start
		for i, h := range LeastWashIn(po2, dry, dil, start) {
			if h < math.Min(start, share)-1e-9 || h > math.Max(start, share)+1e-9 {
				t.Fatalf("row %d: share %g outside %g to %g", i, h, start, share)
			}
			if math.Abs(h-share) > math.Abs(last-share)+1e-9 {
				t.Fatalf("row %d: share %g moves away from the diluent's %g", i, h, share)
			}
			last = h
		}
	})
}
