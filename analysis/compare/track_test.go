package compare

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis"
)

// long is a debrief with n rows at 1 Hz: down to 30 m, a spike of PO2 and a gap.
func long(n, spike, gap int) *analysis.Debrief {
	s := &analysis.Series{}
	for i := range n {
		t := float64(i)
		if gap > 0 && i > gap {
			t += 600
		}
		s.TimeS, s.DepthM, s.UnitPO2Bar = append(s.TimeS, t), append(s.DepthM, 30*math.Sin(math.Pi*float64(i)/float64(n))), append(s.UnitPO2Bar, 1.2)
		s.OnLoop, s.GapAfter = append(s.OnLoop, true), append(s.GapAfter, i == gap && gap > 0)
	}
	if spike >= 0 {
		s.UnitPO2Bar[spike] = 3
	}
	end := analysis.Float(s.TimeS[n-1])
	return &analysis.Debrief{Series: s, Dive: analysis.DiveFacts{FirstS: 0, LastS: end,
		Phases: []analysis.Phase{{Kind: "descent", FromS: 0, ToS: end / 2}, {Kind: "ascent", FromS: end / 2, ToS: end + 1}}}}
}

// TestCourse: one row's spike stays whatever the length, a gap stays open, and a
// course is small.
func TestCourse(t *testing.T) {
	for _, at := range []int{0, 1, 7_777, 12_345, 49_999} {
		c := courseOf(long(50_000, at, 20_000))
		if !slices.Contains(c.Rows.PO2Bar, 3) {
			t.Errorf("the spike at %d is lost", at)
		}
		if n := len(c.Rows.TimeS); n > 9*buckets {
			t.Errorf("%d rows are kept", n)
		}
		if !slices.IsSorted(c.Rows.TimeS) || !slices.IsSorted(c.Means.TimeS) {
			t.Error("time runs backwards")
		}
		if !slices.ContainsFunc(c.Rows.DepthM, math.IsNaN) || !slices.ContainsFunc(c.Means.PO2Bar, math.IsNaN) {
			t.Error("the gap is closed")
		}
	}
	if courseOf(&analysis.Debrief{}) != nil {
		t.Error("a course of no rows")
	}
}

// TestDepthBins: PO2 lies at the depth where it was read, descent and ascent apart.
func TestDepthBins(t *testing.T) {
	c := courseOf(long(2000, 1980, 0)) // near the end: on the ascent, at a metre
	if len(c.Descent) != 30 && len(c.Descent) != 31 {
		t.Errorf("%d metres of descent", len(c.Descent))
	}
	high := func(bins []DepthBin) float64 {
		h := 0.0
		for _, b := range bins {
			if b.HighBar > h {
				h = b.HighBar
			}
		}
		return h
	}
	if high(c.Descent) != 1.2 || high(c.Ascent) != 3 {
		t.Errorf("highest %g down, %g up", high(c.Descent), high(c.Ascent))
	}
}

// TestPO2Figures against a dive that can be reckoned by hand: 1 bar for 60 s and 2
// bar for 30 s under water, a last row that holds as the one before, and a gap
// that counts nothing.
func TestPO2Figures(t *testing.T) {
	d := &analysis.Debrief{Series: &analysis.Series{TimeS: []float64{0, 60, 90, 700, 710}, DepthM: []float64{10, 10, 10, 10, 10}, UnitPO2Bar: []float64{1, 2, 1.4, 1, math.NaN()},
		OnLoop: []bool{true, true, true, true, true}, GapAfter: []bool{false, false, true, false, false}}}
	mean, highest, above := po2Figures(d, d.Series.UnitPO2Bar, 1.4)
	want := (1*60 + 2*30 + 1.4*30 + 1*10) / 130.0 // the row before the gap holds as long as the one before it
	if math.Abs(float64(mean)-want) > 1e-12 || highest != 2 || math.Abs(float64(above)-0.5) > 1e-12 {
		t.Errorf("mean %v (want %v), highest %v, above 1.4: %v min", mean, want, highest, above)
	}
	d.Series.OnLoop = []bool{false, false, false, false, false}
	if mean, _, _ := po2Figures(d, d.Series.UnitPO2Bar, 1.4); mean.Known() {
		t.Errorf("open circuit counts: %v", mean)
	}
}

// TestBundle: the range holds every row, the median lies within the means, and
// nothing is drawn of fewer than three.
func TestBundle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "courses")
		var xs, ys [][]float64
		for range n {
			rows := rapid.IntRange(2, 50).Draw(t, "rows")
			x, y := make([]float64, rows), make([]float64, rows)
			for i := range x {
				x[i], y[i] = 100*float64(i)/float64(rows), rapid.Float64Range(0, 3).Draw(t, "y")
			}
			xs, ys = append(xs, x), append(ys, y)
		}
		b := BundleOf(10, 0, 100, xs, ys, xs, ys)
		for i := range b.X {
			if b.N[i] < 3 != math.IsNaN(b.Median[i]) || b.N[i] < 5 != math.IsNaN(b.Upper[i]) {
				t.Fatalf("place %d: n %d, median %g, quartile %g", i, b.N[i], b.Median[i], b.Upper[i])
			}
			if b.N[i] >= 3 && !(b.Low[i] <= b.Median[i]+1e-12 && b.Median[i] <= b.High[i]+1e-12) {
				t.Fatalf("place %d: %g, %g, %g", i, b.Low[i], b.Median[i], b.High[i])
			}
		}
		if n < 3 {
			return
		}
		for k := range xs {
			for i := range xs[k] {
				at := int(xs[k][i] / 10)
				if b.N[at] >= 3 && (ys[k][i] < b.Low[at]-1e-12 || ys[k][i] > b.High[at]+1e-12) {
					t.Fatalf("row %g of course %d lies outside its range", ys[k][i], k)
				}
			}
		}
	})
}

// TestAlign: the same zero for all, or the reason why not.
func TestAlign(t *testing.T) {
	at := func(m map[string]Zero) *Subject { return &Subject{moments: m} }
	surface := at(map[string]Zero{"leaving-surface": {AtS: 100}, "first-row": {AtS: 10}, "bailout": {AtS: unknown, Reason: "not recorded: bailout"}})
	surface.Label = "A"
	under := at(map[string]Zero{"leaving-surface": {AtS: unknown, Reason: "the record begins under water"}, "first-row": {AtS: 20}, "bailout": {AtS: 500}})
	under.Label = "B"
	if a := align([]*Subject{surface, surface}, "start", ""); a.Moment != "leaving-surface" || a.Zeros[1].AtS != 100 {
		t.Errorf("%+v", a)
	}
	if a := align([]*Subject{surface, under}, "start", ""); a.Moment != "first-row" || a.Zeros[0].AtS != 10 || a.Zeros[1].AtS != 20 {
		t.Errorf("%+v", a)
	}
	if a := align([]*Subject{surface, under}, "event", "bailout"); a.Zeros[0].AtS.Known() || a.Zeros[0].Reason == "" || a.Zeros[1].AtS != 500 {
		t.Errorf("%+v", a)
	}
	if a := align([]*Subject{surface, under}, "depth", ""); len(a.Zeros) != 0 || a.Text == "" {
		t.Errorf("%+v", a)
	}
	for in, want := range map[string]string{"": "start ", "start": "start ", "depth": "depth ", "event=bailout": "event bailout", "event=diluent_flush": "event first-diluent-flush", "event=first-stop": "event first-stop"} {
		by, m, err := ParseAlign(in)
		if got := by + " " + m; err != nil || got != want {
			t.Errorf("%q: %q, %v", in, got, err)
		}
	}
	for _, in := range []string{"event=", "event=lunch", "bailout", "depths"} {
		if _, _, err := ParseAlign(in); err == nil {
			t.Errorf("%q is taken", in)
		}
	}
}

// TestMoments of a whole dive.
func TestMoments(t *testing.T) {
	m := moments(debrief(t, "x.csv", demo(3, nil)))
	for name, want := range map[string]float64{"first-row": 0, "leaving-surface": 100, "end-of-descent": 215, "first-diluent-flush": 600, "bailout": 900, "first-ascent": 1300} {
		if z := m[name]; !z.AtS.Known() || math.Abs(float64(z.AtS)-want) > 25 {
			t.Errorf("%s at %v (%s), want about %g", name, z.AtS, z.Reason, want)
		}
	}
	if z := m["first-oxygen-flush"]; z.AtS.Known() || z.Reason == "" {
		t.Errorf("%+v", z)
	}
}
