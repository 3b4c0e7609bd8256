// Package reporttest answers whether what a report package wrote may leave the
// house: that a page loads and runs nothing, that no text of a log becomes markup,
// a formula or a control character, that a document holds to its schema, and that
// a schema has the words of the sources. Every package that writes pages asks it,
// so that each page is held to the same rules. Only tests import it; it knows no
// page and imports none of ours but the golden files.
package reporttest

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"io"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Bytes is what a writer of pages, tables or texts wrote.
func Bytes(t testing.TB, write func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Page is a page taken apart by a parser that knows nothing of templates.
type Page struct {
	Root     *html.Node
	Skeleton []string // elements with the names of their attributes, in order
	Text     string   // what a reader sees, outside scripts and styles
	Scripts  []string
	Styles   []string
	Attrs    map[string][]string // values by attribute name
	IDs      map[string]int
}

// Parse takes a page apart.
func Parse(t testing.TB, b []byte) *Page {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	p := &Page{Root: root, Attrs: map[string][]string{}, IDs: map[string]int{}}
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
	p.Text = strings.Join(strings.Fields(text.String()), " ")
	return p
}

func (p *Page) element(n *html.Node) {
	s := n.Data
	for _, a := range n.Attr {
		s += " " + a.Key
		p.Attrs[a.Key] = append(p.Attrs[a.Key], a.Val)
		if a.Key == "id" {
			p.IDs[a.Val]++
		}
	}
	p.Skeleton = append(p.Skeleton, s)
	if n.FirstChild != nil && n.Data == "script" {
		p.Scripts = append(p.Scripts, n.FirstChild.Data)
	}
	if n.FirstChild != nil && n.Data == "style" {
		p.Styles = append(p.Styles, n.FirstChild.Data)
	}
}

// Count is how many elements of a name there are.
func (p *Page) Count(element string) int {
	n := 0
	for _, s := range p.Skeleton {
		if s == element || strings.HasPrefix(s, element+" ") {
			n++
		}
	}
	return n
}

// Offline asserts that the page loads nothing and forbids loading. A page may have
// the elements in also, though others have no use for them.
func (p *Page) Offline(t testing.TB, also ...string) {
	t.Helper()
	for _, name := range []string{"src", "srcset", "data", "action", "formaction", "poster", "background", "style"} {
		if v := p.Attrs[name]; len(v) > 0 {
			t.Errorf("the page has %s=%q", name, v[0])
		}
	}
	for name, v := range p.Attrs {
		if strings.HasPrefix(name, "on") {
			t.Errorf("the page has %s=%q", name, v[0])
		}
	}
	for _, v := range p.Attrs["href"] {
		if strings.Contains(v, ":") || strings.HasPrefix(v, "//") {
			t.Errorf("the page links to %q", v)
		}
	}
	p.loadsNothing(t, also)
	p.policy(t)
}

func (p *Page) loadsNothing(t testing.TB, also []string) {
	t.Helper()
	for _, bad := range []string{"link", "iframe", "object", "embed", "img", "base", "form", "audio", "video"} {
		if p.Count(bad) > 0 && !slices.Contains(also, bad) {
			t.Errorf("the page has an element %s", bad)
		}
	}
	for _, s := range p.Styles {
		if strings.Contains(s, "url(") || strings.Contains(s, "@import") {
			t.Error("a style sheet loads something")
		}
	}
}

// policy asserts that the page's policy forbids everything but its own styles.
func (p *Page) policy(t testing.TB) {
	t.Helper()
	policy := strings.Join(p.Attrs["content"], " ")
	if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "http") {
		t.Errorf("policy: %s", policy)
	}
	for _, s := range p.Styles {
		if !strings.Contains(policy, Digest(s)) {
			t.Error("the policy does not know a style sheet")
		}
	}
}

// Digest is how a policy names a script or a style sheet.
func Digest(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// LinksLead asserts that every link leads to one place in the page.
func (p *Page) LinksLead(t testing.TB) {
	t.Helper()
	for _, h := range p.Attrs["href"] {
		if n := p.IDs[strings.TrimPrefix(h, "#")]; n != 1 {
			t.Errorf("link %s has %d targets", h, n)
		}
	}
}
