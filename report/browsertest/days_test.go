package browsertest

import (
	"os"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/ingest"
	pages "afterloop/report/days"
)

// In every look the page of a series of dives is no wider than its window, and
// axe-core finds no violation.
func TestDaysReach(t *testing.T) {
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true
	var logs []days.Log
	for _, name := range []string{"ombrel-night", "ombrel-morning", "varr-evening"} {
		d, err := ingest.ReadFile("../../testdata/days/"+name+".csv", ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		logs = append(logs, days.Log{Debrief: analysis.Analyze(d, p)})
	}
	params := days.DefaultParams()
	params.ESOT = true
	r, err := days.Compose(logs, []days.LeftOut{{File: "lost.csv", Kind: "unreadable", Reason: "it could not be read"}}, params)
	if err != nil {
		t.Fatal(err)
	}
	path := t.TempDir() + "/days.html"
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := pages.WritePage(f, r); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	for name, l := range looks {
		t.Run(name, func(t *testing.T) {
			b := blank(t, l)
			b.run(navigate(path))
			if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("the page is %v px wider than the window", over)
			}
			violations(b)
			b.quiet()
		})
	}
}
