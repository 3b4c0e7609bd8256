package exposure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawStretch is a course with holes and gaps.
func drawStretch(t *rapid.T) Stretch {
	s := Stretch{StartS: rapid.Float64Range(-1e5, 1e5).Draw(t, "start")}
	at := 0.0
	for range rapid.IntRange(2, 12).Draw(t, "rows") {
		p := rapid.Float64Range(0.2, 1.9).Draw(t, "p")
		if rapid.IntRange(0, 4).Draw(t, "missing") == 0 {
			p = math.NaN()
		}
		s.TimeS, s.PO2 = append(s.TimeS, at), append(s.PO2, p)
		s.GapAfter = append(s.GapAfter, rapid.IntRange(0, 5).Draw(t, "gap") == 0)
		at += rapid.Float64Range(1, 100).Draw(t, "dt")
	}
	return s
}

func equalDose(t *rapid.T, what string, a, b Dose) {
	for _, c := range [][2]float64{{a.CNSStep, b.CNSStep}, {a.CNSLinear, b.CNSLinear}, {a.CNS24h, b.CNS24h}, {a.OTU, b.OTU}, {a.AboveTableS, b.AboveTableS}, {a.Seconds, b.Seconds}} {
		if !(math.Abs(c[0]-c[1]) <= 1e-7*(1+math.Abs(c[0]))) {
			t.Fatalf("%s: %+v and %+v", what, a, b)
		}
	}
}

// TestCut: a course cut anywhere, at a row or between, in a hole or a gap, has the
// dose of both parts together, low and high.
func TestCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStretch(t)
		at := rapid.Float64Range(s.FromS()-10, s.ToS()+10).Draw(t, "at")
		if rapid.Bool().Draw(t, "at a row") {
			at = s.StartS + rapid.SampledFrom(s.TimeS).Draw(t, "row")
		}
		a, b := s.Cut(at, Options{})
		whole, before, after := s.Dose(Options{}), a.Dose(Options{}), b.Dose(Options{})
		equalDose(t, "low", whole.Low, before.Low.Add(after.Low))
		equalDose(t, "high", whole.High, before.High.Add(after.High))
		one, two := Rolling24h([]Stretch{s}, Options{}), Rolling24h([]Stretch{b, a}, Options{})
		if math.Abs(one.Peak.Fraction-two.Peak.Fraction) > 1e-9 || math.Abs(one.PeakHigh.Fraction-two.PeakHigh.Fraction) > 1e-9 {
			t.Fatalf("rolling: %+v and %+v", one, two)
		}
		c := s.Compact(Options{}).Dose(Options{MaxHoleS: -1})
		equalDose(t, "compact, low", whole.Low, c.Low)
		equalDose(t, "compact, high", whole.High, c.High)
		fromS, toS := at, at+rapid.Float64Range(0, 300).Draw(t, "length")
		var rest Dose
		for _, p := range s.Without(fromS, toS, Options{}) {
			rest = rest.Add(p.Dose(Options{}).High)
		}
		equalDose(t, "taken out", whole.High, rest.Add(s.Within(fromS, toS, Options{}).Dose(Options{}).High))
	})
}

// TestRolling24hAt agrees with the worst window and forgets after a day.
func TestRolling24hAt(t *testing.T) {
	s := Stretch{StartS: 1000, TimeS: []float64{0, 2700}, PO2: []float64{1.6, 1.6}}
	got := Rolling24hAt([]Stretch{s}, []float64{0, 1000, 2350, 3700, 3700 + 86400 - 2700, 3700 + 86400 - 1350, 3700 + 86400}, Options{})
	for i, want := range []float64{0, 0, 22.5 / 150, 0.3, 0.3, 0.15, 0} {
		near(t, "share", got[i], want, 1e-12)
	}
}

// TestThreeDivesAllowed: three dives of 45 min at 1.6 are allowed in 24 h, with
// surface intervals of at least 90 minutes (NOAA Diving Manual, 4th edition, p.
// 3-22, as quoted): 135 of 150 min. A fourth is not.
func TestThreeDivesAllowed(t *testing.T) {
	var dives []Stretch
	for k := range 4 {
		dives = append(dives, Stretch{StartS: float64(k) * 135 * 60, TimeS: []float64{0, 2700}, PO2: []float64{1.6, 1.6}})
	}
	near(t, "three", Rolling24h(dives[:3], Options{}).Peak.Fraction, 135.0/150, 1e-12)
	near(t, "four", Rolling24h(dives, Options{}).Peak.Fraction, 180.0/150, 1e-12)
	c := Carry(dives[:3], Options{})
	near(t, "before the second: 100 % after 90 min", c[1].Before, 0.5, 1e-12)
	near(t, "before the third", c[2].Before, 0.75, 1e-12)
}

// TestCarryTaken: order does not matter, and overlapping doses do not decay.
func TestCarryTaken(t *testing.T) {
	a := Taken{0, 3600, 0.29, false}
	b := Taken{3600 + 90*60, 3600 + 91*60, 0, true}
	c := Taken{3600 + 180*60, 3600 + 181*60, 0, false}
	got := CarryTaken([]Taken{c, a, b}, Options{})
	near(t, "29 % after 90 min", got[2].Before, 0.145, 1e-12)         // CFT course slides: 14.5
	near(t, "29 % after 180 min", got[0].Before, 0.0725, 2e-12+0.001) // 7 printed, 7.25 exact
	if got[1].LowerBound || !got[2].LowerBound || !got[0].LowerBound {
		t.Errorf("lower bounds: %+v", got)
	}
	over := CarryTaken([]Taken{{0, 100, 0.2, false}, {50, 80, 0.1, false}, {100, 200, 0.1, false}}, Options{})
	near(t, "no decay", over[2].After, 0.4, 1e-12)
}

// TestMonotoneSeries: one more dive never lowers the worst window, and one that is
// more than 24 h away does not change it.
func TestMonotoneSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawStretch(t), drawStretch(t)
		one := Rolling24h([]Stretch{a}, Options{}).Peak.Fraction
		two := Rolling24h([]Stretch{a, b}, Options{}).Peak.Fraction
		if two < one-1e-12 {
			t.Fatalf("two dives %v, one %v", two, one)
		}
		b.StartS = a.ToS() + 86400 + 1
		far := Rolling24h([]Stretch{b, a}, Options{})
		alone := math.Max(one, Rolling24h([]Stretch{b}, Options{}).Peak.Fraction)
		if math.Abs(far.Peak.Fraction-alone) > 1e-9 {
			t.Fatalf("a day apart: %v, alone %v", far.Peak.Fraction, alone)
		}
	})
}
