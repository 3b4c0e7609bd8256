package browsertest

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/ingest"
	pages "afterloop/report/whatif"
)

// whatifPage writes the page of a demo that is run again.
func whatifPage(t *testing.T, ch whatif.Changes) string {
	t.Helper()
	d, err := ingest.ReadFile("../../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := whatif.Run(d, analysis.DefaultParameters(), whatif.DefaultParams(), ch)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := pages.WritePage(&b, r); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "whatif.html")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestWhatIfReach: in every look nothing sticks out and axe-core finds no violation, for a
// page with a simulation and for one of the replay alone.
func TestWhatIfReach(t *testing.T) {
	for kind, ch := range map[string]whatif.Changes{
		"both": {Policy: "mid-value", NoOxygen: &whatif.Moment{Given: "0:30:00", S: 1800, SinceFirst: true}},
		"open": {Kind: whatif.Open, Policy: "mean"},
	} {
		file := whatifPage(t, ch)
		for name, l := range looks {
			t.Run(kind+"/"+name, func(t *testing.T) {
				b := blank(t, l)
				b.run(navigate(file))
				if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
					t.Errorf("the page is %v px wider than the window", over)
				}
				violations(b)
				b.quiet()
			})
		}
	}
}

// TestWhatIfMarkStays: the mark of a simulation stays in sight wherever the page is scrolled to.
func TestWhatIfMarkStays(t *testing.T) {
	b := blank(t, desktop)
	b.run(navigate(whatifPage(t, whatif.Changes{Controller: whatif.OnOff})))
	for _, share := range []float64{0, 0.3, 0.7, 0.98} {
		b.eval(fmt.Sprintf(`window.scrollTo(0, %g * document.documentElement.scrollHeight); 0`, share), nil)
		b.settle()
		if top := b.number(`document.querySelector('.running').getBoundingClientRect().bottom`); top < 0 || top > 200 {
			t.Errorf("at %g of the page the mark is %v px down", share, top)
		}
	}
}
