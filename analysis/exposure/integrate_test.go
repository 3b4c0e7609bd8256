package exposure

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

var nan = math.NaN()

func TestIntegrateCases(t *testing.T) {
	ten := func(a, b float64) Dose { return Segment(a, b, 10, Options{}) }
	flat := func(p, s float64) Dose { return Segment(p, p, s, Options{}) }
	tests := []struct {
		name        string
		tS, p       []float64
		gapAfter    []bool
		o           Options
		total, high Dose
		gapS        float64
	}{
		{name: "empty"},
		{name: "one row", tS: []float64{5}, p: []float64{1.3}},
		{name: "all absent", tS: []float64{0, 10}, p: []float64{nan, nan}},
		{
			name: "two rows", tS: []float64{-5, 5}, p: []float64{1, 1.4},
			total: ten(1, 1.4), high: ten(1, 1.4),
		},
		{
			name: "a gap is charged in High at its higher end", tS: []float64{0, 10, 70, 80}, p: []float64{1.2, 1.2, 1.5, 1.5},
			gapAfter: []bool{false, true, false, false},
			total:    ten(1.2, 1.2).Add(ten(1.5, 1.5)), high: ten(1.2, 1.2).Add(ten(1.5, 1.5)).Add(flat(1.5, 60)), gapS: 60,
		},
		{
			name: "a short hole is bridged", tS: []float64{0, 10, 20, 30}, p: []float64{1.0, nan, nan, 1.3},
			total: Segment(1.0, 1.3, 30, Options{}), high: Segment(1.0, 1.3, 30, Options{}),
		},
		{
			name: "a hole longer than 30 s is a gap", tS: []float64{0, 10, 20, 31}, p: []float64{1.0, nan, nan, 1.3},
			high: flat(1.3, 31), gapS: 31,
		},
		{
			name: "slow sampling without a hole is no gap", tS: []float64{0, 60}, p: []float64{1.3, 1.3},
			total: flat(1.3, 60), high: flat(1.3, 60),
		},
		{
			name: "a longer hole where the caller allows it", tS: []float64{0, 60, 120}, p: []float64{1.3, nan, 1.3},
			o: Options{MaxHoleS: 150}, total: flat(1.3, 120), high: flat(1.3, 120),
		},
		{
			name: "no hole is bridged below 0", tS: []float64{0, 1, 2}, p: []float64{1.3, nan, 1.3},
			o: Options{MaxHoleS: -1}, high: flat(1.3, 2), gapS: 2,
		},
		{
			name: "a gap inside a short hole", tS: []float64{0, 5, 10}, p: []float64{1.3, nan, 1.1},
			gapAfter: []bool{false, true, false}, high: flat(1.3, 10), gapS: 10,
		},
		{
			name: "before the first and after the last reading", tS: []float64{0, 10, 20, 30}, p: []float64{nan, 1.3, 1.3, nan},
			gapAfter: []bool{true, false, true, true}, total: ten(1.3, 1.3), high: ten(1.3, 1.3),
		},
		{
			name: "infinite readings are none", tS: []float64{0, 10, 20}, p: []float64{1.3, math.Inf(1), 1.3},
			total: flat(1.3, 20), high: flat(1.3, 20),
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Integrate(tt.tS, tt.p, tt.gapAfter, tt.o)
			near := cmpopts.EquateApprox(0, 1e-12)
			if diff := cmp.Diff(tt.total, r.Total, near); diff != "" {
				t.Error("total:", diff)
			}
			if diff := cmp.Diff(tt.high, r.High, near); diff != "" {
				t.Error("high:", diff)
			}
			if r.Low != r.Total || r.GapS != tt.gapS {
				t.Errorf("low %+v, total %+v, gaps of %g s, want %g", r.Low, r.Total, r.GapS, tt.gapS)
			}
			checkRunning(t, tt.tS, r)
		})
	}
}

// checkRunning holds the running doses to their law: one per row, never falling,
// from 0 to the total.
func checkRunning(t interface{ Fatalf(string, ...any) }, tS []float64, r Result) {
	if len(r.RunningCNSStep) != len(tS) || len(r.RunningOTU) != len(tS) {
		t.Fatalf("%d and %d running doses for %d rows", len(r.RunningCNSStep), len(r.RunningOTU), len(tS))
	}
	for i := range tS {
		if i > 0 && !(r.RunningCNSStep[i] >= r.RunningCNSStep[i-1] && r.RunningOTU[i] >= r.RunningOTU[i-1]) {
			t.Fatalf("the running dose falls at row %d", i)
		}
	}
	if n := len(tS); n > 0 {
		if r.RunningCNSStep[0] != 0 || r.RunningCNSStep[n-1] != r.Total.CNSStep || r.RunningOTU[n-1] != r.Total.OTU {
			t.Fatalf("running dose from %g to %g, total %g", r.RunningCNSStep[0], r.RunningCNSStep[n-1], r.Total.CNSStep)
		}
	}
}

func TestRunningAcrossAHole(t *testing.T) {
	tS := []float64{0, 10, 20, 30, 60}
	r := Integrate(tS, []float64{1.0, nan, 1.2, 1.2, 1.2}, []bool{false, false, false, true, false}, Options{})
	half := Segment(1.0, 1.1, 10, Options{})
	near(t, "in the bridged hole", r.RunningOTU[1], half.OTU, 1e-12)
	near(t, "after it", r.RunningCNSStep[2], Segment(1.0, 1.2, 20, Options{}).CNSStep, 1e-12)
	near(t, "still over the gap", r.RunningOTU[4], r.RunningOTU[3], 0)
}

func TestMismatchedLengthsPanic(t *testing.T) {
	for _, call := range []func(){
		func() { Integrate([]float64{1}, nil, nil, Options{}) },
		func() { Integrate([]float64{1}, []float64{1}, []bool{}, Options{}) },
		func() { MinutesByBand([]float64{1}, nil, nil, Options{}) },
	} {
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); got != "exposure: time, PO2 and gaps differ in length" {
					t.Errorf("panic %q", got)
				}
			}()
			call()
		}()
	}
}

// resample puts a course with corners every 10 s on a grid of everyS seconds.
func resample(corners []float64, everyS int) (tS, p []float64) {
	last := 10 * (len(corners) - 1)
	for s := 0; s <= last; s += everyS {
		k, in := s/10, float64(s%10)/10
		v := corners[k]
		if in > 0 {
			v += in * (corners[k+1] - corners[k])
		}
		tS, p = append(tS, float64(s)), append(p, v)
	}
	return tS, p
}

func TestInvariantToSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(t, "corners")
		corners := make([]float64, n)
		for i := range corners {
			corners[i] = drawPO2(t, "corner")
		}
		want := integrateAll(resample(corners, 10))
		for _, everyS := range []int{1, 2, 5} {
			got := integrateAll(resample(corners, everyS))
			sameDose(t, want.Total, got.Total)
			checkRunning(t, make([]float64, len(got.RunningOTU)), got)
		}
	})
}

// integrateAll is Integrate without gaps.
func integrateAll(tS, p []float64) Result { return Integrate(tS, p, nil, Options{}) }

func TestReversedCourse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 50).Draw(t, "rows")
		tS, p, gap := make([]float64, n), make([]float64, n), make([]bool, n)
		back, backP, backGap := make([]float64, n), make([]float64, n), make([]bool, n)
		at := 0.0
		for i := range tS {
			at += rapid.Float64Range(0.1, 40).Draw(t, "step")
			tS[i], p[i] = at, drawPO2(t, "p")
			if rapid.IntRange(0, 4).Draw(t, "absent") == 0 {
				p[i] = nan
			}
			gap[i] = i < n-1 && rapid.IntRange(0, 9).Draw(t, "gap") == 0
		}
		for i := range tS {
			back[n-1-i], backP[n-1-i] = -tS[i], p[i]
			if i < n-1 {
				backGap[n-2-i] = gap[i]
			}
		}
		a, b := Integrate(tS, p, gap, Options{}), Integrate(back, backP, backGap, Options{})
		sameDose(t, a.Total, b.Total)
		sameDose(t, a.High, b.High)
		if a.High.CNSStep < a.Total.CNSStep || math.Abs(a.GapS-b.GapS) > 1e-9 {
			t.Fatalf("high %g below total %g, or gaps %g and %g", a.High.CNSStep, a.Total.CNSStep, a.GapS, b.GapS)
		}
	})
}

func TestMinutesByBand(t *testing.T) {
	tS := []float64{0, 600, 1200, 1260, 2000, 2060}
	p := []float64{0.21, 1.3, 1.3, 1.7, 1.0, 1.0}
	bands := MinutesByBand(tS, p, []bool{false, false, false, true, false, false}, Options{})
	if len(bands) != 13 {
		t.Fatalf("%d bands, want 13", len(bands))
	}
	sum, cns := 0.0, 0.0
	for i, b := range bands {
		sum += b.Minutes
		if i > 0 && i < 12 {
			cns += b.Minutes / b.LimitMin
			near(t, "upper edge", b.ToBar, 0.5+float64(i)*0.1, 1e-12)
		}
		if i > 0 && b.FromBar != bands[i-1].ToBar {
			t.Errorf("band %d does not begin where the last ends", i)
		}
	}
	near(t, "all minutes", sum, 22, 1e-9)
	near(t, "dose from the bands", cns+bands[12].Minutes/45, Integrate(tS, p, []bool{false, false, false, true, false, false}, Options{}).Total.CNSStep, 1e-12)
	near(t, "at 1.3", bands[8].Minutes, 10+10*0.1/1.09, 1e-4)
	near(t, "beyond the table", bands[12].Minutes, 0.25, 1e-4)
	if !math.IsInf(bands[0].LimitMin, 1) || !math.IsNaN(bands[12].LimitMin) || !math.IsInf(bands[0].FromBar, -1) || !math.IsInf(bands[12].ToBar, 1) {
		t.Errorf("open bands: %+v, %+v", bands[0], bands[12])
	}
	strict := MinutesByBand(tS, p, nil, Options{StrictATA: true})
	near(t, "strict edge", strict[11].ToBar, 1.6212, 1e-12)
}

func BenchmarkIntegrate(b *testing.B) {
	for _, course := range []string{"noise", "rounded"} {
		b.Run(course, func(b *testing.B) {
			tS, p := benchCourse(432_000, course == "rounded")
			b.ReportAllocs()
			for b.Loop() {
				Integrate(tS, p, nil, Options{})
			}
		})
	}
}

// benchCourse hunts about 1.3 bar, as a loop does, to full or to two decimals.
func benchCourse(n int, rounded bool) (tS, p []float64) {
	tS, p = make([]float64, n), make([]float64, n)
	for i := range tS {
		tS[i] = float64(i)
		p[i] = 1.27 + 0.05*math.Sin(float64(i)/20) + 0.01*math.Sin(float64(i)*1.7)
		if rounded {
			p[i] = math.Round(p[i]*100) / 100
		}
	}
	return tS, p
}
