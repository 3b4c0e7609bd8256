package report

import (
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report/internal/reporttest"
)

// The demo logs make whole reports: nothing loaded, all links lead somewhere, every
// chart has its place, JSON as the schema says, no control character.
func TestDemos(t *testing.T) {
	files, err := filepath.Glob("../testdata/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	follows, n := follows(t), 0
	for _, f := range files {
		if strings.HasSuffix(f, ".truth.csv") || strings.HasPrefix(filepath.Base(f), "bench-") {
			continue
		}
		dive, err := ingest.ReadFile(f, ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		n++
		d := analysis.Analyze(dive, analysis.DefaultParameters())
		html := render(t, d)
		p := reporttest.Parse(t, html)
		p.Offline(t)
		p.LinksLead(t)
		for _, c := range drawCharts(d) { // one that no template asks for would be carried and never seen
			if !strings.Contains(string(html), `id="figure-`+c.ID+`"`) {
				t.Errorf("%s: the chart %s has no place in the page", f, c.ID)
			}
		}
		if err := follows(d); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
	if n == 0 {
		t.Error("no demo log was read")
	}
}
