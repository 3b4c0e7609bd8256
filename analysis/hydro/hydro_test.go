package hydro

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/gas"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// profile is a dive to maxM and back, in rows of a second: down, a level, up.
func profile(maxM float64) (tS, depthM []float64) {
	for i := 0; i < 1800; i++ {
		z := maxM
		switch {
		case i < 60 || i >= 1740:
			z = 0
		case i < 360:
			z = maxM * float64(i-60) / 300
		case i >= 1200:
			z = maxM * float64(1740-i) / 540
		}
		tS, depthM = append(tS, float64(i)), append(depthM, z)
	}
	return tS, depthM
}

func rounded(v []float64, step float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = math.Round(x/step) * step
	}
	return out
}

func ambient(depthM []float64, surfaceBar, density float64) []float64 {
	out := make([]float64, len(depthM))
	for i, z := range depthM {
		out[i] = gas.Ambient(surfaceBar, z, density)
	}
	return out
}

// wiggle is noise that is the same everywhere.
func wiggle(i int) float64 {
	x := math.Sin(float64(i)*12.9898) * 43758.5453
	return x - math.Floor(x) - 0.5
}

func TestImpliedDensity(t *testing.T) {
	for _, tt := range []struct {
		what    string
		density float64
	}{{"sea water", gas.SeaWater}, {"fresh water", gas.FreshWater}, {"EN 13319: 10 m to the bar, 1.0197 kg/l", gas.EN13319Water}} {
		_, z := profile(40)
		d, s := ImpliedDensity(rounded(z, 0.1), rounded(ambient(z, 0.95, tt.density), 0.001), DefaultParams())
		near(t, tt.what, d.Value, tt.density, 3)
		near(t, tt.what+", surface", s.Value, 0.95, 0.005)
		if !(d.Low <= tt.density && tt.density <= d.High && d.High-d.Low < 8 && s.Low <= 0.95 && 0.95 <= s.High) {
			t.Errorf("%s: density %+v, surface %+v", tt.what, d, s)
		}
	}
}

func TestImpliedDensityNeedsRange(t *testing.T) {
	_, z := profile(6)
	if d, _ := ImpliedDensity(z, ambient(z, 1, 1000), DefaultParams()); !math.IsNaN(d.Value) || d.Reason == "" {
		t.Errorf("6 m give %+v", d)
	}
	if d, _ := ImpliedDensity([]float64{0, nan}, []float64{nan, 2}, DefaultParams()); d.Reason != "no row holds both" {
		t.Errorf("nothing in common gives %+v", d)
	}
	two := []float64{0, 0, 30, 30, 0, 30}
	if d, _ := ImpliedDensity(two, ambient(two, 1, 1000), DefaultParams()); !math.IsNaN(d.Value) {
		t.Errorf("two depths give %+v", d)
	}
}

// The interval holds the density that was assumed, whatever the rounding, the
// noise of the pressure and the depth; it is meant to do so 95 times in 100.
func TestDensityIntervalHolds(t *testing.T) {
	held, n := 0, 0
	for _, density := range []float64{1000, 1019.7, 1025, 1030} {
		for _, deep := range []float64{14, 22, 45, 80} {
			for _, step := range []float64{0.01, 0.1, 0.3} {
				_, z := profile(deep)
				p := ambient(z, 1.01, density)
				for i := range p {
					p[i] += 0.004 * wiggle(i+n*1000)
				}
				d, _ := ImpliedDensity(rounded(z, step), rounded(p, 0.001), DefaultParams())
				if n++; d.Low <= density && density <= d.High {
					held++
				}
			}
		}
	}
	if float64(held) < 0.9*float64(n) {
		t.Errorf("held %d of %d", held, n)
	}
}

func TestStep(t *testing.T) {
	for _, tt := range []struct {
		v    []float64
		want float64
	}{
		{[]float64{0, 0.1, 12.3}, 0.1}, {[]float64{1.013, 2.25}, 0.001}, {[]float64{1, 3}, 1}, {[]float64{nan, 0.5, 2}, 0.5},
		{[]float64{1.00005, 2.1}, 0}, {[]float64{2, 2, 2}, 0}, {nil, 0}, {[]float64{nan}, 0}, {[]float64{-0.2, 0.4}, 0.2},
	} {
		if got := Step(tt.v); got != tt.want {
			t.Errorf("Step(%v) = %g, want %g", tt.v, got, tt.want)
		}
	}
}

func TestComparePair(t *testing.T) {
	_, z := profile(50)
	a := rounded(ambient(z, 1.0, 1025), 0.001)
	b := make([]float64, len(a))
	for i, v := range ambient(z, 1.0, 1025) {
		b[i] = 0.02 + 1.01*v
	}
	b = rounded(b, 0.05)
	r := ComparePair(a, b, DefaultParams())
	near(t, "scale", r.Scale.Value, 1.01, 0.004)
	near(t, "offset", r.Offset.Value, 0.02, 0.015)
	near(t, "worst", r.Worst, 0.02+0.01*6.03, 0.03)
	if r.StepA != 0.001 || r.StepB != 0.05 || !math.IsNaN(r.SaturatedA) || !math.IsNaN(r.SaturatedB) {
		t.Errorf("steps %g and %g, saturated %g and %g", r.StepA, r.StepB, r.SaturatedA, r.SaturatedB)
	}
	if !(r.Scale.Low <= 1.01 && 1.01 <= r.Scale.High && r.Offset.Low <= 0.02 && 0.02 <= r.Offset.High) {
		t.Errorf("scale %+v, offset %+v", r.Scale, r.Offset)
	}
}

// A sensitive sensor for shallow water stops at 2 bar; below, the two agree.
func TestSaturation(t *testing.T) {
	_, z := profile(50)
	wide := rounded(ambient(z, 1.0, 1025), 0.01)
	fine := make([]float64, len(wide))
	for i, v := range ambient(z, 1.0, 1025) {
		fine[i] = math.Min(v, 2.0)
	}
	fine = rounded(fine, 0.0001)
	r := ComparePair(fine, wide, DefaultParams())
	near(t, "saturates at", r.SaturatedA, 2.0, 1e-9)
	if !math.IsNaN(r.SaturatedB) {
		t.Errorf("the wide one saturates at %g", r.SaturatedB)
	}
	if math.Abs(r.Worst) > 0.006 {
		t.Errorf("they differ by %g below the end of the range", r.Worst)
	}
	// Two that follow each other do not saturate; a dive that is level at its deepest is no saturation.
	if s := SaturatesAt(wide, wide, DefaultParams()); !math.IsNaN(s) {
		t.Errorf("a sensor against itself saturates at %g", s)
	}
	none := make([]float64, len(wide))
	for i := range none {
		none[i] = nan
	}
	if r := ComparePair(wide, none, DefaultParams()); r.Rows != 0 || r.WorstRow != -1 || r.Scale.Reason == "" {
		t.Errorf("against nothing: %+v", r.Difference)
	}
}

func TestReadSurface(t *testing.T) {
	tS, z := profile(30)
	p := ambient(z, 0.90, 1000)
	at, under := make([]bool, len(z)), make([]bool, len(z))
	for i := range z {
		at[i], under[i] = z[i] < 0.3, z[i] >= 0.5
		if i > 1500 {
			p[i] += 0.015
		}
		p[i] += 0.001 * wiggle(i)
	}
	s := ReadSurface(tS, p, at, under, DefaultParams())
	near(t, "before", s.Before.Bar, 0.90, 0.001)
	near(t, "after", s.After.Bar, 0.915, 0.001)
	near(t, "drift", s.Drift.Value, 0.015, 0.001)
	if !(s.Drift.Low <= 0.015 && 0.015 <= s.Drift.High && s.Drift.Low > 0.01) {
		t.Errorf("drift %+v", s.Drift)
	}
	// A record that starts under water has no before, and no drift.
	s = ReadSurface(tS[300:], p[300:], at[300:], under[300:], DefaultParams())
	if !math.IsNaN(s.Before.Bar) || math.IsNaN(s.After.Bar) || s.Drift.Reason == "" {
		t.Errorf("from under water: %+v", s)
	}
}

func TestPresumeSurface(t *testing.T) {
	tS, z := profile(30)
	p := ambient(z, 0.80, 1000)
	s := PresumeSurface(tS, p, DefaultParams())
	if !s.Presumed {
		t.Error("nothing says that it is presumed")
	}
	near(t, "before", s.Before.Bar, 0.80, 0.02)
	near(t, "after", s.After.Bar, 0.80, 0.02)
	// A record that starts and ends at one stop is at no surface.
	if s := PresumeSurface(tS, ambient(z, 1.6, 1000), DefaultParams()); !math.IsNaN(s.Before.Bar) || s.Drift.Reason == "" {
		t.Errorf("1.6 bar is presumed to be a surface: %+v", s)
	}
	// One end under water: nothing is presumed.
	for _, cut := range [][2]int{{300, len(tS)}, {0, 1500}} {
		s = PresumeSurface(tS[cut[0]:cut[1]], p[cut[0]:cut[1]], DefaultParams())
		if !math.IsNaN(s.Before.Bar) || !math.IsNaN(s.After.Bar) || s.Drift.Reason == "" {
			t.Errorf("rows %v: %+v", cut, s)
		}
	}
}

func TestAltitude(t *testing.T) {
	// ISO 2533, hPa: 1000, 2000, 3000 m.
	for altitudeM, hPa := range map[float64]float64{1000: 898.75, 2000: 794.95, 3000: 701.09} {
		a := Altitude(hPa/1000, 0.03)
		near(t, "altitude", a.Value, altitudeM, 0.2)
		if !(a.Low < altitudeM-200 && a.High > altitudeM+200 && a.High < altitudeM+500) {
			t.Errorf("%g m: weather leaves %+v", altitudeM, a)
		}
	}
	if a := Altitude(5, 0.03); !math.IsNaN(a.Value) || a.Reason == "" {
		t.Errorf("5 bar: %+v", a)
	}
}

func TestFaults(t *testing.T) {
	for _, tt := range []struct {
		f          Fault
		fromDepth  bool
		want, gain float64
	}{
		{Fault{Density, 0.01}, true, 5.04, 1}, // 4 bar of water, one per cent
		{Fault{Density, 0.01}, false, 5, 1},   // a measured pressure contains no density
		{Fault{Scale, 0.01}, true, 5.05, 1.01},
		{Fault{Offset, 0.1}, true, 5.1, 1.1},
	} {
		near(t, tt.f.Kind, tt.f.Of(5, 1, tt.fromDepth), tt.want, 1e-12)
		near(t, tt.f.Kind+", gain", tt.f.Gain(1), tt.gain, 1e-12)
	}
}

// A pair tells nothing of which is right: exchanging them turns difference and
// offset round, and inverts the scale.
func TestPairIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.Float64Range(0.9, 1.1).Draw(t, "scale")
		offset := rapid.Float64Range(-0.2, 0.2).Draw(t, "offset")
		_, z := profile(rapid.Float64Range(15, 90).Draw(t, "deepest"))
		a := ambient(z, 1, 1025)
		b := make([]float64, len(a))
		for i := range a {
			b[i] = offset + scale*a[i]
		}
		ab, ba := ComparePair(a, b, DefaultParams()), ComparePair(b, a, DefaultParams())
		if math.Abs(ab.Median+ba.Median) > 1e-9 || math.Abs(ab.Scale.Value*ba.Scale.Value-1) > 1e-6 || ab.WorstRow != ba.WorstRow {
			t.Fatalf("%+v against %+v", ab.Difference, ba.Difference)
		}
		if math.Abs(ab.Scale.Value-scale) > 1e-6 || math.Abs(ab.Offset.Value-offset) > 1e-6 {
			t.Fatalf("scale %g, offset %g; want %g, %g", ab.Scale.Value, ab.Offset.Value, scale, offset)
		}
	})
}

// Nothing panics on whatever a file may hold.
func TestAnything(t *testing.T) {
	for n := 0; n < 5; n++ {
		for _, fill := range []float64{nan, 0, 1, 1e9} {
			t.Run(fmt.Sprint(n, fill), func(t *testing.T) {
				v, tS, yes := make([]float64, n), make([]float64, n), make([]bool, n)
				for i := range v {
					v[i], tS[i] = fill, float64(i)
				}
				ComparePair(v, v, DefaultParams())
				ImpliedDensity(v, v, DefaultParams())
				s := PresumeSurface(tS, v, DefaultParams())
				if !math.IsNaN(s.Before.Bar) {
					t.Errorf("%d rows are a stretch at the surface: %+v", n, s)
				}
				ReadSurface(tS, v, yes, yes, DefaultParams())
			})
		}
	}
}
