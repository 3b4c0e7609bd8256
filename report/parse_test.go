package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"afterloop/analysis"
)

// parsed is a page taken apart by a parser that knows nothing of templates.
type parsed struct {
	root     *html.Node
	skeleton []string // elements with the names of their attributes, in order
	text     string   // what a reader sees, outside scripts and styles
	scripts  []string
	styles   []string
	attrs    map[string][]string // values by attribute name
	ids      map[string]int
}

func parse(t testing.TB, b []byte) *parsed {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	p := &parsed{root: root, attrs: map[string][]string{}, ids: map[string]int{}}
	var text strings.Builder
	for n := range root.Descendants() {
		switch n.Type {
		case html.ElementNode:
			p.element(n)
		case html.TextNode:
			if n.Parent.Data != "script" && n.Parent.Data != "style" {
				text.WriteString(n.Data)
			}
		}
	}
	p.text = strings.Join(strings.Fields(text.String()), " ")
	return p
}

func (p *parsed) element(n *html.Node) {
	s := n.Data
	for _, a := range n.Attr {
		s += " " + a.Key
		p.attrs[a.Key] = append(p.attrs[a.Key], a.Val)
		if a.Key == "id" {
			p.ids[a.Val]++
		}
	}
	p.skeleton = append(p.skeleton, s)
	if n.FirstChild != nil && n.Data == "script" {
		p.scripts = append(p.scripts, n.FirstChild.Data)
	}
	if n.FirstChild != nil && n.Data == "style" {
		p.styles = append(p.styles, n.FirstChild.Data)
	}
}

func render(t testing.TB, d *analysis.Debrief) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// checkOffline asserts that the page loads nothing and forbids loading.
func checkOffline(t testing.TB, p *parsed) {
	t.Helper()
	for _, name := range []string{"src", "srcset", "data", "action", "formaction", "poster", "background", "style"} {
		if v := p.attrs[name]; len(v) > 0 {
			t.Errorf("the page has %s=%q", name, v[0])
		}
	}
	for _, v := range p.attrs["href"] {
		if strings.Contains(v, ":") || strings.HasPrefix(v, "//") {
			t.Errorf("the page links to %q", v)
		}
	}
	for _, s := range p.styles {
		if strings.Contains(s, "url(") || strings.Contains(s, "@import") {
			t.Error("a style sheet loads something")
		}
	}
	for _, s := range p.skeleton {
		for _, bad := range []string{"link", "iframe", "object", "embed", "img", "base", "form", "audio", "video"} {
			if s == bad || strings.HasPrefix(s, bad+" ") {
				t.Errorf("the page has an element %s", s)
			}
		}
	}
	policy := strings.Join(p.attrs["content"], " ")
	if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "http") {
		t.Errorf("policy: %s", policy)
	}
	for _, s := range p.styles {
		if !strings.Contains(policy, digestOf(s)) {
			t.Error("the policy does not know a style sheet")
		}
	}
}

func digestOf(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
