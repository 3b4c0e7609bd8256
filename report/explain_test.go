package report

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis"
)

// Every kind of finding and every chart opens to four texts and a small chart.
func TestEverythingIsExplained(t *testing.T) {
	names := []string{}
	for kind := range analysis.FindingKinds() {
		names = append(names, kind)
	}
	for _, c := range drawCharts(small.debrief()) {
		names = append(names, "chart-"+c.ID)
	}
	p := &page{Debrief: small.debrief()}
	for _, name := range names {
		e := p.Explain(name)
		if e == nil {
			t.Errorf("%s is not explained", name)
			continue
		}
		for _, text := range []string{e.Seen, e.Why, e.Healthy, e.Do, e.Solid, e.Dashed} {
			if text == "" || strings.HasPrefix(text, "explain.") {
				t.Errorf("%s: text %q", name, text)
			}
		}
		if !strings.Contains(string(e.Reference), "ref-healthy") {
			t.Errorf("%s has no reference chart", name)
		}
	}
}

// The loop of the references obeys the balance that the methods state: what the
// openings bring is what the diver uses, and with oxygen stopped PO2 falls by
// (1 - F_dil) VO2 / V: 0.82 bar L/min over 6 L is 0.137 bar in a minute.
func TestReferenceLoop(t *testing.T) {
	held := heldBar(30)
	if a, b := held(3), held(3+30*9); math.Abs(a-b) > 1e-9 {
		t.Errorf("the held PO2 drifts from %v to %v", a, b)
	}
	if got := held(10) - held(25); math.Abs(got-15*usePerS*30/26) > 1e-9 {
		t.Errorf("fell %v in 15 s", got)
	}
	if got := 60 * usePerS; math.Abs(got-0.82/6) > 1e-9 {
		t.Errorf("use is %v bar a minute", got)
	}
}

// A first-order cell covers 90 % of a step in its T90.
func TestReferenceCell(t *testing.T) {
	read := lagged(stepped(0, 1, 10), 6)
	if got := read(16); math.Abs(got-0.9) > 0.02 {
		t.Errorf("after T90 the cell reads %v", got)
	}
}

func TestReferencesAreFinite(t *testing.T) {
	for name, r := range references() {
		if s := string(r.svg("x")); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("%s: %s", name, s)
		}
	}
}
