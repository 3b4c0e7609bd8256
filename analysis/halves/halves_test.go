package halves_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/halves"
	"afterloop/analysis/scenario"
)

// recorded is the depth of a simulated dive as a half kept it.
func recorded(l scenario.Log, h scenario.Half) halves.Series {
	l = h.Record(l)
	s := halves.Series{TimeS: l.Column("time_s").Values, DepthM: l.Column("depth_m").Values, GapAfter: make([]bool, l.Rows())}
	for i := 0; i+1 < len(s.TimeS); i++ {
		s.GapAfter[i] = s.TimeS[i+1]-s.TimeS[i] > math.Max(30, 2.5*h.IntervalS)
	}
	return s
}

func simulate(t testing.TB, kind string, seed uint64) scenario.Log {
	t.Helper()
	spec, err := scenario.Draw(kind, seed)
	if err != nil {
		t.Fatal(err)
	}
	spec.Recording.IntervalS, spec.Recording.Gaps = 1, nil
	l, _, err := scenario.Run(spec)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

var plain = scenario.Half{Cells: []int{1}, IntervalS: 2, DepthStepM: 0.1, PO2StepBar: 0.01}

// The truth of a half that was switched on onS into the dive, with another
// switched on at 0: t_A = onS + t_B / (1 + drift).
func trueToA(h scenario.Half, tB float64) float64 { return h.OnS + tB/(1+h.DriftPPM*1e-6) }

func TestKnownClocks(t *testing.T) {
	l := simulate(t, "none", 3)
	for _, c := range []struct {
		name string
		a, b func(*scenario.Half)
	}{
		{"the same", nil, nil},
		{"on late", nil, func(h *scenario.Half) { h.OnS = 93.7 }},
		{"fast", nil, func(h *scenario.Half) { h.DriftPPM = 400 }},
		{"slow, other rate, coarse", nil, func(h *scenario.Half) { h.DriftPPM, h.IntervalS, h.OnS = -250, 10, 41 }},
		{"both coarse", func(h *scenario.Half) { h.IntervalS = 5 }, func(h *scenario.Half) { h.IntervalS, h.OnS = 10, 77 }},
		{"a sensor that is off", nil, func(h *scenario.Half) { h.DepthZeroM, h.DepthFactor, h.OnS = 1.7, 1.04, 200 }},
		{"off for a while", func(h *scenario.Half) { h.Off = []scenario.Span{{FromS: 900, ToS: 1300}} }, func(h *scenario.Half) {
			h.Off, h.OnS = []scenario.Span{{FromS: 2000, ToS: 2400}}, 333
		}},
		{"on at the bottom", nil, func(h *scenario.Half) { h.OnS = 700 }},
	} {
		a, b := plain, plain
		if c.a != nil {
			c.a(&a)
		}
		if c.b != nil {
			c.b(&b)
		}
		got := halves.Align(recorded(l, a), recorded(l, b), halves.DefaultParams())
		if !got.Aligned {
			t.Errorf("%s: refused: %s", c.name, got.Reason)
			continue
		}
		for _, tB := range []float64{got.ReferenceS, got.ReferenceS - 600, got.ReferenceS + 600} {
			if off, half := got.ToA(tB)-trueToA(b, tB), got.HalfAt(tB); math.Abs(off) > half || half > 3 {
				t.Errorf("%s: at %.0f s off by %.2f s, half interval %.2f s", c.name, tB, off, half)
			}
		}
		if z := b.DepthZeroM; math.Abs(got.DepthZeroM-z) > 0.2 {
			t.Errorf("%s: depth zero %.2f m, want %.2f", c.name, got.DepthZeroM, z)
		}
	}
}

// A clock that was set hours apart is as good as any.
func TestHoursApart(t *testing.T) {
	l := simulate(t, "none", 4)
	a, b := recorded(l, plain), recorded(l, plain)
	for i := range b.TimeS {
		b.TimeS[i] += 7200
	}
	got := halves.Align(a, b, halves.DefaultParams())
	if !got.Aligned || math.Abs(got.OffsetS+7200) > got.OffsetHalfS {
		t.Errorf("%+v", got)
	}
}

// Moving or stretching one clock moves or stretches the answer; exchanging the
// halves inverts it.
func TestClockLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		levels := rapid.SliceOfN(rapid.Float64Range(4, 40), 5, 5).Draw(rt, "levels")
		course := func(t float64) float64 { // three minutes on a level, two to the next; some wander
			k, f := int(t/300), math.Mod(t, 300)
			if k >= len(levels)-1 {
				return levels[len(levels)-1] * math.Max(0, math.Min(1, (1600-t)/240))
			}
			return levels[k] + (levels[k+1]-levels[k])*math.Max(0, f-180)/120 + 0.2*math.Sin(t/7) + math.Min(0, (t-60)/6)
		}
		onS := rapid.Float64Range(0, 90).Draw(rt, "on")
		x := profile(1600, func(t float64) float64 { return math.Max(0, course(t)) })
		y := profile(1600, func(t float64) float64 { return math.Max(0, course(t+onS)+0.1*math.Sin(t/3)) })
		first := halves.Align(x, y, halves.DefaultParams())
		if !first.Aligned {
			rt.Skip(first.Reason) // levels that hardly differ
		}
		shiftS, stretch := rapid.Float64Range(-20000, 20000).Draw(rt, "shift"), rapid.Float64Range(-500e-6, 500e-6).Draw(rt, "drift")
		z := y
		z.TimeS = make([]float64, len(y.TimeS))
		for i, v := range y.TimeS {
			z.TimeS[i] = shiftS + v*(1+stretch)
		}
		second := halves.Align(x, z, halves.DefaultParams())
		back := halves.Align(y, x, halves.DefaultParams())
		if !second.Aligned || !back.Aligned {
			rt.Fatalf("refused: %s; %s", second.Reason, back.Reason)
		}
		for _, tB := range []float64{first.ReferenceS - 600, first.ReferenceS, first.ReferenceS + 600} {
			if d, half := second.ToA(shiftS+tB*(1+stretch))-first.ToA(tB), first.HalfAt(tB); math.Abs(d) > half {
				rt.Fatalf("at %.0f s the answers differ by %.3f s, half interval %.3f", tB, d, half)
			}
			if d := back.ToA(first.ToA(tB)) - tB; math.Abs(d) > first.HalfAt(tB) {
				rt.Fatalf("there and back leaves %.3f s", d)
			}
			if d := first.ToB(first.ToA(tB)) - tB; math.Abs(d) > 1e-6 {
				rt.Fatalf("the inverse leaves %g s", d)
			}
		}
		if d := second.DriftPPM - first.DriftPPM + stretch*1e6; math.Abs(d) > first.DriftHalfPPM {
			rt.Fatalf("the drift changed by %.0f ppm more than the stretch, half interval %.0f", d, first.DriftHalfPPM)
		}
	})
}

// Intervals of 95 % hold the truth about as often as they say.
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("counts over many dives")
	}
	in, n := 0, 0
	for seed := uint64(1); seed <= 20; seed++ {
		l := simulate(t, "none", seed)
		b := plain
		b.OnS, b.DriftPPM = 10+float64(seed)*2.37, float64(seed%9)*100-400
		got := halves.Align(recorded(l, plain), recorded(l, b), halves.DefaultParams())
		if !got.Aligned {
			t.Logf("seed %d: %s", seed, got.Reason)
			continue
		}
		n++
		if math.Abs(got.ToA(got.ReferenceS)-trueToA(b, got.ReferenceS)) <= got.OffsetHalfS && math.Abs(got.DriftPPM+b.DriftPPM) <= got.DriftHalfPPM {
			in++
		}
	}
	t.Logf("%d of %d", in, n)
	if n < 18 || float64(in) < 0.85*float64(n) {
		t.Errorf("both intervals hold the truth in %d of %d dives", in, n)
	}
}

// Two dives are never taken for one.
func TestTwoDives(t *testing.T) {
	families := []string{"plain/none", "hard-healthy/yoyo", "difficult/none"}
	type dive struct {
		name string
		s    halves.Series
	}
	var dives []dive
	for k, family := range families {
		for seed := uint64(1); seed <= 4; seed++ { // a seed draws one profile in all scenarios of a family
			dives = append(dives, dive{fmt.Sprintf("%s %d", family, seed), recorded(simulate(t, family, seed+10*uint64(k)), plain)})
		}
	}
	for i, a := range dives {
		for _, b := range dives[i+1:] {
			if got := halves.Align(a.s, b.s, halves.DefaultParams()); got.Aligned {
				t.Errorf("%s and %s: aligned, residual %.2f m, agree %.2f, %.2f", a.name, b.name, got.ResidualM, got.AgreeFraction, got.MovingAgreeFraction)
			}
		}
	}
}

// profile samples a course of depth every 2 s.
func profile(lastS float64, depth func(float64) float64) halves.Series {
	var s halves.Series
	for t := 0.0; t <= lastS; t += 2 {
		s.TimeS, s.DepthM = append(s.TimeS, t), append(s.DepthM, math.Round(10*depth(t))/10)
	}
	return s
}

func after(s halves.Series, fromS float64) halves.Series {
	var out halves.Series
	for i, t := range s.TimeS {
		if t >= fromS {
			out.TimeS, out.DepthM = append(out.TimeS, t-fromS), append(out.DepthM, s.DepthM[i])
		}
	}
	return out
}

func TestRefusals(t *testing.T) {
	teeth := profile(3600, func(t float64) float64 { return 20 + 10*math.Abs(math.Mod(t/100, 2)-1) })
	square := profile(2400, func(t float64) float64 { return math.Min(20, math.Min(t/4, (2400-t)/4)) })
	for _, c := range []struct {
		name string
		a, b halves.Series
		want string
	}{
		{"flat", profile(1800, func(float64) float64 { return 18 }), square, "depth changes by 0.0 m"},
		{"a repeated profile", teeth, after(teeth, 201), "repeats itself"},
		{"few rows", profile(10, func(float64) float64 { return 0 }), square, "fewer than ten rows"},
		{"short", profile(120, func(t float64) float64 { return t / 4 }), square, "common stretch"},
		{"no depth", square, profile(1200, func(float64) float64 { return math.NaN() }), "holds no depth"},
	} {
		got := halves.Align(c.a, c.b, halves.DefaultParams())
		if got.Aligned || !strings.Contains(got.Reason, c.want) {
			t.Errorf("%s: aligned %v, reason %q", c.name, got.Aligned, got.Reason)
		}
	}
	if got := halves.Align(square, square, halves.DefaultParams()); !got.Aligned || math.Abs(got.OffsetS) > 0.01 || math.Abs(got.DriftPPM) > 1 {
		t.Errorf("a log with itself: %+v", got)
	}
}

// A drift that no clock has is refused with the drift that fits, and how
// well it fits, so that the reader can tell a slow clock from lost rows.
func TestRefusedDriftIsNamed(t *testing.T) {
	a := profile(3600, func(t float64) float64 { return 20 + 8*math.Sin(t/170) + 5*math.Sin(t/71) })
	b := halves.Series{DepthM: a.DepthM, GapAfter: a.GapAfter}
	for _, s := range a.TimeS {
		b.TimeS = append(b.TimeS, 18000+s*(1+1500e-6))
	}
	got := halves.Align(a, b, halves.DefaultParams())
	if got.Aligned || math.Abs(got.DriftPPM+1497.75) > 75 { // 1/1.0015 - 1; what is believed of clocks draws it some per cent towards none
		t.Fatalf("%+v", got)
	}
	for _, want := range []string{"for 100 % of the common time", fmt.Sprintf("constant drift of about %+.0f parts per million", got.DriftPPM), "more than 1000 is refused"} {
		if !strings.Contains(got.Reason, want) {
			t.Errorf("%q is not in %q", want, got.Reason)
		}
	}
}

// A clock that stood still or was set while its half was off has no one offset.
func TestClockSetMeanwhile(t *testing.T) {
	l := simulate(t, "plain/none", 3)
	for _, jumpS := range []float64{10, 60, 300} {
		b := plain
		b.Off = []scenario.Span{{FromS: 1200, ToS: 1600}}
		y := recorded(l, b)
		for i := range y.TimeS {
			if y.TimeS[i] > 1400 {
				y.TimeS[i] -= jumpS
			}
		}
		if got := halves.Align(recorded(l, plain), y, halves.DefaultParams()); got.Aligned || got.Reason == "" {
			t.Errorf("a jump of %.0f s: %+v", jumpS, got)
		}
	}
}

func BenchmarkAlign(b *testing.B) {
	x := profile(3*3600, func(t float64) float64 { return math.Max(0, 40*math.Sin(t/1800)+5*math.Sin(t/77)) })
	y := after(x, 500)
	for b.Loop() {
		halves.Align(x, y, halves.DefaultParams())
	}
}
