package report

import (
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report/internal/reporttest"
)

// The demo logs make whole reports: nothing loaded, all links lead somewhere,
// JSON as the schema says, no control character.
func TestDemos(t *testing.T) {
	files, err := filepath.Glob("../testdata/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	follows, n := follows(t), 0
	for _, f := range files {
		if strings.HasSuffix(f, ".truth.csv") {
			continue
		}
		dive, err := ingest.ReadFile(f, ingest.Options{})
		if err != nil {
			continue // not a loop log
		}
		n++
		d := analysis.Analyze(dive, analysis.DefaultParameters())
		p := reporttest.Parse(t, render(t, d))
		p.Offline(t)
		p.LinksLead(t)
		if err := follows(d); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
	if n == 0 {
		t.Error("no demo log was read")
	}
}
