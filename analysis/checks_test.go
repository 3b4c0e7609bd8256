package analysis

import (
	"fmt"
	"math"
	"testing"
)

// step is base, with value for the rows from..from+n-1.
func step(base, value float64, from, n int) func(int) float64 {
	return func(i int) float64 {
		if i >= from && i < from+n {
			return value
		}
		return base
	}
}

func TestLowAndHighOxygen(t *testing.T) {
	for _, c := range []struct {
		name     string
		po2      func(int) float64
		kind     string
		severity Severity // empty: no finding
	}{
		{"0.15 for 6 s", step(0.7, 0.15, 100, 6), "low-oxygen", Warning},
		{"0.15 for 4 s is shorter than 5 s", step(0.7, 0.15, 100, 4), "low-oxygen", ""},
		{"0.17 for 6 s", step(0.7, 0.17, 100, 6), "low-oxygen", Caution},
		{"0.18 is the limit, and not below it", step(0.7, 0.18, 100, 60), "low-oxygen", ""},
		{"1.45 for 60 s", step(1.3, 1.45, 100, 60), "high-oxygen", Caution},
		{"1.45 for 59 s", step(1.3, 1.45, 100, 59), "high-oxygen", ""},
		{"1.40 is the limit, and not above it", step(1.3, 1.40, 100, 300), "high-oxygen", ""},
		{"1.65 for 10 s", step(1.3, 1.65, 100, 10), "high-oxygen", Warning},
		{"1.60 is the limit of a warning", step(1.3, 1.60, 100, 60), "high-oxygen", Caution},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := threeCells(400, c.po2).analyze(t)
			if c.severity == "" {
				none(t, d, c.kind)
				return
			}
			f := one(t, d, c.kind)
			if f.Severity != c.severity || f.FromS != 100 || f.Confidence != Sure {
				t.Errorf("got %s %s from %v, want %s sure from 100", f.Severity, f.Confidence, f.FromS, c.severity)
			}
		})
	}
}

func TestLowOxygenOnlyOnTheLoopAndUnderWater(t *testing.T) {
	row := func(depth float64, breathing string, po2 float64) func(int) string {
		return func(i int) string {
			return fmt.Sprintf("%d,%.1f,%.2f,%.2f,%s", i, depth, po2, po2, breathing)
		}
	}
	columns := "time_s,depth_m,cell1_po2_bar,po2_bar,breathing"
	d := newLog(columns).add(100, row(0, "loop", 0.10)).analyze(t)
	none(t, d, "low-oxygen")
	if c := outcome(d, "low-oxygen"); c.Outcome != NotAssessed {
		t.Errorf("at the surface: %s, want not_assessed", c.Outcome)
	}
	none(t, newLog(columns).add(100, row(20, "open", 0.10)).analyze(t), "low-oxygen")
	one(t, newLog(columns).add(100, row(20, "loop", 0.10)).analyze(t), "low-oxygen")
}

func TestOneEventIsOneFinding(t *testing.T) {
	// It falls below 0.18, then below 0.16, and comes back: one event that grows.
	d := threeCells(400, func(i int) float64 {
		switch {
		case i >= 100 && i < 120:
			return 0.17
		case i >= 120 && i < 140:
			return 0.12
		case i >= 140 && i < 160:
			return 0.17
		}
		return 0.7
	}).analyze(t)
	f := one(t, d, "low-oxygen")
	if f.Severity != Warning || f.FromS != 100 || f.ToS != 160 || f.Worst.Value != 0.12 {
		t.Errorf("got %s from %v to %v worst %v; want a warning from 100 to 160, worst 0.12", f.Severity, f.FromS, f.ToS, f.Worst.Value)
	}
}

// apart is a log in which cell 3 lies off the others by d for rows 100..100+n-1.
func apart(d float64, n int) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar").add(400, func(i int) string {
		odd := 1.0
		if i >= 100 && i < 100+n {
			odd += d
		}
		return fmt.Sprintf("%d,20.0,1.000,1.000,%.3f", i, odd)
	})
}

func TestCellsDisagree(t *testing.T) {
	none(t, apart(0.20, 200).analyze(t), "cells-disagree") // at the limit is within
	none(t, apart(0.25, 29).analyze(t), "cells-disagree")
	f := one(t, apart(0.25, 30).analyze(t), "cells-disagree")
	if f.FromS != 100 || f.ToS != 130 {
		t.Errorf("from %v to %v, want from its first row 100 to 130", f.FromS, f.ToS)
	}
	if f.Cell != nil {
		t.Errorf("cell %d is named, with nothing but the company of the others as evidence", *f.Cell)
	}
}

// flushed is a log with a diluent flush (air) at 20 m, where F x P = 0.21 x 3.0 =
// 0.63; the cells then read the given values.
func flushed(c1, c2, c3 float64) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,event", "diluent: air").add(400, func(i int) string {
		event := ""
		if i == 100 {
			event = "diluent_flush"
		}
		if i >= 105 && i < 300 {
			return fmt.Sprintf("%d,20.0,%.2f,%.2f,%.2f,%s", i, c1, c2, c3, event)
		}
		return fmt.Sprintf("%d,20.0,%.2f,%.2f,%.2f,%s", i, c1+0.6, c2+0.6, c3+0.6, event)
	})
}

func TestKnownGasAfterAFlush(t *testing.T) {
	d := flushed(0.62, 0.62, 0.40).analyze(t)
	if len(d.KnownGas) != 1 || !d.KnownGas[0].Assessed {
		t.Fatalf("the flush was not assessed: %+v", d.KnownGas)
	}
	if k := d.KnownGas[0]; math.Abs(float64(k.ExpectedHigh)-0.63) > 1e-3 || k.SettleS != 5 {
		t.Errorf("expected up to %v after %v s, want 0.21 x 3.0 = 0.63 (Dalton) after 5 s", k.ExpectedHigh, k.SettleS)
	}
	f := one(t, d, "known-gas-mismatch")
	if f.Cell == nil || *f.Cell != 3 {
		t.Errorf("cell %v is named; cell 3 read less than the flush can leave", f.Cell)
	}
	if f := one(t, d, "cells-disagree"); f.Cell == nil || *f.Cell != 3 {
		t.Errorf("the disagreement names cell %v, want 3 by the flush", f.Cell)
	}
}

func TestIncompleteFlushNamesNobody(t *testing.T) {
	// Cells 1 and 2 are right and the flush left PO2 at 0.75; cell 3 is limited and
	// happens to read what a complete flush would give.
	d := flushed(0.75, 0.75, 0.62).analyze(t)
	none(t, d, "known-gas-mismatch")
	for _, r := range d.KnownGas[0].Readings {
		if r.Conclusive {
			t.Errorf("cell %d is called off by a flush that may not have been complete", r.Cell)
		}
	}
}

func TestReadingAboveAmbient(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar").add(100, func(i int) string {
		return fmt.Sprintf("%d,1.0,1.35,1.05", i) // ambient 1.1 bar
	}).analyze(t)
	f := one(t, d, "reading-above-ambient")
	if f.Cell == nil || *f.Cell != 1 || f.Severity != Warning {
		t.Errorf("got %+v, want a warning on cell 1", f)
	}
	for _, s := range d.Exposure.BySource {
		want := s.Source != "cell2" && s.Source != "lowest" // the others rest on cell 1, half at least
		if want != s.JudgedFalse {
			t.Errorf("%s judged false: %v", s.Source, s.JudgedFalse)
		}
	}
	if h := d.Exposure.Headline.Source; h != "cell2" {
		t.Errorf("the headline rests on %s, want cell2: all else is judged false", h)
	}
}

func TestAllCellsAboveAmbientNamesNone(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar").add(100, func(i int) string {
		return fmt.Sprintf("%d,1.0,1.35,1.36", i)
	}).analyze(t)
	for _, f := range ofKind(d, "reading-above-ambient") {
		if f.Confidence != Possible {
			t.Errorf("all cells are high: %s, want possible, since the pressure may be what is wrong", f.Confidence)
		}
	}
}

func TestGapMakesTheDoseAnInterval(t *testing.T) {
	l := threeCells(600, func(int) float64 { return 1.3 })
	l.rows = append(l.rows[:200], l.rows[500:]...) // 5 minutes are missing
	d := l.analyze(t)
	f := one(t, d, "recording-gap")
	if f.FromS != 199 || f.ToS != 500 {
		t.Errorf("gap from %v to %v, want 199 to 500", f.FromS, f.ToS)
	}
	u := d.Exposure.BySource[0]
	wantLow, wantGap := 298.0/60/180*100, 301.0/60/180*100 // NOAA: 180 min at 1.3
	if math.Abs(float64(u.CNSLowPercent)-wantLow) > 1e-6 || math.Abs(float64(u.CNSHighPercent)-wantLow-wantGap) > 1e-6 {
		t.Errorf("CNS from %v to %v, want %v to %v", u.CNSLowPercent, u.CNSHighPercent, wantLow, wantLow+wantGap)
	}
}

func TestOpenCircuitIsNeverTheLoop(t *testing.T) {
	rows := func(i int) string {
		b := "loop"
		if i >= 300 {
			b = "open"
		}
		return fmt.Sprintf("%d,20.0,1.30,1.30,%s", i, b)
	}
	columns := "time_s,depth_m,cell1_po2_bar,po2_bar,breathing"
	unknownGas := newLog(columns).add(600, rows).analyze(t)
	if unknownGas.Exposure.OpenCircuitAssessed {
		t.Error("the open-circuit gas is not in the log, and yet was assessed")
	}
	if s := unknownGas.Exposure.BySource[0].AssessedS; s != 299 {
		t.Errorf("dose over %v s, want the 299 s on the loop", s)
	}
	air := newLog(columns, "open_circuit_gas: 50/0").add(600, rows).analyze(t)
	want := 299.0/60/180*100 + 299.0/60/120*100 // 1.3 on the loop, 0.5 x 3.0 = 1.5 on open circuit
	got := float64(air.Exposure.BySource[0].CNSPercent)
	if math.Abs(got-want) > 0.02 { // one second lies between the two
		t.Errorf("CNS %v, want %v", got, want)
	}
}

func TestHighOxygenOnOpenCircuit(t *testing.T) {
	rows := func(i int) string { return fmt.Sprintf("%d,40.0,1.20,1.20,open", i) }
	d := newLog("time_s,depth_m,cell1_po2_bar,po2_bar,breathing", "open_circuit_gas: 50/0").add(300, rows).analyze(t)
	f := one(t, d, "high-oxygen") // 0.5 x 5.0 bar = 2.5
	if f.Severity != Warning || math.Abs(float64(f.Worst.Value)-2.5) > 0.001 {
		t.Errorf("got %s at %v, want a warning at 2.5 bar", f.Severity, f.Worst.Value)
	}
	none(t, newLog("time_s,depth_m,cell1_po2_bar,po2_bar,breathing", "open_circuit_gas: 21/0").add(300, rows).analyze(t), "high-oxygen")
}

func TestUndecidedCountsTheHighestReading(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,cell4_po2_bar").add(601, func(i int) string {
		return fmt.Sprintf("%d,20.0,1.0,1.2,1.5,1.9", i)
	}).analyze(t)
	for _, s := range d.Exposure.BySource {
		if s.Source == "mid-value" && (math.Abs(float64(s.CNSPercent)-100*10.0/45) > 1e-6 || !s.CNSIsLowerBound) {
			t.Errorf("CNS %v %v, want 10 min at 1.9 charged at 45 min as a lower bound", s.CNSPercent, s.CNSIsLowerBound)
		}
	}
}

func TestMissingColumnsAreNotAssessed(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar").add(200, func(i int) string { return fmt.Sprintf("%d,20.0,1.0", i) }).analyze(t)
	for id, want := range map[string]Outcome{
		"cells-disagree": DoesNotApply, "vote-undecided": DoesNotApply, "vote-order": DoesNotApply,
		"setpoint-held": NotAssessed, "oscillation": NotAssessed, "sluggish": NotAssessed, "overshoot": NotAssessed,
		"unit-vote": NotAssessed, "known-gas": NotAssessed, "surface-pressure": NotAssessed,
		"low-oxygen": NotFound, "high-oxygen": NotFound, "cns-single": NotFound,
	} {
		c := outcome(d, id)
		if c.Outcome != want {
			t.Errorf("%s: %s, want %s", id, c.Outcome, want)
		}
		if (want == NotAssessed || want == DoesNotApply) && c.Reason == "" {
			t.Errorf("%s: %s without a reason", id, want)
		}
	}
	if d.Assessable.ChecksRun >= d.Assessable.ChecksTotal {
		t.Errorf("%d of %d checks ran", d.Assessable.ChecksRun, d.Assessable.ChecksTotal)
	}
}

func TestVoteOrder(t *testing.T) {
	// METHODS: 1.30, 1.30, 0.50 in cell order throws cell 1 out and gives 0.90.
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar").add(200, func(i int) string {
		return fmt.Sprintf("%d,20.0,1.30,1.30,0.50", i)
	}).analyze(t)
	f := one(t, d, "vote-order-dependent")
	if math.Abs(float64(f.Worst.Value)-0.90) > 1e-9 {
		t.Errorf("the vote in cell order gave %v, want 0.90", f.Worst.Value)
	}
}

func TestEveryKindIsWhole(t *testing.T) {
	for name, k := range kinds() {
		if k.title == "" || k.wouldChange == "" || len(k.alternatives) == 0 || k.advice.Diver == "" || k.advice.Technician == "" || k.advice.Instructor == "" {
			t.Errorf("kind %s lacks a part", name)
		}
	}
	seen := map[string]bool{}
	for _, c := range checks() {
		if seen[c.id] || c.title == "" || c.looks == "" || c.version < 1 {
			t.Errorf("check %q is not whole or stands twice", c.id)
		}
		seen[c.id] = true
	}
	seen = map[string]bool{}
	for _, def := range Definitions() {
		if seen[def.ID] || def.Name == "" || def.Text == "" {
			t.Errorf("definition %q is not whole or stands twice", def.ID)
		}
		seen[def.ID] = true
	}
}

// A vote may be undecided while one cell alone still reads: no spread, no panic.
func TestUndecidedOnALoneReading(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar").add(600, func(i int) string {
		if i < 300 {
			return fmt.Sprintf("%d,20,0.50,1.30,1.30", i)
		}
		return fmt.Sprintf("%d,20,0.50,,", i)
	}).analyze(t)
	f := one(t, d, "vote-undecided")
	if f.Worst.Value.Known() || f.FromS < 299 {
		t.Errorf("%+v", f)
	}
}
