package report

import (
	"io"
	"testing"

	"afterloop/analysis"
	"afterloop/report/internal/reporttest"
)

func TestSchemaGolden(t *testing.T) { reporttest.Schema(t, document, "..", "debrief") }

// follows returns a check whether a debrief's JSON holds to the schema.
func follows(t *testing.T) func(*analysis.Debrief) error {
	t.Helper()
	check := reporttest.Follows(t, Schema)
	return func(d *analysis.Debrief) error {
		return check(reporttest.Bytes(t, func(w io.Writer) error { return WriteJSON(w, d, Options{}) }))
	}
}

func TestJSONFollowsSchema(t *testing.T) {
	follows := follows(t)
	if err := follows(small.debrief()); err != nil {
		t.Errorf("the rich fixture: %v", err)
	}
	d := small.debrief()
	d.Tracking, d.Injection, d.Estimate = nil, nil, nil
	if err := follows(d); err != nil {
		t.Errorf("null parts: %v", err)
	}
	for name, spoil := range map[string]func(*analysis.Debrief){
		"a nil slice":         func(d *analysis.Debrief) { d.Findings = nil },
		"an unknown severity": func(d *analysis.Debrief) { d.Findings[0].Severity = "grave" },
		"an unknown outcome":  func(d *analysis.Debrief) { d.Checks[0].Outcome = "passed" },
		"another schema":      func(d *analysis.Debrief) { d.Schema = "afterloop/debrief/0" },
	} {
		d := small.debrief()
		spoil(d)
		if follows(d) == nil {
			t.Errorf("the schema lets %s pass", name)
		}
	}
}
