package exposure

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// field is one figure of two doses.
type field struct {
	name string
	a, b float64
}

func fields(a, b Dose) []field {
	return []field{
		{"CNSStep", a.CNSStep, b.CNSStep},
		{"CNSLinear", a.CNSLinear, b.CNSLinear},
		{"CNS24h", a.CNS24h, b.CNS24h},
		{"OTU", a.OTU, b.OTU},
		{"AboveTableS", a.AboveTableS, b.AboveTableS},
		{"Seconds", a.Seconds, b.Seconds},
	}
}

// sameDose compares to a relative 1e-9.
func sameDose(t *rapid.T, a, b Dose) {
	t.Helper()
	for _, f := range fields(a, b) {
		if !(math.Abs(f.a-f.b) <= 1e-9*math.Max(1, math.Abs(f.a))) {
			t.Fatalf("%s: %.15g against %.15g", f.name, f.a, f.b)
		}
	}
}

func TestEdgesOfTheTable(t *testing.T) {
	tests := []struct {
		p                     float64
		step, linear, daily   float64
		within, chargedByStep bool
	}{
		{0, math.Inf(1), math.Inf(1), math.Inf(1), true, false},
		{-0.01, math.Inf(1), math.Inf(1), math.Inf(1), true, false},
		{0.5, math.Inf(1), math.Inf(1), math.Inf(1), true, false},
		{0.5 + 1e-7, math.Inf(1), math.Inf(1), math.Inf(1), true, false},
		{0.5 + 1e-5, 720, 720, 720, true, true},
		{0.6, 720, 720, 720, true, true},
		{0.1 + 0.5, 720, 720, 720, true, true},
		{0.7, 570, 570, 570, true, true},
		{0.1 * 7, 570, 570, 570, true, true}, // 0.7000000000000001
		{1.3, 180, 180, 210, true, true},
		{1.3000000001, 180, 180, 210, true, true},
		{1.1 * 1.1, 180, 207, 210, true, true}, // 1.2100000000000002
		{1.30001, 150, 179.997, 180, true, true},
		{1.6, 45, 45, 150, true, true},
		{1.6 + 1e-7, 45, 45, 150, true, true},
		{1.6 + 1e-5, 45, 45, 150, false, true},
		{9.99, 45, 45, 150, false, true},
	}
	for _, tt := range tests {
		step, ok := SingleLimitMin(tt.p, Step, Options{})
		linear, ok2 := SingleLimitMin(tt.p, Linear, Options{})
		daily, ok3 := DailyLimitMin(tt.p, Step, Options{})
		if step != tt.step || daily != tt.daily || !(linear == tt.linear || math.Abs(linear-tt.linear) < 2e-3) {
			t.Errorf("%.10g: limits %g, %g, %g, want %g, %g, %g", tt.p, step, linear, daily, tt.step, tt.linear, tt.daily)
		}
		if ok != tt.within || ok2 != tt.within || ok3 != tt.within {
			t.Errorf("%.10g: within the table %v, %v, %v, want %v", tt.p, ok, ok2, ok3, tt.within)
		}
		d := level(tt.p, 60)
		near(t, "dose from the limit", d.CNSStep, 60/tt.step, 1e-12)
		near(t, "dose from the daily limit", d.CNS24h, 60/tt.daily, 1e-12)
		if d.LowerBound() == tt.within || (d.CNSStep > 0) != tt.chargedByStep {
			t.Errorf("%.10g: %+v", tt.p, d)
		}
	}
	if m, ok := SingleLimitMin(math.NaN(), Step, Options{}); !math.IsNaN(m) || ok {
		t.Errorf("limit at NaN = %g, %v", m, ok)
	}
}

func TestBeyondTheTableIsALowerBound(t *testing.T) {
	d := level(1.8, 9)
	near(t, "step", d.CNSStep, 9.0/45, 1e-12)
	near(t, "linear", d.CNSLinear, 9.0/45, 1e-12)
	near(t, "24 h", d.CNS24h, 9.0/150, 1e-12)
	near(t, "seconds beyond", d.AboveTableS, 540, 1e-9)
	// A ramp from 1.5 to 1.7 is beyond for its second half.
	near(t, "half a ramp beyond", Segment(1.5, 1.7, 100, Options{}).AboveTableS, 50, 1e-3)
	if d := level(1.6, 45); d.LowerBound() {
		t.Errorf("1.6 is within the table: %+v", d)
	}
}

func TestSegmentOddInput(t *testing.T) {
	for _, dtS := range []float64{0, -1} {
		if d := Segment(1, 1.4, dtS, Options{}); d != (Dose{}) {
			t.Errorf("%g s: %+v, want no dose", dtS, d)
		}
	}
	for _, d := range []Dose{Segment(math.NaN(), 1, 60, Options{}), Segment(1, math.NaN(), 60, Options{})} {
		if !math.IsNaN(d.CNSStep) || !math.IsNaN(d.CNSLinear) || !math.IsNaN(d.CNS24h) || !math.IsNaN(d.OTU) {
			t.Errorf("PO2 not known: %+v, want NaN", d)
		}
	}
	// Ends that differ in the last digit are a level course.
	p := 1.2345
	a, b := Segment(p, math.Nextafter(p, 2), 600, Options{}), level(p, 10)
	for _, f := range fields(a, b) {
		near(t, f.name, f.a, f.b, 1e-12)
	}
}

// TestAgainstQuadrature compares the closed forms with gonum's Gauss-Legendre
// quadrature of the rates as printed, piece by piece.
func TestAgainstQuadrature(t *testing.T) {
	rate := func(p float64) (linear, otu float64) {
		limit, _ := SingleLimitMin(p, Linear, Options{})
		return 1 / limit, math.Pow((p-0.5)/0.5, 5.0/6)
	}
	for _, ends := range [][2]float64{{0.55, 0.56}, {0.61, 0.69}, {0.7, 0.8}, {1.02, 1.03}, {1.3, 1.4}, {1.50001, 1.6}} {
		const minutes = 7.0
		at := func(t float64) float64 { return ends[0] + (ends[1]-ends[0])*t/minutes }
		linear := quad.Fixed(func(t float64) float64 { l, _ := rate(at(t)); return l }, 0, minutes, 40, quad.Legendre{}, 0)
		otu := quad.Fixed(func(t float64) float64 { _, o := rate(at(t)); return o }, 0, minutes, 40, quad.Legendre{}, 0)
		d := Segment(ends[0], ends[1], minutes*60, Options{})
		near(t, "linear CNS", d.CNSLinear, linear, 1e-11)
		near(t, "OTU", d.OTU, otu, 1e-11)
	}
}

// TestSmoothCourse compares the integral over a finely sampled smooth course with
// quadrature of the rates along it.
func TestSmoothCourse(t *testing.T) {
	const seconds = 3600.0
	course := func(tS float64) float64 { return 1.15 + 0.04*math.Sin(2*math.Pi*tS/900) } // within one piece
	var tS, p []float64
	for s := 0.0; s <= seconds; s++ {
		tS, p = append(tS, s), append(p, course(s))
	}
	got := Integrate(tS, p, nil, Options{}).Total
	cns := quad.Fixed(func(s float64) float64 {
		limit, _ := SingleLimitMin(course(s), Linear, Options{})
		return 1 / limit / 60
	}, 0, seconds, 400, nil, 0)
	otu := quad.Fixed(func(s float64) float64 { return math.Pow(2*course(s)-1, 5.0/6) / 60 }, 0, seconds, 400, nil, 0)
	near(t, "linear CNS", got.CNSLinear, cns, 1e-7)
	near(t, "OTU", got.OTU, otu, 1e-4)
}

func drawPO2(t *rapid.T, name string) float64 {
	if rapid.Bool().Draw(t, name+" on a row") {
		return float64(rapid.IntRange(2, 19).Draw(t, name+" tenths")) / 10
	}
	return rapid.Float64Range(0, 2.5).Draw(t, name)
}

func TestAdditiveInTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p0, p1 := drawPO2(t, "p0"), drawPO2(t, "p1")
		share := rapid.Float64Range(0.01, 0.99).Draw(t, "share")
		mid := p0 + share*(p1-p0)
		whole := Segment(p0, p1, 600, Options{})
		parts := Segment(p0, mid, share*600, Options{}).Add(Segment(mid, p1, (1-share)*600, Options{}))
		sameDose(t, whole, parts)
	})
}

func TestReversal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p0, p1 := drawPO2(t, "p0"), drawPO2(t, "p1")
		if a, b := Segment(p0, p1, 60, Options{}), Segment(p1, p0, 60, Options{}); a != b {
			t.Fatalf("%+v up, %+v down", a, b)
		}
	})
}

func TestMonotoneInPO2(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p0, p1 := drawPO2(t, "p0"), drawPO2(t, "p1")
		d0 := rapid.Float64Range(0, 0.3).Draw(t, "more at the start")
		d1 := rapid.Float64Range(0, 0.3).Draw(t, "more at the end")
		less, more := Segment(p0, p1, 60, Options{}), Segment(p0+d0, p1+d1, 60, Options{})
		for _, f := range fields(less, more) {
			if f.b < f.a-1e-12 {
				t.Fatalf("%s falls from %g to %g with more oxygen", f.name, f.a, f.b)
			}
		}
		// The step rule never charges less than the interpolated one.
		if less.CNSStep < less.CNSLinear*(1-1e-4) {
			t.Fatalf("step %g below linear %g", less.CNSStep, less.CNSLinear)
		}
	})
}
