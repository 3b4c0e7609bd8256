package report

import (
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
)

// The demo logs make whole reports: nothing loaded, all links lead somewhere,
// JSON as the schema says, no control character.
func TestDemos(t *testing.T) {
	files, err := filepath.Glob("../testdata/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	schema, n := compiledSchema(t), 0
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
		p := parse(t, render(t, d))
		checkOffline(t, p)
		for _, h := range p.attrs["href"] {
			if p.ids[strings.TrimPrefix(h, "#")] != 1 {
				t.Errorf("%s: link %s has %d targets", f, h, p.ids[strings.TrimPrefix(h, "#")])
			}
		}
		if err := validate(t, schema, d); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
	if n == 0 {
		t.Error("no demo log was read")
	}
}
