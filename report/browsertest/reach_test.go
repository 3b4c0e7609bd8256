package browsertest

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"os"
	"strings"
	"testing"

	"afterloop/report"
)

//go:embed axe/axe.min.js
var axe string

// The carried axe-core is the published one.
func TestAxeChecksum(t *testing.T) {
	version, err := os.ReadFile("axe/VERSION")
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256([]byte(axe))
	if !strings.Contains(string(version), hex.EncodeToString(sum[:])) {
		t.Error("axe.min.js is not the one that VERSION names")
	}
}

var looks = map[string]look{
	"light":          desktop,
	"dark":           {width: 1280, height: 900, media: map[string]string{"prefers-color-scheme": "dark"}},
	"phone":          {width: 390, height: 844},
	"phone dark":     {width: 390, height: 844, media: map[string]string{"prefers-color-scheme": "dark"}},
	"forced colours": {width: 1280, height: 900, media: map[string]string{"forced-colors": "active"}},
	"high contrast":  {width: 1280, height: 900, media: map[string]string{"prefers-contrast": "more"}},
	"calm":           {width: 1280, height: 900, media: map[string]string{"prefers-reduced-motion": "reduce"}},
}

// In every look the charts are drawn, nothing sticks out, and axe-core, contrast
// included, finds no violation; with everything unfolded too.
func TestReach(t *testing.T) {
	file := hour.page(t)
	for name, l := range looks {
		t.Run(name, func(t *testing.T) {
			b := open(t, l, file)
			b.settle()
			if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("the page is %v px wider than the window", over)
			}
			violations(b)
			b.eval(`document.querySelectorAll('details').forEach(d => { d.open = true; })`, nil)
			b.settle()
			violations(b)
			b.quiet()
		})
	}
}

func TestIndexReach(t *testing.T) {
	path := t.TempDir() + "/index.html"
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := report.WriteIndex(f, []report.IndexEntry{{File: "a.csv", Err: "a.csv can't be read"}}, report.Options{}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	b := blank(t, desktop)
	b.run(navigate(path))
	violations(b)
	b.quiet()
}

// violations runs axe-core with all its rules.
func violations(b *tab) {
	b.t.Helper()
	b.eval(axe+"; 0", nil)
	b.eval(`window.__axe = null; axe.run(document, { resultTypes: ['violations'] }).then(r => {
	  window.__axe = r.violations.map(v => v.id + ': ' + v.nodes.length + ' x, ' + v.nodes.slice(0, 3).map(n => n.target.join(' ') + ' ' + (n.any[0] || n.all[0] || n.none[0] || {}).message).join(' | '));
	}); 0`, nil)
	b.wait(`window.__axe !== null`)
	var found []string
	b.eval(`window.__axe`, &found)
	for _, v := range found {
		b.t.Errorf("axe: %s", v)
	}
}
