package ageing

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"afterloop/analysis"
	"afterloop/ingest/register"
)

// measured makes a measurement every 12 days from 2026-01-05 on.
func measured(serial, quantity string, values ...float64) []register.Measurement {
	var ms []register.Measurement
	t := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	for i, v := range values {
		low, high := v*0.97, v*1.03
		ms = append(ms, register.Measurement{Serial: serial, Quantity: quantity, At: t.AddDate(0, 0, 12*i).Format(time.RFC3339), Value: v, Low: &low, High: &high, Kind: "debrief", File: fmt.Sprintf("%d.csv", i)})
	}
	return ms
}

func line(n int, from, step float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = from + step*float64(i) + 0.004*from*float64((i*7)%5-2)
	}
	return v
}

func judged(ms []register.Measurement, c register.Cell, asOf string) Cell {
	t, _ := time.Parse("2006-01-02", asOf)
	return Judge(register.Content{Cells: []register.Cell{c}, Measurements: ms}, t, DefaultParams()).Cells[0]
}

func outcomeOf(c Cell, id string) (analysis.Outcome, string) {
	for _, k := range c.Checks {
		if k.ID == id {
			return k.Outcome, k.Reason
		}
	}
	return "", ""
}

func TestOutcomes(t *testing.T) {
	cell := register.Cell{Serial: "K-1", Made: "2025-09-01", Fittings: []register.Fitting{{Unit: "Reiher 2", Position: 1, From: "2026-01-01"}}}
	for _, c := range []struct {
		name, id string
		values   []float64
		quantity string
		want     analysis.Outcome
		says     string
	}{
		{"steady", "mv_per_bar", line(12, 50, 0), "mv_per_bar", analysis.NotFound, "zero"},
		{"sinking slowly", "mv_per_bar", line(16, 50, -0.5), "mv_per_bar", analysis.NotFound, "will pass the limit about 202"},
		{"sinking, soon", "mv_per_bar", line(12, 50, -1.1), "mv_per_bar", analysis.Borderline, "will pass"},
		{"past", "mv_per_bar", line(12, 50, -1.7), "mv_per_bar", analysis.Found, "beyond"},
		{"few", "mv_per_bar", line(3, 50, 0), "mv_per_bar", analysis.NotAssessed, "too few"},
		{"slow", "t90_s", line(3, 22, 0), "t90_s", analysis.Found, "beyond"},
		{"about the limit", "t90_s", line(3, 15, 0), "t90_s", analysis.Borderline, "interval"},
		{"limited", "ceiling_bar", line(2, 1.3, 0), "ceiling_bar", analysis.Found, "below"},
		{"never measured", "gain", nil, "gain", analysis.NotAssessed, "not measured"},
	} {
		x := judged(measured("K-1", c.quantity, c.values...), cell, "2026-07-15")
		if got, reason := outcomeOf(x, c.id); got != c.want || !strings.Contains(reason, c.says) {
			t.Errorf("%s: %s, %q; want %s with %q", c.name, got, reason, c.want, c.says)
		}
	}
}

func TestAges(t *testing.T) {
	cell := register.Cell{Serial: "K-1", Made: "2025-01-01", Fittings: []register.Fitting{{Unit: "R", Position: 2, From: "2025-06-01", To: "2025-12-01"}, {Unit: "S", Position: 1, From: "2026-01-01"}}}
	x := judged(nil, cell, "2026-08-01")
	if o, r := outcomeOf(x, "age-in-use"); o != analysis.Found || !strings.HasPrefix(r, "14.0 months") {
		t.Errorf("in use: %s, %s", o, r)
	}
	if o, r := outcomeOf(x, "age-made"); o != analysis.Found || !strings.HasPrefix(r, "19.0 months") {
		t.Errorf("made: %s, %s", o, r)
	}
	if x.Unit != "S" || x.Position != 1 {
		t.Errorf("fitted in %s %d", x.Unit, x.Position)
	}
	if x := judged(nil, register.Cell{Serial: "K-2", Retired: "2026-02-01"}, "2026-08-01"); x.Outcome != analysis.NotAssessed || !strings.Contains(x.Summary, "retired") {
		t.Errorf("%+v", x)
	}
}

// TestBreak: a step in the sensitivity is said, and the trend begins after it.
func TestBreak(t *testing.T) {
	v := line(20, 50, -0.05)
	for i := 10; i < 20; i++ {
		v[i] -= 6
	}
	c := judged(measured("K-1", "mv_per_bar", v...), register.Cell{Serial: "K-1"}, "2026-09-15")
	if o, r := outcomeOf(c, "mv_per_bar"); o != analysis.Borderline || !strings.Contains(r, "left its own line about 2026-05-05") {
		t.Errorf("%s, %s", o, r)
	}
	q := c.Quantities[0]
	if len(q.Breaks) != 1 || q.Breaks[0].Day != "2026-05-05" || q.SinceDay != "2026-05-05" {
		t.Errorf("%+v", q.Breaks)
	}
}

func TestJSON(t *testing.T) {
	r := Judge(register.Content{Cells: []register.Cell{{Serial: "K-1"}}, Measurements: measured("K-1", "gain", 1, 1.01)}, time.Unix(1.8e9, 0), DefaultParams())
	b, err := json.Marshal(r)
	if err != nil || strings.Contains(string(b), "NaN") {
		t.Errorf("%v %s", err, b)
	}
	if r.Find(" k-1 ") == nil || r.Find("x") != nil {
		t.Error("finding by serial")
	}
}
