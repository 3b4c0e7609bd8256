package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// dipM is a dive to 30 m and back, once a second.
func dipM(i int) float64 {
	switch {
	case i < 60 || i >= 900:
		return 0
	case i < 240:
		return float64(i-60) / 6
	case i < 600:
		return 30
	}
	return math.Max(0, float64(900-i)/10)
}

// pressureLog records depth, pressures and one cell over the dip; row makes the fields.
func pressureLog(columns string, row func(i int) string, meta ...string) *testLog {
	l := &testLog{meta: append([]string{"loop-log: 1", "diluent: 18/45"}, meta...), columns: strings.Split("time_s,cell1_po2_bar,po2_bar,"+columns, ",")}
	return l.add(960, func(i int) string { return fmt.Sprintf("%d,0.70,0.70,%s", i, row(i)) })
}

// bothLog records depth by one density and pressure by another.
func bothLog(surfaceBar, density float64, meta ...string) *testLog {
	return pressureLog("depth_m,ambient_bar", func(i int) string {
		return fmt.Sprintf("%.1f,%.3f", dipM(i), gas.Ambient(surfaceBar, dipM(i), density))
	}, meta...)
}

func TestDepthAndPressureFit(t *testing.T) {
	d := bothLog(0.95, 1025, "surface_pressure_bar: 0.95", "water: salt").analyze(t)
	none(t, d, "depth-pressure-mismatch")
	none(t, d, "surface-pressure")
	p := d.DepthPressure
	if p.DepthFrom != "depth" || p.Agreement == nil || math.Abs(float64(p.Agreement.MedianM)) > 0.06 || math.Abs(float64(p.ImpliedDensity.Value)-1025) > 4 {
		t.Errorf("%+v, density %+v", p.Agreement, p.ImpliedDensity)
	}
	if a := p.Altitude; a.From != "measured" || math.Abs(float64(a.M.Value)-gas.StandardAltitude(0.95)) > 10 || !(a.M.Low < a.M.Value-200) {
		t.Errorf("altitude %+v", a)
	}
	if c := outcome(d, "pressure-sensors"); c.Outcome != DoesNotApply {
		t.Errorf("one sensor: %s", c.Outcome)
	}
}

// An instrument that assumes fresh water in a log that says salt: a note, since the
// density alone explains it.
func TestImpliedDensityIsFound(t *testing.T) {
	d := bothLog(1.0, 1000, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	f := one(t, d, "depth-pressure-mismatch")
	if f.Severity != Note || !strings.Contains(f.Observed, "imply a density of 1000 kg/m3") || !strings.Contains(f.Observed, "1025 is in use") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
	// 0.9 % off is within the limit of 1 %.
	none(t, bothLog(1.0, 1034, "surface_pressure_bar: 1.0", "water: salt").analyze(t), "depth-pressure-mismatch")
}

// A pressure that is off by a scale is no density of water: a caution.
func TestPressureOffByAScale(t *testing.T) {
	d := bothLog(1.0, 1150, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	f := one(t, d, "depth-pressure-mismatch")
	if f.Severity != Caution || math.Abs(float64(f.Worst.Value)+30*(1150.0/1025-1)) > 0.2 {
		t.Errorf("%s, worst %v: %s", f.Severity, f.Worst.Value, f.Observed)
	}
}

func TestSurfacePressureContradicted(t *testing.T) {
	d := bothLog(0.90, 1025, "water: salt").analyze(t) // 1.013 is assumed
	f := one(t, d, "surface-pressure")
	if f.Severity != Caution || !strings.Contains(f.Observed, "0.900 bar") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
	none(t, d, "depth-pressure-mismatch") // told once
	// Drift alone is a note.
	d = pressureLog("depth_m,ambient_bar", func(i int) string {
		return fmt.Sprintf("%.1f,%.3f", dipM(i), gas.Ambient(1.0+0.03*float64(i)/960, dipM(i), 1025))
	}, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	f = one(t, d, "surface-pressure")
	if f.Severity != Note || !strings.Contains(f.Observed, "changed by +0.0") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
}

// A log of pressure alone: the surface is presumed where the record starts and ends there.
func TestPressureAlone(t *testing.T) {
	log := func(from, to int, meta ...string) *Debrief {
		l := pressureLog("ambient_bar", func(i int) string { return fmt.Sprintf("%.3f", gas.Ambient(0.80, dipM(i), 1000)) }, meta...)
		l.rows = l.rows[from:to]
		return l.analyze(t)
	}
	d := log(0, 960, "surface_pressure_bar: 1.0")
	f := one(t, d, "surface-pressure")
	if f.Confidence != Possible || !d.DepthPressure.Surface.Presumed || d.DepthPressure.DepthFrom != "pressure" {
		t.Errorf("%s: %+v", f.Confidence, d.DepthPressure.Surface)
	}
	if c := outcome(d, "depth-pressure"); c.Outcome != DoesNotApply {
		t.Errorf("depth-pressure: %s", c.Outcome)
	}
	none(t, log(0, 960, "surface_pressure_bar: 0.80"), "surface-pressure")
	d = log(200, 700, "surface_pressure_bar: 1.0")
	none(t, d, "surface-pressure")
	if c := outcome(d, "surface-pressure"); c.Outcome != NotAssessed || c.Reason == "" {
		t.Errorf("from under water: %s %s", c.Outcome, c.Reason)
	}
}

func TestPressureSensors(t *testing.T) {
	log := func(a, b func(p float64) float64) *Debrief {
		return pressureLog("depth_m,ambient1_bar,ambient2_bar", func(i int) string {
			p := gas.Ambient(1.0, dipM(i), 1025)
			return fmt.Sprintf("%.1f,%.4f,%.2f", dipM(i), a(p), b(p))
		}, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	}
	same := func(p float64) float64 { return p }
	d := log(same, same)
	none(t, d, "pressure-sensors-disagree")
	pair := d.DepthPressure.Pairs[0]
	if pair.Coarser == nil || *pair.Coarser != 2 || len(d.DepthPressure.Sensors) != 2 || !d.DepthPressure.Sensors[0].InUse {
		t.Errorf("%+v", pair)
	}
	d = log(same, func(p float64) float64 { return p + 0.12 })
	f := one(t, d, "pressure-sensors-disagree")
	if f.Severity != Caution || math.Abs(float64(f.Worst.Value)-0.12) > 0.01 {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
	none(t, log(same, func(p float64) float64 { return p + 0.04 }), "pressure-sensors-disagree")
	// The one in use stops at 2 bar, and the other does not agree below that: a warning.
	// Where it does it is taken, and said. The other one stopping is what it is for.
	stops := func(p float64) float64 { return math.Min(p, 2) }
	stood := false
	for _, f := range log(stops, func(p float64) float64 { return p + 0.3 }).Findings {
		stood = stood || f.Kind == "pressure-sensors-disagree" && f.Severity == Warning && strings.Contains(f.Observed, "stood at 2.000 bar")
	}
	if !stood {
		t.Error("a pressure that stands still is not found")
	}
	d = log(stops, same)
	none(t, d, "pressure-sensors-disagree")
	none(t, d, "depth-pressure-mismatch")
	if s := d.DepthPressure.Sensors; len(s) != 2 || s[0].Number != 2 || !s[0].InUse || math.Abs(float64(s[1].SaturatesBar)-2) > 1e-9 {
		t.Errorf("%+v", s)
	}
	said := ""
	for _, a := range d.Assumptions {
		if a.ID == "pressure-sensor" {
			said = a.Text
		}
	}
	if !strings.Contains(said, "in use is ambient2_bar: ambient1_bar stands still at 2.00 bar") {
		t.Errorf("said %q", said)
	}
	d = log(same, stops)
	none(t, d, "pressure-sensors-disagree")
	if s := d.DepthPressure.Sensors[1].SaturatesBar; math.Abs(float64(s)-2) > 1e-9 {
		t.Errorf("saturates at %v", s)
	}
}

// ambient_bar beside numbered ones: all columns are kept, the one without a number is in use.
func TestAllPressureColumnsAreKept(t *testing.T) {
	d := pressureLog("ambient_bar,ambient1_bar,ambient2_bar", func(i int) string {
		p := gas.Ambient(1.0, dipM(i), 1025)
		return fmt.Sprintf("%.3f,%.3f,%.3f", p, p+0.01, p-0.01)
	}).analyze(t)
	if s := d.DepthPressure.Sensors; len(s) != 3 || s[0].Number != 0 || !s[0].InUse || s[1].Number != 1 || s[2].Number != 2 || s[2].Rows != 960 {
		t.Errorf("%+v", s)
	}
}

func TestMetresOfSeaWaterHoldNoDensity(t *testing.T) {
	d := pressureLog("depth_msw,ambient_bar", func(i int) string {
		p := gas.Ambient(1.0, dipM(i), 1000)
		return fmt.Sprintf("%.2f,%.3f", (p-1.004)/gas.BarPerMsw, p)
	}, "surface_pressure_bar: 1.0", "water: fresh").analyze(t)
	none(t, d, "depth-pressure-mismatch")
	if p := d.DepthPressure; p.DepthFrom != "pressure-depth" || p.ImpliedDensity.Value.Known() || !strings.Contains(p.ImpliedDensity.Reason, "units of pressure") {
		t.Errorf("%s, %+v", p.DepthFrom, p.ImpliedDensity)
	}
}

// What an error of pressure changes, from depth at 40 m of water of 10 m to the bar.
func TestSensitivity(t *testing.T) {
	p := DefaultParameters()
	p.SkipDiagnosis = true
	d := Analyze(level(300, 40, 1.3, "diluent: 18/45").dive(t), p)
	fs := d.DepthPressure.Sensitivity
	if len(fs) != 3 {
		t.Fatalf("%+v", fs)
	}
	for k, want := range []float64{0.04, 0.05, 0.1} { // 1 % of 4 bar of water, 1 % of 5 bar, 0.1 bar
		if got := float64(fs[k].AmbientBar); math.Abs(got-want) > 1e-4 {
			t.Errorf("%s moves the bound by %g, want %g", fs[k].Kind, got, want)
		}
		if fs[k].CNSPercent != 0 || fs[k].OTU != 0 {
			t.Errorf("%s changes the dose of a loop, whose cells measure PO2 themselves: %+v", fs[k].Kind, fs[k])
		}
		if !(fs[k].DensityGL > 0.02 && fs[k].DensityGL < 0.15) || !(fs[k].LoopO2Fraction < 0) {
			t.Errorf("%s: %+v", fs[k].Kind, fs[k])
		}
	}
	// A sensor that read 0.1 bar of 1 bar low at calibration: all cells 10 % low, and the dose higher.
	if g := fs[2]; math.Abs(float64(g.CellGain)-1.1) > 1e-9 || !(g.CalibratedCNS > 0) || !(g.CalibratedOTU > 0) || fs[0].CellGain != 1 || fs[0].CalibratedCNS != 0 {
		t.Errorf("%+v", fs)
	}
	// On open circuit pressure is in the dose: 32 % at 5 bar, 1.6 bar, and 1 % more.
	d = Analyze(newLog("time_s,depth_m,cell1_po2_bar,po2_bar,breathing", "open_circuit_gas: 28/0").add(600, func(i int) string {
		return fmt.Sprintf("%d,40,1.0,1.0,open", i)
	}).dive(t), p)
	// OTU: ((p-0.5)/0.5)^(5/6) a minute, p 1.4 and 1.414 bar, over 10 min.
	rate := func(p float64) float64 { return math.Pow((p-0.5)/0.5, 5.0/6) }
	if got, want := float64(d.DepthPressure.Sensitivity[1].OTU), 10*(rate(1.414)-rate(1.4)); math.Abs(got-want) > 0.01 {
		t.Errorf("OTU moves by %g, want %g", got, want)
	}
}

// A measured pressure contains no density: an error of it moves depth alone.
func TestDensityDoesNotMoveMeasuredPressure(t *testing.T) {
	d := pressureLog("ambient_bar", func(i int) string { return fmt.Sprintf("%.3f", gas.Ambient(1.0, dipM(i), 1000)) }, "surface_pressure_bar: 1.0", "water: fresh").analyze(t)
	f := d.DepthPressure.Sensitivity[0]
	if f.AmbientBar != 0 || math.Abs(float64(f.DepthM)+30-30/1.01) > 0.02 {
		t.Errorf("%+v", f)
	}
	if d.Dive.AmbientFrom != ingest.AmbientMeasured {
		t.Errorf("ambient from %s", d.Dive.AmbientFrom)
	}
}

// One sensor alone that stops at 2 bar while depth goes on: told once, and nothing is
// said of the gas there.
func TestPressureThatEnds(t *testing.T) {
	d := pressureLog("depth_m,ambient_bar", func(i int) string {
		return fmt.Sprintf("%.1f,%.3f", dipM(i), math.Min(gas.Ambient(1.0, dipM(i), 1025), 2))
	}, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	f := one(t, d, "depth-pressure-mismatch")
	if f.Severity != Warning || !strings.Contains(f.Observed, "stood at 2.000 bar") || !strings.Contains(f.Observed, "30.0 m") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
	g := d.BreathedGas
	if !strings.Contains(g.Reason, "end of its sensor's range") || !(g.AssessedS < g.UnderWaterS-300) || float64(g.Moments[0].DepthM) > 10 {
		t.Errorf("gas of %v s, %q, densest at %v m", g.AssessedS, g.Reason, g.Moments[0].DepthM)
	}
	if c := outcome(d, "pressure-sensors"); c.Outcome != DoesNotApply {
		t.Errorf("pressure-sensors: %s", c.Outcome)
	}
	// Coarse rounding is no end of a range.
	d = pressureLog("depth_m,ambient_bar", func(i int) string {
		return fmt.Sprintf("%.1f,%.1f", dipM(i), gas.Ambient(1.0, dipM(i), 1025))
	}, "surface_pressure_bar: 1.0", "water: salt").analyze(t)
	none(t, d, "depth-pressure-mismatch")
}
