package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near fails unless got is within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

func TestUnitsOfDepth(t *testing.T) {
	// EN 13319: 1 bar is 10 m, at 1e5/(10 g) = 1019.716 kg/m3, printed 1.0197 kg/l.
	near(t, "EN 13319, 10 m", Ambient(0, 10, EN13319Water), 1, 2e-5)
	near(t, "density of 10 m to the bar", 1e5/(10*StandardGravity), EN13319Water, 0.02)
	// EN 13319 summary: at one indicated depth the true one is 102 % in fresh water.
	near(t, "fresh over EN 13319", Depth(1, 2, FreshWater)/Depth(1, 2, EN13319Water), 1.02, 5e-4)
	// US Navy: 64 lbf/ft3 is 3064.3 Pa a foot, 0.30643 msw; 3.263 fsw to the msw.
	near(t, "fsw in msw", BarPerFsw/BarPerMsw, 0.30643, 5e-6)
	near(t, "msw in fsw", BarPerMsw/BarPerFsw, 3.263, 5e-4)
	near(t, "fsw from 64 lbf/ft3", BarPerFsw*1e5, 64*4.4482216152605/(0.3048*0.3048), 0.01)
	near(t, "density of a foot of sea water", BarPerFsw*1e5/(StandardGravity*MetresPerFoot), 1025.18, 0.01)
}

func TestPrintedPressures(t *testing.T) {
	// CFT course slides: 34 % oxygen at 30 m, 10 m to the bar from 1 bar: 1.36.
	p := Ambient(1, 30, EN13319Water)
	near(t, "34 % at 30 m", 0.34*p, 1.36, 1e-4)
	// The same slides: 1.4 bar with 34 %, 4.118 bar or 31.18 m (printed 4.1 and 31).
	near(t, "pressure for 1.4 bar", 1.4/0.34, 4.118, 5e-4)
	near(t, "depth for 1.4 bar", Depth(1, 1.4/0.34, EN13319Water), 31.18, 0.01)
	// Termium: 46 fsw is 2.3939 ata, counting 33 fsw to the atmosphere.
	near(t, "46 fsw, 33 to the ata", 46.0/33+1, 2.3939, 5e-5)
	// The foot of 64 lbf/ft3 used here is 0.2 % less of an atmosphere.
	near(t, "46 fsw, 64 lbf/ft3", 46*BarPerFsw/BarPerAta+1, 2.3912, 5e-5)
	near(t, "1.6 ata in bar", 1.6*BarPerAta, 1.6212, 1e-9)
}

func TestStandardAtmosphere(t *testing.T) {
	// ISO 2533, hPa.
	for altitudeM, hPa := range map[float64]float64{
		0: 1013.25, 300: 977.73, 500: 954.61, 1000: 898.75, 1500: 845.56, 2000: 794.95,
		2500: 746.83, 3000: 701.09, 4000: 616.40, 5000: 540.20, 11000: 226.321,
	} {
		near(t, "pressure in hPa", StandardPressure(altitudeM)*1000, hPa, 0.006)
		near(t, "altitude", StandardAltitude(hPa/1000), altitudeM, 0.2)
	}
	for _, h := range []float64{-6000, 11001, math.NaN(), math.Inf(1)} {
		if got := StandardPressure(h); !math.IsNaN(got) {
			t.Errorf("StandardPressure(%g) = %g, want NaN", h, got)
		}
	}
	for _, p := range []float64{0, 0.1, 2, -1, math.NaN()} {
		if got := StandardAltitude(p); !math.IsNaN(got) {
			t.Errorf("StandardAltitude(%g) = %g, want NaN", p, got)
		}
	}
}

func TestDensity(t *testing.T) {
	tests := []struct {
		what            string
		m               Mix
		pBar, tempC     float64
		want, tolerance float64
	}{
		// L. H. Taylor, University of Michigan: 0 C, 1 atm; real gases, hence 0.5 %.
		{"oxygen, 1 atm", Mix{O2: 1}, BarPerAta, 0, 1.428, 0.001},
		{"nitrogen, 1 atm", Mix{}, BarPerAta, 0, 1.251, 0.0015},
		{"helium, 1 atm", Mix{He: 1}, BarPerAta, 0, 0.178, 0.001},
		// Taylor: 0.4569 g of oxygen and 0.8507 g of nitrogen in a litre of 32 %.
		{"32 %, 1 atm", Mix{O2: 0.32}, BarPerAta, 0, 1.3076, 0.0015},
		// The ideal gas, worked out apart.
		{"oxygen, 1 bar", Mix{O2: 1}, 1, 0, 1.4089, 5e-5},
		{"nitrogen, 1 bar", Mix{}, 1, 0, 1.2335, 5e-5},
		{"helium, 1 bar", Mix{He: 1}, 1, 0, 0.1762, 5e-5},
		{"air, 1 bar", Air(), 1, 0, 1.2703, 5e-5},
		{"oxygen, 20 C", Mix{O2: 1}, 1, 20, 1.3128, 5e-5},
		{"nitrogen, 20 C", Mix{}, 1, 20, 1.1493, 5e-5},
		{"helium, 20 C", Mix{He: 1}, 1, 20, 0.1642, 5e-5},
		{"air, 20 C", Air(), 1, 20, 1.1836, 1e-4},
		// Anthony and Mitchell 2016: 5.2 and 6.2 g/L are air at 31 and 39 m.
		{"air at 31 m", Air(), 4.1, 0, 5.21, 0.005},
		{"air at 39 m", Air(), 4.9, 0, 6.22, 0.005},
		{"18/45 at 60 m", Mix{0.18, 0.45}, 7, 0, 5.53, 0.005},
		{"18/45 at 60 m, 20 C", Mix{0.18, 0.45}, 7, 20, 5.15, 0.005},
	}
	for _, tt := range tests {
		near(t, tt.what, Density(tt.m, tt.pBar, tt.tempC), tt.want, tt.tolerance)
	}
}

func TestWaterVapour(t *testing.T) {
	// Respiratory physiology: 47 mmHg at 37 C.
	near(t, "37 C", SaturatedVapourBar(37), 0.0627, 5e-5)
	near(t, "37 C", SaturatedVapourBar(37), 47*1.33322e-3, 1e-4)
	// Wexler 1976, J Res NBS 80A: 611.657 Pa at the triple point.
	near(t, "triple point", SaturatedVapourBar(0.01), 0.00611657, 0.00611657*0.004)
	// Goff-Gratch: 31.652 hPa at 25 C, 100.84 at 46 C.
	near(t, "25 C", SaturatedVapourBar(25), 0.031652, 0.031652*0.004)
	near(t, "46 C", SaturatedVapourBar(46), 0.10084, 0.10084*0.004)
}

func TestSTPDToLoop(t *testing.T) {
	// 1.5 L/min into 6 L at 20 C is 0.2719 bar/min, and 0.2533 at 0 C.
	near(t, "20 C", STPDToLoop(1.5, 20)*60/6, 0.2719, 5e-5)
	near(t, "0 C", STPDToLoop(1.5, 0)*60/6, 0.2533, 5e-5)
	near(t, "0.64 L/min", STPDToLoop(0.64, 20)*60/6, 0.1160, 5e-5)
}

func TestDry(t *testing.T) {
	near(t, "dry", Dry(1.013, 0.0627), 0.9503, 1e-12)
	near(t, "all vapour", Dry(0.05, 0.0627), 0, 0)
	if !math.IsNaN(Dry(math.NaN(), 0)) {
		t.Error("Dry(NaN, 0) is a number")
	}
}

func TestDepthInvertsAmbient(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		surface := rapid.Float64Range(0.5, 1.1).Draw(t, "surfaceBar")
		depthM := rapid.Float64Range(-1, 300).Draw(t, "depthM")
		density := rapid.Float64Range(990, 1035).Draw(t, "density")
		if got := Depth(surface, Ambient(surface, depthM, density), density); math.Abs(got-depthM) > 1e-9 {
			t.Fatalf("%g m came back as %g", depthM, got)
		}
	})
}

func TestAltitudeInvertsPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(-400, 8000).Draw(t, "altitudeM")
		if got := StandardAltitude(StandardPressure(h)); math.Abs(got-h) > 1e-6 {
			t.Fatalf("%g m came back as %g", h, got)
		}
	})
}
