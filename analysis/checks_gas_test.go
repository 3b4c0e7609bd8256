package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// level is a log at one depth, on the loop with three cells at po2, once a second.
// newLog's surface is 1 bar and its water 10 m to the bar.
func level(n int, depthM, po2 float64, meta ...string) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar", meta...).
		add(n, func(i int) string {
			return fmt.Sprintf("%d,%.1f,%.3f,%.3f,%.3f,%.3f", i, depthM, po2, po2, po2, po2)
		})
}

// airPO2 is the PO2 that makes a loop on air as dry as air: 0.21 (P - 0.0627).
func airPO2(depthM float64) float64 { return 0.21 * (1 + depthM/10 - 0.0627) }

func TestGasDensityLimits(t *testing.T) {
	// Anthony and Mitchell 2016: 5.2 and 6.2 g/L are air at 31 and 39 m (6.2 and the
	// depths: memory); 0 C, 10 m to the bar, surface 1 bar (5.21 and 6.22).
	for _, c := range []struct {
		depthM   float64
		severity Severity // empty: no finding
		rows     int
	}{
		{30.9, "", 200}, {31, Caution, 200}, {31, "", 60}, {31, Caution, 61}, {38.8, Caution, 200}, {39, Warning, 200},
	} {
		t.Run(fmt.Sprintf("%g m for %d rows", c.depthM, c.rows), func(t *testing.T) {
			d := level(c.rows-1, c.depthM, airPO2(c.depthM), "diluent: air").analyze(t)
			if c.severity == "" {
				none(t, d, "gas-dense")
				return
			}
			f := one(t, d, "gas-dense")
			if f.Severity != c.severity || !strings.Contains(f.Observed, fmt.Sprintf("%.1f m", c.depthM)) || !strings.Contains(f.Observed, "21/0") {
				t.Errorf("%s: %s", f.Severity, f.Observed)
			}
		})
	}
	d := level(200, 31, airPO2(31), "diluent: air").analyze(t)
	m := d.BreathedGas.Moments[0]
	if math.Abs(float64(m.DensityGL)-5.21) > 0.005 || math.Abs(float64(m.NarcoticDepthN2M)-31) > 0.01 || math.Abs(float64(m.NarcoticDepthO2N2M)-31) > 0.01 {
		t.Errorf("air at 31 m: %.3f g/L, narcotic depth %.2f and %.2f m", float64(m.DensityGL), float64(m.NarcoticDepthN2M), float64(m.NarcoticDepthO2N2M))
	}
	if d.BreathedGas.DensestRangeGL.High.Known() {
		t.Error("a loop on air has a range of density, though no helium could be missing")
	}
}

// 18/45 at 60 m breathed as it is: 5.53 g/L at 0 C. From a start with air at the
// surface the loop may hold less helium: the range says so.
func TestTrimixOnTheLoop(t *testing.T) {
	columns := "time_s,depth_m,cell1_po2_bar,po2_bar"
	po2 := 0.18 * (7 - 0.0627)
	descent := func(i int) float64 { return math.Max(0.2, 0.18*(1+float64(i)/30-0.0627)) }
	d := newLog(columns, "diluent: 18/45").add(30, func(i int) string { return fmt.Sprintf("%d,0,0.20,0.20", i) }).
		add(180, func(i int) string {
			return fmt.Sprintf("%d,%.2f,%.3f,%.3f", 30+i, float64(i)/3, descent(i), descent(i))
		}).
		add(300, func(i int) string { return fmt.Sprintf("%d,60,%.4f,%.4f", 210+i, po2, po2) }).analyze(t)
	g := d.BreathedGas
	if g == nil || len(g.Moments) < 2 || g.Moments[1].Kind != "deepest" {
		t.Fatalf("%+v", g)
	}
	m := g.Moments[1]
	if math.Abs(float64(m.DensityGL)-5.53) > 0.005 || math.Abs(float64(m.Dry.He)-0.45) > 1e-3 {
		t.Errorf("18/45 at 60 m: %.3f g/L with %.3f helium", float64(m.DensityGL), float64(m.Dry.He))
	}
	// (60+10)(1-0.45)-10 = 28.5 m with oxygen, (70)(0.37/0.79)-10 = 22.8 m without.
	if math.Abs(float64(m.NarcoticDepthO2N2M)-28.5) > 0.05 || math.Abs(float64(m.NarcoticDepthN2M)-22.78) > 0.05 {
		t.Errorf("narcotic depth %.2f and %.2f m", float64(m.NarcoticDepthO2N2M), float64(m.NarcoticDepthN2M))
	}
	// 0.737 bar of the air's nitrogen stay of 5.69 bar inert: 0.45 becomes 0.392.
	if hi := float64(m.DensityRangeGL.High); hi < 5.8 || hi > 6.1 {
		t.Errorf("with the starting air kept: %.2f g/L", hi)
	}
	f := one(t, d, "gas-dense")
	if f.Severity != Caution || f.Confidence != Likely || !strings.Contains(f.Others, "may still have held") {
		t.Errorf("%s %s: %s", f.Severity, f.Confidence, f.Others)
	}
	if len(g.Limits) == 0 || !strings.Contains(g.Limits[0], "No diluent flush") {
		t.Errorf("limits %q", g.Limits)
	}
	sum := m.Inspired.O2 + m.Inspired.N2 + m.Inspired.He + m.Inspired.H2O
	if math.Abs(float64(sum)-1) > 1e-9 || math.Abs(float64(m.Inspired.H2O)-0.0627/7) > 1e-6 {
		t.Errorf("inspired fractions %+v", m.Inspired)
	}
}

// Below the limit with the diluent's own helium, above it with the starting air:
// borderline, and no finding.
func TestStartingAirMakesItBorderline(t *testing.T) {
	columns := "time_s,depth_m,cell1_po2_bar"
	d := newLog(columns, "diluent: 18/45").add(30, func(i int) string { return fmt.Sprintf("%d,0,0.20", i) }).
		add(180, func(i int) string {
			return fmt.Sprintf("%d,%.2f,%.3f", 30+i, float64(i)*55/180, math.Max(0.2, math.Min(0.9, float64(i)/180)))
		}).
		add(300, func(i int) string { return fmt.Sprintf("%d,55,0.9", 210+i) }).analyze(t)
	none(t, d, "gas-dense")
	if c := outcome(d, "gas-density"); c.Outcome != Borderline || c.Reason == "" {
		t.Errorf("%s: %s; densest %.2f, range %+v", c.Outcome, c.Reason, float64(d.BreathedGas.Moments[0].DensityGL), d.BreathedGas.DensestRangeGL)
	}
}

func TestGasNotAssessed(t *testing.T) {
	d := level(200, 40, 1.2).analyze(t)
	if c := outcome(d, "gas-density"); c.Outcome != NotAssessed || !strings.Contains(c.Reason, "diluent") {
		t.Errorf("without a diluent: %s, %s", c.Outcome, c.Reason)
	}
	if g := d.BreathedGas; len(g.Moments) != 0 || g.Reason == "" || g.AssessedS != 0 {
		t.Errorf("without a diluent: %+v", g)
	}
	// On open circuit the gas is known though the diluent is not.
	d = newLog("time_s,depth_m,cell1_po2_bar,po2_bar,breathing", "open_circuit_gas: air").add(200, func(i int) string {
		return fmt.Sprintf("%d,40,1.2,1.2,open", i)
	}).analyze(t)
	f := one(t, d, "gas-dense")
	if f.Severity != Warning || !strings.Contains(f.Observed, "open circuit with 21/0") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
}

// switched is a log at 40 m in which the diluent is changed at row 100.
func switched(from, to string, flush bool) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,po2_bar,diluent,event", "diluent: "+from).add(300, func(i int) string {
		change, event := "", ""
		if i == 100 {
			change = to
			if flush {
				event = "diluent_flush"
			}
		}
		return fmt.Sprintf("%d,40.0,1.30,1.30,%s,%s", i, change, event)
	})
}

func TestDiluentSwitch(t *testing.T) {
	// 5 bar, 4.9373 dry, 3.6373 inert: 18/45 is 1.996 He and 1.641 N2; air is all N2.
	d := switched("18/45", "21/0", true).analyze(t)
	f := one(t, d, "isobaric-switch")
	if f.Severity != Note || f.Confidence != Possible || math.Abs(float64(f.Worst.Value)-1.996) > 0.001 || f.FromS != 100 {
		t.Errorf("%s %s, rise %v from %v: %s", f.Severity, f.Confidence, f.Worst.Value, f.FromS, f.Observed)
	}
	s := d.BreathedGas.Switches[0]
	if !s.Counterdiffusion || !s.UpperBound || math.Abs(float64(s.NitrogenPerHelium)-1) > 1e-9 || math.Abs(float64(s.HeliumBeforeBar)-1.996) > 0.001 || s.HeliumAfterBar != 0 {
		t.Errorf("%+v", s)
	}
	// The other way nitrogen falls; a small rise is none.
	none(t, switched("21/0", "18/45", false).analyze(t), "isobaric-switch")
	d = switched("18/45", "18/40", false).analyze(t)
	none(t, d, "isobaric-switch")
	if c := outcome(d, "gas-switch"); c.Outcome != NotFound {
		t.Errorf("a small rise: %s", c.Outcome)
	}
	if c := outcome(level(100, 40, 1.3, "diluent: air").analyze(t), "gas-switch"); c.Outcome != DoesNotApply {
		t.Errorf("no switch: %s", c.Outcome)
	}
}

// On bailout the gas changes at once: no upper bound. An unknown gas is not assessed.
func TestBailoutSwitch(t *testing.T) {
	log := func(meta ...string) *Debrief {
		return newLog("time_s,depth_m,cell1_po2_bar,po2_bar,breathing", append(meta, "diluent: 18/45")...).add(300, func(i int) string {
			return fmt.Sprintf("%d,40.0,1.30,1.30,%s", i, map[bool]string{true: "loop", false: "open"}[i < 150])
		}).analyze(t)
	}
	d := log("open_circuit_gas: 21/0")
	f := one(t, d, "isobaric-switch")
	// 0.79 of 4.9373 bar after 1.641.
	if f.Confidence != Likely || math.Abs(float64(f.Worst.Value)-(0.79*4.9373-1.641)) > 0.001 {
		t.Errorf("%s, rise %v", f.Confidence, f.Worst.Value)
	}
	if c := outcome(log(), "gas-switch"); c.Outcome != NotAssessed || c.Reason == "" {
		t.Errorf("unknown gas: %s %s", c.Outcome, c.Reason)
	}
}
