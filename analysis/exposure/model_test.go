package exposure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// flat is a course of minutes at one PO2, a row every stepS.
func flat(pBar, minutes, stepS float64) (tS, po []float64) {
	for t := 0.0; t <= minutes*60+1e-9; t += stepS {
		tS, po = append(tS, t), append(po, pBar)
	}
	return tS, po
}

func doseOf(t *testing.T, name string, tS, po []float64) ModelDose {
	t.Helper()
	m, ok := ModelByName(name)
	if !ok {
		t.Fatalf("no model %s", name)
	}
	return m.Dose(tS, po, nil, Options{})
}

// TestPulmonaryCheckValues: computed from the equations of Arieli 2002, the
// saturation paper and ESOT (memory): K in h, loss and incidence in per cent, ESOT.
func TestPulmonaryCheckValues(t *testing.T) {
	for _, c := range []struct{ p, h, k, loss, incidence, esot float64 }{
		{1.0, 12, 144.00, 1.181, 26.47, 720.0},
		{1.3, 4, 53.07, 0.435, 10.92, 437.1},
		{1.4, 4, 74.46, 0.611, 14.58, 517.7},
		{1.6, 6, 308.41, 2.529, 54.59, 1053.7},
	} {
		near(t, "K", PulmonaryIndex(c.h, c.p), c.k, 0.005)
		near(t, "loss", VitalCapacityLoss(c.h, c.p), c.loss, 0.0005)
		percent, clamped := PulmonaryIncidence(PulmonaryIndex(c.h, c.p))
		near(t, "incidence", percent, c.incidence, 0.006)
		near(t, "ESOT", ESOT(60*c.h, c.p), c.esot, 0.05)
		near(t, "ESOT is 60 sqrt K", ESOT(60*c.h, c.p), 60*math.Sqrt(PulmonaryIndex(c.h, c.p)), 1e-9)
		if clamped {
			t.Errorf("%v h at %v is clamped", c.h, c.p)
		}
	}
	if p, clamped := PulmonaryIncidence(573); clamped || p > 100 {
		t.Errorf("K 573: %v, clamped %v", p, clamped)
	}
	if p, clamped := PulmonaryIncidence(575); !clamped || p != 100 {
		t.Errorf("K 575: %v, clamped %v", p, clamped)
	}
	near(t, "no exposure", first(PulmonaryIncidence(0)), 1.85, 0)
	near(t, "saturation: 24 h at 0.5 bar", PulmonaryIndexSaturation(24, 0.5), PulmonaryIndex(24, 0.5)*math.Exp(-0.324), 1e-12)
}

func first(v float64, _ bool) float64 { return v }

// TestRecoveryConstant: the saturation paper prints 0.0024 per h at 1.1 bar and
// 0.54 at 2.5 bar for -0.42 + 0.384 PO2; with 0.00379 per kPa (Arieli 2002) it is
// negative from 1.108 bar down, with 0.384 per bar from 1.094.
func TestRecoveryConstant(t *testing.T) {
	near(t, "0.384 per atm of 101.3 kPa", 0.00379*101.3, 0.384, 0.0001)
	k, clamped := VitalCapacityRecovery(2.5)
	near(t, "2.5 bar", k, 0.5275, 1e-9)
	if clamped {
		t.Error("2.5 bar is clamped")
	}
	for _, p := range []float64{0.6, 1.094, 1.1} {
		if k, clamped := VitalCapacityRecovery(p); k != 0 || !clamped {
			t.Errorf("%v bar: %v, clamped %v", p, k, clamped)
		}
	}
}

// TestCNSCheckValues: Z and risk at the NOAA single limits, computed from the
// equation of Arieli 2002; and the median of Arieli 2003, K = 2.31e8 with 6.76.
func TestCNSCheckValues(t *testing.T) {
	for _, c := range []struct{ p, min, z, risk float64 }{
		{1.0, 300, -1.9437, 2.60}, {1.2, 210, -1.8152, 3.48}, {1.3, 180, -1.7576, 3.94},
		{1.4, 150, -1.7238, 4.24}, {1.5, 120, -1.7188, 4.28}, {1.6, 45, -2.0964, 1.80},
	} {
		z, risk := CNSRisk(c.min, c.p)
		near(t, "Z", z, c.z, 0.00006)
		near(t, "risk", 100*risk, c.risk, 0.006)
	}
	near(t, "ln sqrt Kc", math.Log(math.Sqrt(2.31e8)), 9.63, 0.002)
	near(t, "median", second(CNSRisk(math.Sqrt(2.31e8), 1)), 0.5, 0.001)
	near(t, "half-time of K", math.Ln2/cnsRecovery, 8.8, 0.05)
	near(t, "K", CNSIndex(60, 1.3), 3600*math.Pow(1.3, 6.8), 1e-9)
}

func second(_, v float64) float64 { return v }

// TestNear13CheckValues: Shykoff 2015, computed from the printed equation.
func TestNear13CheckValues(t *testing.T) {
	for h, want := range map[float64]float64{0: 2.70, 2: 6.88, 4: 16.44, 6: 34.39, 8: 58.27} {
		near(t, "detectable", DetectableNear13(h), want, 0.006)
	}
}

// TestESOTDays: DMAC 35 (memory).
func TestESOTDays(t *testing.T) {
	for days, want := range map[int]float64{1: 660, 2: 500, 5: 500, 6: 420, 10: 420} {
		if got, ok := ESOTDay(days); !ok || got != want {
			t.Errorf("day %d: %v %v", days, got, ok)
		}
	}
	for _, days := range []int{0, -1, 11} {
		if _, ok := ESOTDay(days); ok {
			t.Errorf("day %d has a limit", days)
		}
	}
}

// TestConstantIsClosedForm: a constant PO2 gives each model its closed form, by
// however many rows it is recorded.
func TestConstantIsClosedForm(t *testing.T) {
	for _, step := range []float64{1, 60, 720} {
		tS, po := flat(1.3, 240, step)
		p := 1.3 * 100 / 101.3
		percent, _ := PulmonaryIncidence(PulmonaryIndex(4, 1.3))
		near(t, "vital-capacity", doseOf(t, "vital-capacity", tS, po).Value, VitalCapacityLoss(4, p), 1e-9)
		near(t, "pulmonary-index", doseOf(t, "pulmonary-index", tS, po).Value, percent, 1e-9)
		near(t, "near-1.3", doseOf(t, "near-1.3", tS, po).Value, DetectableNear13(4), 1e-9)
		near(t, "esot", doseOf(t, "esot", tS, po).Value, ESOT(240, p), 1e-9)
		near(t, "cns-index", doseOf(t, "cns-index", tS, po).Value, 100*second(CNSRisk(240, p)), 1e-9)
		near(t, "K of cns-index", doseOf(t, "cns-index", tS, po).Figures[0].Value, CNSIndex(240, p), 1e-4)
	}
}

// TestModelsProperties: cutting a course by more rows changes no figure; more
// PO2 or more time is never less dose.
func TestModelsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "n")
		var tS, po, denseS, densePO, higher []float64
		at := 0.0
		for i := range n {
			p := rapid.Float64Range(0.3, 2.0).Draw(t, "p")
			if i > 0 {
				d := rapid.Float64Range(10, 3000).Draw(t, "d")
				for k := 1; k < 5; k++ {
					s := float64(k) / 5
					denseS, densePO = append(denseS, at+s*d), append(densePO, po[i-1]+s*(p-po[i-1]))
				}
				at += d
			}
			tS, po = append(tS, at), append(po, p)
			denseS, densePO = append(denseS, at), append(densePO, p)
		}
		// Above 0.5 bar throughout, since less time at low PO2 is less recovery.
		base := make([]float64, n)
		for i := range po {
			base[i] = math.Max(po[i], 0.6)
			higher = append(higher, base[i]*rapid.Float64Range(1, 1.2).Draw(t, "more"))
		}
		for _, m := range Models() {
			m.FromBar, m.ToBar = 0, 9 // the equations, not their range
			a, b := m.Dose(tS, po, nil, Options{}), m.Dose(denseS, densePO, nil, Options{})
			if a.Standing != b.Standing || !math.IsNaN(a.Value) && !(math.Abs(a.Value-b.Value) <= 1e-9*(1+math.Abs(a.Value))) {
				t.Fatalf("%s: %v by %d rows, %v by %d", m.Name, a.Value, n, b.Value, len(denseS))
			}
			c, d := m.Dose(tS, base, nil, Options{}), m.Dose(tS, higher, nil, Options{})
			if !(d.Value >= c.Value-1e-9) {
				t.Fatalf("%s: more PO2 gives %v, less %v", m.Name, d.Value, c.Value)
			}
			e := m.Dose(tS[:n-1], base[:n-1], nil, Options{})
			if n > 2 && !(c.Value >= e.Value-1e-9) {
				t.Fatalf("%s: longer gives %v, shorter %v", m.Name, c.Value, e.Value)
			}
		}
	})
}

// TestRecovery: at low PO2 the CNS index halves in 8.8 min; the highest stays the figure.
func TestRecovery(t *testing.T) {
	half := math.Ln2 / 0.079 * 60
	tS := []float64{0, 3600, 3600.001, 3600.001 + half, 3600.002 + half, 7200.002 + half}
	po := []float64{1.6, 1.6, 0.4, 0.4, 1.6, 1.6}
	d := doseOf(t, "cns-index", tS, po)
	p := 1.6 * 100 / 101.3
	root := 60 * math.Pow(p, cnsZExponent) * (1 + math.Sqrt(0.5))
	near(t, "risk", d.Value, 100*second(cnsRiskOf(root)), 1e-3)
	once := doseOf(t, "cns-index", tS[:2], po[:2]).Value
	near(t, "no less after a rest", doseOf(t, "cns-index", tS[:4], po[:4]).Value, once, 1e-5)

	loss := doseOf(t, "vital-capacity", []float64{0, 7200, 7200.001, 9000}, []float64{1.6, 1.6, 0.4, 0.4})
	k, _ := VitalCapacityRecovery(1.6)
	near(t, "loss at the end", loss.Figures[0].Value, loss.Value*math.Exp(-k*0.5), 1e-4)
	low := doseOf(t, "vital-capacity", []float64{0, 7200, 7200.001, 9000}, []float64{1.05, 1.05, 0.4, 0.4})
	if low.Figures[0].Value != low.Value || len(low.Notes) != 1 || !strings.Contains(low.Notes[0], "clamped") {
		t.Errorf("recovery below 1.1 bar: %+v", low)
	}
}

// TestStanding: outside of its published range a model has no figure.
func TestStanding(t *testing.T) {
	for _, c := range []struct {
		name string
		p    []float64 // a third of the time each
		want Standing
	}{
		{"near-1.3", []float64{1.3, 1.25, 1.35}, Inside},
		{"near-1.3", []float64{1.3, 1.3, 0.7}, OutOfRange},
		{"near-1.3", []float64{1.6, 1.6, 1.6}, OutOfRange},
		{"near-1.3", []float64{1.3, 0.3, 0.3}, Inside}, // low PO2 is no exposure
		{"vital-capacity", []float64{1.3, 1.3, 0.7}, Partly},
		{"vital-capacity", []float64{0.7, 0.7, 0.7}, OutOfRange},
		{"esot", []float64{2.6, 2.6, 1.3}, OutOfRange},
		{"cns-index", []float64{1.0, 1.0, 1.0}, OutOfRange},
		{"esot", []float64{0.2, 0.2, 0.2}, Unexposed},
		{"pulmonary-index", []float64{0.5, 0.4, 0.2}, Unexposed},
	} {
		var tS, po []float64
		for i, p := range c.p {
			a := 3600 * float64(i)
			tS, po = append(tS, a, a+3599.99), append(po, p, p)
		}
		d := doseOf(t, c.name, tS, po)
		if d.Standing != c.want || math.IsNaN(d.Value) != (c.want == OutOfRange || c.want == Unexposed) {
			t.Errorf("%s at %v: %s, %v", c.name, c.p, d.Standing, d.Value)
		}
	}
}

// TestModelsNothing: no rows, one row, no reading and gaps.
func TestModelsNothing(t *testing.T) {
	nan := math.NaN()
	for _, m := range Models() {
		for _, c := range [][2][]float64{{nil, nil}, {{0}, {1.3}}, {{0, 1, 2}, {nan, nan, nan}}} {
			if d := m.Dose(c[0], c[1], nil, Options{}); d.Standing != NoReading || !math.IsNaN(d.Value) {
				t.Errorf("%s of %v: %+v", m.Name, c, d)
			}
		}
		whole := m.Dose([]float64{0, 600, 1200}, []float64{1.3, 1.3, 1.3}, nil, Options{})
		holed := m.Dose([]float64{0, 600, 1200}, []float64{1.3, 1.3, 1.3}, []bool{false, true, false}, Options{})
		if holed.GapS != 600 || !holed.LowerBound() || !(holed.Value < whole.Value) {
			t.Errorf("%s: a gap of 10 min: %+v against %+v", m.Name, holed, whole)
		}
	}
}

// TestModelsAreDescribed: a model says its name, equation, source and range.
func TestModelsAreDescribed(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Models() {
		if m.Name == "" || m.Title == "" || m.Says == "" || m.Equation == "" || m.Source == "" || m.Range == "" || !(m.FromBar < m.ToBar) || !(m.MinInside > 0) || m.run == nil || seen[m.Name] {
			t.Errorf("%+v", m)
		}
		if seen[m.Name] = true; !m.Verified && !strings.Contains(m.Source, "memory") {
			t.Errorf("%s: not verified, but its source does not say so", m.Name)
		}
	}
}

// TestMeanOfPower: the series meets the closed form where the two take over from each other.
func TestMeanOfPower(t *testing.T) {
	for _, e := range []float64{2.285, 3.38, 3.4} {
		for _, w := range []float64{0.00999, 0.01001} {
			a, b := 1.3*(1-w), 1.3*(1+w)
			closed := (math.Pow(b, e+1) - math.Pow(a, e+1)) / ((e + 1) * (b - a))
			near(t, "mean", meanOfPower(a, b, e), closed, 1e-11)
		}
	}
}
