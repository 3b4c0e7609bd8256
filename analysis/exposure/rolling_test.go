package exposure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

const hourS = 3600.0

// flatDive is a dive of minutes at one PO2, from startS on the common clock.
func flatDive(startS, p, minutes float64) Stretch {
	return Stretch{StartS: startS - 100, TimeS: []float64{100, 100 + minutes*60}, PO2: []float64{p, p}}
}

func TestRollingWindow(t *testing.T) {
	// NOAA Diving Manual, 4th ed., p. 3-22: three dives of 45 min at 1.6, 90 min apart.
	three := []Stretch{flatDive(0, 1.6, 45), flatDive(135*60, 1.6, 45), flatDive(270*60, 1.6, 45)}
	r := Rolling24h(three, Options{})
	near(t, "three dives in a day", r.Peak.Fraction, 0.9, 1e-12)
	near(t, "after the first", r.ByStretch[0].Fraction, 0.3, 1e-12)
	near(t, "after the second", r.ByStretch[1].Fraction, 0.6, 1e-12)
	near(t, "worst at the end of the third", r.Peak.ToS, (270+45)*60, 1e-6)

	// Each day anew: the window holds one dive and what is left of the day before.
	daily := []Stretch{flatDive(0, 1.3, 105), flatDive(24*hourS, 1.3, 105)}
	r = Rolling24h(daily, Options{})
	near(t, "same hour every day", r.Peak.Fraction, 0.5, 1e-12)
	daily[1] = flatDive(23*hourS, 1.3, 105)
	r = Rolling24h(daily, Options{})
	// While the first dive leaves the window the second enters it at the same rate.
	near(t, "an hour earlier every day", r.Peak.Fraction, (105.0+60)/210, 1e-12)
	near(t, "from the first dive on", r.Peak.FromS, 0, 1e-6)
}

func TestRollingGapsAndBounds(t *testing.T) {
	dive := Stretch{
		TimeS: []float64{0, 600, 1200, 1800}, PO2: []float64{1.2, 1.2, 1.7, 1.7},
		GapAfter: []bool{false, true, false, false},
	}
	r := Rolling24h([]Stretch{dive}, Options{})
	near(t, "peak", r.Peak.Fraction, 10.0/240+10.0/150, 1e-12)
	near(t, "with the gap", r.PeakHigh.Fraction, 10.0/240+20.0/150, 1e-12)
	near(t, "beyond the table", r.Peak.AboveTableS, 600, 1e-9)
	if !r.Peak.LowerBound() || !r.ByStretch[0].LowerBound() {
		t.Error("time beyond the table makes a lower bound")
	}
	two := []Stretch{dive, flatDive(48*hourS, 1.3, 60)}
	if w := Rolling24h(two, Options{}).ByStretch[1]; w.LowerBound() {
		t.Errorf("two days later the window is clean: %+v", w)
	}
}

func TestRollingEdgeCases(t *testing.T) {
	for name, s := range map[string][]Stretch{
		"none":     nil,
		"empty":    {{StartS: 5}},
		"one row":  {{TimeS: []float64{1}, PO2: []float64{1.3}}},
		"absent":   {{TimeS: []float64{1, 2}, PO2: []float64{nan, nan}}},
		"air only": {flatDive(0, 0.21, 60)},
	} {
		r := Rolling24h(s, Options{})
		if r.Peak.Fraction != 0 || r.Peak.LowerBound() || !math.IsNaN(r.Peak.ToS) || len(r.ByStretch) != len(s) {
			t.Errorf("%s: %+v", name, r)
		}
	}
	// One exposure of 30 h: the worst window is a day of it.
	near(t, "30 h at 0.6", Rolling24h([]Stretch{flatDive(0, 0.6, 30*60)}, Options{}).Peak.Fraction, 2, 1e-12)
	// Overlapping records add up.
	same := []Stretch{flatDive(0, 1.3, 60), flatDive(0, 1.3, 60)}
	near(t, "overlap", Rolling24h(same, Options{}).Peak.Fraction, 120.0/210, 1e-12)
}

// drawSeries is a series of dives with gaps and holes, apart from each other.
func drawSeries(t *rapid.T) []Stretch {
	startS := 0.0
	dives := make([]Stretch, rapid.IntRange(1, 4).Draw(t, "dives"))
	for i := range dives {
		startS += rapid.Float64Range(0, 20*hourS).Draw(t, "interval")
		s := Stretch{StartS: startS}
		atS := 0.0
		for range rapid.IntRange(1, 12).Draw(t, "rows") {
			atS += rapid.Float64Range(1, 1.5*hourS).Draw(t, "step")
			p := drawPO2(t, "p")
			if rapid.IntRange(0, 6).Draw(t, "absent") == 0 {
				p = nan
			}
			s.TimeS, s.PO2 = append(s.TimeS, atS), append(s.PO2, p)
			s.GapAfter = append(s.GapAfter, rapid.IntRange(0, 6).Draw(t, "gap") == 0)
		}
		dives[i], startS = s, startS+atS
	}
	return dives
}

// TestRollingAgainstScan compares the exact peak with windows tried every few
// minutes, each integrated anew from the dives cut to the window.
func TestRollingAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dives := drawSeries(t)
		r := Rolling24h(dives, Options{})
		scan := 0.0
		_, lastS := dives[len(dives)-1].span()
		for endS := 0.0; endS <= lastS+dayS; endS += 1800 {
			scan = math.Max(scan, windowDose(dives, endS-dayS, endS))
		}
		if r.Peak.Fraction < scan-1e-9 {
			t.Fatalf("peak %g, but a window holds %g", r.Peak.Fraction, scan)
		}
		if r.Peak.Fraction > 0 {
			if own := windowDose(dives, r.Peak.FromS, r.Peak.ToS); math.Abs(own-r.Peak.Fraction) > 1e-8 {
				t.Fatalf("the worst window is said to hold %g and holds %g", r.Peak.Fraction, own)
			}
		}
		if r.PeakHigh.Fraction < r.Peak.Fraction-1e-12 {
			t.Fatalf("gaps make the peak smaller: %g and %g", r.PeakHigh.Fraction, r.Peak.Fraction)
		}
	})
}

// windowDose is the 24-hour fraction within a window, by cutting segments.
func windowDose(dives []Stretch, fromS, toS float64) float64 {
	sum := 0.0
	for _, d := range dives {
		eachPair(d.TimeS, d.PO2, d.GapAfter, Options{}.maxHoleS(), func(i, j int, gap bool) {
			t0, t1 := d.StartS+d.TimeS[i], d.StartS+d.TimeS[j]
			a, b := math.Max(t0, fromS), math.Min(t1, toS)
			if gap || b <= a {
				return
			}
			at := func(s float64) float64 { return d.PO2[i] + (d.PO2[j]-d.PO2[i])*(s-t0)/(t1-t0) }
			sum += Segment(at(a), at(b), b-a, Options{}).CNS24h
		})
	}
	return sum
}

func TestCarry(t *testing.T) {
	// CFT course slides: 60 min at 1.2 (29 %), then half after 90 min at the surface.
	dives := []Stretch{flatDive(0, 1.2, 60), flatDive(150*60, 1.7, 9), flatDive(10*24*hourS, 1.2, 60)}
	c := Carry(dives, Options{})
	near(t, "first", c[0].After, 60.0/210, 1e-12)
	near(t, "left after 90 min", c[1].Before, 60.0/210/2, 1e-12)
	near(t, "second", c[1].After, 60.0/210/2+0.2, 1e-12)
	near(t, "ten days later", c[2].Before, 0, 1e-12)
	if c[0].LowerBound || !c[1].LowerBound || !c[2].LowerBound {
		t.Errorf("lower bounds %v", c)
	}
	if got := Carry(nil, Options{}); len(got) != 0 {
		t.Errorf("no dives: %v", got)
	}
}

func BenchmarkRolling24h(b *testing.B) {
	tS, p := benchCourse(20_000, false)
	dives := make([]Stretch, 20)
	for i := range dives {
		dives[i] = Stretch{StartS: float64(i) * 8 * hourS, TimeS: tS, PO2: p}
	}
	b.ReportAllocs()
	for b.Loop() {
		Rolling24h(dives, Options{})
	}
}
