package score

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
	"afterloop/internal/golden"
)

// invented is a result of eight dives that nobody simulated: every row of every
// table has something to show, and no change of the diagnosis changes it.
func invented() Result {
	wrong := matched([]Fault{fault("slow-cell", 1)}, finding("miscalibrated-cell", 1, 900, 2000, "sure"))
	lost := matched([]Fault{fault("dead-valve", 2)}, finding("slow-cell", 3, 900, 2000, "likely"))
	late := matched([]Fault{fault("slow-cell", 2), fault("current-limited-cell", 3)}, finding("slow-cell", 2, 1030, 2000, "sure"), finding("current-limited-cell", 3, 990, 2000, "likely"))
	late.Faults[0].T90Error, late.Faults[1].CeilingErrorBar, late.Faults[0].Trivial = 0.031, 0.004, true
	open := Log{Undecidable: []int{1, 2}, CellsDisagree: true}
	leak := matched([]Fault{fault("leaking-valve", 0)})
	leak.Faults[0].NotAssessed = true
	healthy := matched(nil, note(finding("slow-cell", 1, 0, 3000, "possible")))
	crying := matched(nil, finding("frozen-cell", 1, 0, 3000, "possible"))
	logs := []Log{late, wrong, lost, open, leak, healthy, crying, {Failed: "panic: an invented one", Faults: []Fault{fault("erratic-cell", 1)}}}
	for i := range logs {
		l := &logs[i]
		*l = l.withSlices()
		l.Family, l.Seed, l.Scenario, l.Profile, l.Cells, l.SampleS = "invented", uint64(i+1), []string{"a", "b"}[i%2], "mid", 3, 1
		if l.Failed != "" {
			*l = failedLog(*l, errorText(l.Failed))
			continue
		}
		l.Healthy, l.AssessableHours = len(l.Faults)+len(l.Undecidable) == 0, 0.8
		l.Estimate = Accuracy{Rows: 100, VoteRMS: 0.02, RMS: Float(0.004 * float64(i+1)), ScaledRMS: 0.003, Scale: 1.01, Inside: 100 - 5*i, WidthBar: 0.05}
		l.Checks = []Outcome{{"slow-cell", analysis.Found, 1}, {"leaking-valve", analysis.NotAssessed, 0}}
		l.Simple = []SimpleRule{l.scoreAlarms(ownName, l.ownAlarms(), false)}
	}
	return Result{Schema: SchemaID, Note: calibration.Note, Tool: analysis.Tool{Name: "afterloop", Version: "0.0.0"}, Checks: faultChecks(), Families: []Family{summarize("invented", logs)}, Logs: logs}
}

type errorText string

func (e errorText) Error() string { return string(e) }

func TestTextAndMarkdown(t *testing.T) {
	r := invented()
	var text, page bytes.Buffer
	if err := r.WriteText(&text, true); err != nil {
		t.Fatal(err)
	}
	if err := r.WriteMarkdown(&page); err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/invented.txt", text.Bytes())
	golden.Hold(t, "testdata/invented.md", page.Bytes())
	for _, out := range []string{text.String(), page.String()} {
		if strings.Count(out, calibration.Note) < 2 { // at the top and beside each family
			t.Errorf("%q stands there too seldom", calibration.Note)
		}
		for _, bad := range []string{"NaN", "Inf", "%!"} {
			if strings.Contains(out, bad) {
				t.Errorf("%q in the tables", bad)
			}
		}
	}
}

// JSON has no null where a list belongs, and no number where nothing is known.
func TestJSON(t *testing.T) {
	var b bytes.Buffer
	if err := invented().WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/invented.json", b.Bytes())
	var back Result
	d := json.NewDecoder(&b)
	d.DisallowUnknownFields()
	if err := d.Decode(&back); err != nil {
		t.Fatal(err)
	}
	if back.Note != calibration.Note || len(back.Logs) != 8 || back.Families[0].Failed != 1 {
		t.Errorf("note %q, %d dives, %d failed", back.Note, len(back.Logs), back.Families[0].Failed)
	}
}

// The headline carries the figures of the result.
func TestTable(t *testing.T) {
	r := invented()
	var b bytes.Buffer
	if err := r.WriteTable(&b, calibration.Development); err != nil {
		t.Fatal(err)
	}
	table, err := calibration.Parse(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	f, all := table.Families[0], r.Families[0].All
	if f.Faults != all.Faults || f.RightKind.Right != all.RightKind.Right || f.SureAndWrong != 1 || f.MisIsolated != 1 || f.Failed != 1 || f.FirstSeed != 1 {
		t.Errorf("%+v", f)
	}
	if err := r.WriteTable(&b, "best"); err == nil {
		t.Error("a set that there is not was accepted")
	}
}
