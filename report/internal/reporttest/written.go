package reporttest

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Hostile is a text as it may stand in a log: a formula, markup that would run and
// load, and controls of a terminal and of the direction of writing.
const Hostile = `=1+1"'><script>alert(1)</script><img src=http://example.invalid/x onerror=alert(2)>` + "\x1b[31m\u202e"

// slips are what is printed where a value or a template was forgotten.
var slips = []string{"NaN", "ZgotmplZ", "%!", "&lt;nil"}

// Bare asserts that a page which needs no script has none, loads nothing, has its
// headings in order and a scope in each head of a table, says what every page says,
// and prints no slip. It returns the page taken apart.
func Bare(t testing.TB, name string, page []byte) *Page {
	t.Helper()
	p := Framed(t, name, page)
	if n := p.Count("script"); n > 0 {
		t.Errorf("%s: %d scripts", name, n)
	}
	return p
}

// Framed is [Bare] for a page that may have scripts, and elements beside those that
// every page may have.
func Framed(t testing.TB, name string, page []byte, also ...string) *Page {
	t.Helper()
	before := t.Failed()
	p := Parse(t, page)
	p.Offline(t, also...)
	p.outline(t)
	for _, want := range []string{"clears no equipment for use", "call emergency medical services"} {
		if !strings.Contains(p.Text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	shown := string(page)
	for _, script := range p.Scripts {
		shown = strings.Replace(shown, script, "", 1)
	}
	for _, slip := range slips {
		if strings.Contains(shown, slip) {
			t.Errorf("the page prints %q", slip)
		}
	}
	if t.Failed() && !before {
		t.Logf("the above is of %s", name)
	}
	return p
}

// outline asserts that no level of heading is left out and heads have a scope.
func (p *Page) outline(t testing.TB) {
	t.Helper()
	level := 0
	for n := range p.Root.Descendants() {
		switch {
		case n.Type != html.ElementNode:
		case n.Data == "th" && attr(n, "scope") == "":
			t.Error("a head of a table has no scope")
		case len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6':
			now := int(n.Data[1] - '0')
			if now > level+1 {
				t.Errorf("heading %s after h%d", n.Data, level)
			}
			level = now
		}
	}
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// Terminal asserts that a text for the terminal carries no control characters and
// no slip.
func Terminal(t testing.TB, name string, text []byte) {
	t.Helper()
	if bytes.ContainsAny(text, "\x1b\u202e") {
		t.Errorf("%s: control characters reach the terminal", name)
	}
	for _, slip := range slips {
		if bytes.Contains(text, []byte(slip)) {
			t.Errorf("%s prints %q", name, slip)
		}
	}
}

// Table reads a CSV and asserts that no field of it is a formula.
func Table(t testing.TB, name string, b []byte) [][]string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(b)).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, r := range rows {
		for _, f := range r {
			if strings.HasPrefix(f, "=") {
				t.Errorf("%s: a formula: %.40q", name, f)
			}
		}
	}
	return rows
}
