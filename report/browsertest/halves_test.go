package browsertest

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report"
)

// doubledPage is the page of the demonstration of doubled electronics.
func doubledPage(t *testing.T) string {
	t.Helper()
	var dives [2]*ingest.Dive
	for k, f := range []string{"../../testdata/ombrel-half-a.csv", "../../testdata/ombrel-half-b.csv"} {
		d, err := ingest.ReadFile(f, ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		dives[k] = d
	}
	j, err := analysis.JoinHalves(dives[0], dives[1], analysis.DefaultParameters())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.WriteHTML(&b, analysis.AnalyzeDoubled(j, analysis.DefaultParameters()), report.Options{}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "doubled.html")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// The section on the halves has its chart, on the same axis as the others, in
// every look, and axe-core finds no violation.
func TestHalves(t *testing.T) {
	file := doubledPage(t)
	for _, name := range []string{"light", "dark", "phone", "forced colours"} {
		t.Run(name, func(t *testing.T) {
			b := open(t, looks[name], file)
			b.settle()
			if n := b.number(`document.querySelectorAll('#halves .plot canvas').length`); n != 1 {
				t.Errorf("%v charts of the halves", n)
			}
			if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("the page is %v px wider than the window", over)
			}
			var axes [][]any
			b.eval(axisOf, &axes)
			for _, a := range axes {
				if a[0] == "halves" && (a[1] != axes[0][1] || a[2] != axes[0][2]) {
					t.Errorf("%v; the first is %v", a, axes[0])
				}
			}
			b.eval(`document.querySelectorAll('details').forEach(d => { d.open = true; })`, nil)
			b.settle()
			violations(b)
			b.quiet()
		})
	}
}
