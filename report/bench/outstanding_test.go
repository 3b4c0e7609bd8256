package bench

import (
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/ageing"
)

// TestOutstanding: a cell with a limit passed or near, a retired one and one never measured
// are to be looked at; the rest is named.
func TestOutstanding(t *testing.T) {
	cell := func(serial string, o analysis.Outcome, measurements int, retired string) ageing.Cell {
		c := ageing.Cell{Outcome: o, Measurements: measurements}
		c.Serial, c.Retired = serial, retired
		return c
	}
	standing, rest := outstanding([]ageing.Cell{cell("A", analysis.NotFound, 3, ""), cell("B", analysis.Found, 3, ""), cell("C", analysis.NotAssessed, 3, ""),
		cell("D", analysis.Borderline, 3, ""), cell("E", analysis.NotAssessed, 0, ""), cell("F", analysis.NotFound, 3, "2026-01-01")})
	got := ""
	for _, c := range standing {
		got += c.Serial
	}
	if got != "BDEF" || rest != "A and C" {
		t.Errorf("to be looked at %s, the rest %q", got, rest)
	}
}
