package compare

import (
	"bytes"
	"encoding/json"
	"testing"

	"afterloop/analysis"
)

// TestVersions: two debriefs of one log differ in what was changed, and in no more.
func TestVersions(t *testing.T) {
	old := debrief(t, "log.csv", demo(1, nil))
	old.Tool.Version = "1.0"
	raw, err := json.Marshal(old)
	if err != nil {
		t.Fatal(err)
	}
	read := func() *analysis.Debrief {
		d, _, err := ReadDebrief(bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	now := read()
	now.Tool.Version = "1.1"
	now.Parameters.Vote.OutBar = 0.25
	now.Exposure.Headline.CNSPercent += 1
	now.Cells[0].Gain.Value *= 1 + 1e-9 // rounding
	now.Tracking.MAEBar = unknown
	now.Checks[0].Version = 2
	now.Checks = append(now.Checks[:3:3], now.Checks[4:]...)
	now.Checks = append(now.Checks, analysis.Check{ID: "fresh", Title: "Fresh", Version: 1, Outcome: analysis.NotFound})
	gone := now.Findings[0]
	now.Findings = now.Findings[1:]
	now.Findings[0].Worst.Value += 0.1

	of := func(d *analysis.Debrief, json bool) *Subject { return Take(d, Source{FromJSON: json, Keep: true}) }
	for _, order := range []bool{true, false} {
		ss := []*Subject{of(read(), true), of(now, true)}
		o := Options{Reference: 0}
		if !order {
			ss[0], ss[1], o.Reference = ss[1], ss[0], 1
		}
		c, err := Compare(ss, o)
		if err != nil {
			t.Fatal(err)
		}
		v := c.Versions
		if c.Mode != ModeVersions || v.Old != "1.0" || v.New != "1.1" {
			t.Fatalf("%s %+v", c.Mode, v)
		}
		if len(v.Parameters) != 1 || v.Parameters[0] != (ValueChange{"vote.out_bar", "0.2", "0.25"}) {
			t.Errorf("parameters: %+v", v.Parameters)
		}
		paths := map[string]ValueChange{}
		for _, f := range v.Figures {
			paths[f.Path] = f
		}
		if len(paths) != 2 || paths["tracking.mae_bar"].New != "not known" || paths["exposure.headline.cns_percent"].Old == "" {
			t.Errorf("figures: %+v", v.Figures)
		}
		if len(v.Checks) != 3 || v.Checks[0].NewVersion != 2 || v.Checks[1].OldVersion != 0 || v.Checks[2].NewVersion != 0 {
			t.Errorf("checks: %+v", v.Checks)
		}
		a := c.Findings.Against[0]
		if len(a.Gone) != 1 || a.Gone[0].Kind != gone.Kind || len(a.Changed) != 1 || len(a.New) != 0 {
			t.Errorf("gone %v, changed %v, new %v", kinds(a.Gone), kinds(a.Changed), kinds(a.New))
		}
	}
	if _, err := Compare([]*Subject{of(read(), true), of(read(), true)}, Options{}); err == nil {
		t.Error("one debrief twice is compared")
	}
	same := read()
	same.Parameters.Vote.OutBar = 0.3
	if c, err := Compare([]*Subject{of(read(), true), of(same, true)}, Options{}); err != nil || len(c.Remarks) == 0 {
		t.Errorf("the same version with other parameters: %v", err)
	}
	if _, err := Compare([]*Subject{of(read(), true), of(now, true), of(debrief(t, "x.csv", demo(2, nil)), false)}, Options{}); err == nil {
		t.Error("one log twice among three is compared")
	}
}
