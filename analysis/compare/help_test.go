package compare

import (
	"bytes"
	"encoding/json"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

// demo is the k-th dive of the invented course, spoiled as a test needs it.
func demo(k int, spoil func(*scenario.Spec)) scenario.Spec {
	s := scenario.CourseDemos()[k].Spec
	if spoil != nil {
		spoil(&s)
	}
	return s
}

// debrief runs a scenario and debriefs its log.
func debrief(t testing.TB, name string, s scenario.Spec) *analysis.Debrief {
	t.Helper()
	log, _, err := scenario.Run(s)
	if err != nil {
		t.Fatal(err)
	}
	var csv bytes.Buffer
	if err := log.WriteCSV(&csv); err != nil {
		t.Fatal(err)
	}
	return debriefCSV(t, name, csv.Bytes())
}

func debriefCSV(t testing.TB, name string, csv []byte) *analysis.Debrief {
	t.Helper()
	d, err := ingest.Read(bytes.NewReader(csv), name, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := analysis.Analyze(d, analysis.DefaultParameters())
	out.Tool.Version = "test"
	return out
}

func take(t testing.TB, name string, s scenario.Spec) *Subject {
	return Take(debrief(t, name, s), Source{})
}

func figure(t *testing.T, c *Comparison, id, part string) Figure {
	t.Helper()
	for _, f := range c.Figures {
		if f.ID == id && f.Part == part {
			return f
		}
	}
	t.Fatalf("no figure %s of %q", id, part)
	return Figure{}
}

func text(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
