package analysis

import (
	"fmt"
	"strings"
	"testing"
)

// TestOneCellHasNoOthers: what compares a cell with others is not known where there are none.
func TestOneCellHasNoOthers(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar").add(600, func(i int) string {
		return fmt.Sprintf("%d,20,%.2f", i, 1+0.2*float64(i/60%2))
	}).analyze(t)
	if c := d.Cells[0]; c.Gain.Value.Known() || c.Gain.Reason == "" || c.MeanFromMedianBar.Known() || c.MaxFromMedian.Value.Known() {
		t.Errorf("gain %+v, from the median %v at most %v", c.Gain, c.MeanFromMedianBar, c.MaxFromMedian)
	}
}

// TestWithoutDepthNothingIsUnderWater: it is not known, which is not 0 s and no surface.
func TestWithoutDepthNothingIsUnderWater(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar").add(120, func(i int) string { return fmt.Sprintf("%d,,1.0,1.0", i) }).analyze(t)
	if d.Dive.SubmergedS.Known() || len(d.Dive.Phases) > 0 {
		t.Errorf("under water for %v, phases %v", d.Dive.SubmergedS, d.Dive.Phases)
	}
}

// TestHighOxygenSaysBothMarks: an event that begins above 1.4 and later passes 1.6 is not
// said to have been above 1.6 from its beginning.
func TestHighOxygenSaysBothMarks(t *testing.T) {
	rise := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar").add(1200, func(i int) string {
		p := 1.3
		if i >= 300 {
			p = 1.5
		}
		if i >= 600 && i < 900 {
			p = 1.7
		}
		return fmt.Sprintf("%d,30,%.2f,%.2f,%.2f,%.2f", i, p, p, p, p)
	}).analyze(t)
	f := one(t, rise, "high-oxygen")
	if f.Severity != Warning || !strings.Contains(f.Observed, "above 1.40 bar for 15 min from") || !strings.Contains(f.Observed, "of that above 1.60 bar for 5 min") {
		t.Errorf("%s: %s", f.Severity, f.Observed)
	}
}

func TestMinusInSentences(t *testing.T) {
	for in, want := range map[string]string{
		"off by -0.43 bar": "off by −0.43 bar", "(-1.5 to +0.2)": "(−1.5 to +0.2)", "-0.1 bar": "−0.1 bar",
		"from -0:01:01 on": "from -0:01:01 on", "mid-value": "mid-value", "0.9-1.1": "0.9-1.1",
	} {
		if got := printMinus(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

func TestPartReasons(t *testing.T) {
	var r partReasons
	for n, why := range []string{"for all", "too slow", "too short", "too slow"} {
		r.add(n, why)
	}
	if got, want := r.text("cell", "cells"), "for all; cells 1 and 3: too slow; cell 2: too short"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
