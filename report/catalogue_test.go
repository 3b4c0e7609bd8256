package report

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// sources are all files that speak: Go, templates, the page's script.
func sources(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	for _, pattern := range []string{"*.go", "assets/*.html", "assets/js/*.js"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatal(pattern, err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			b.Write(text)
		}
	}
	return b.String()
}

// Every key that is spoken stands in the catalogue.
func TestKeysExist(t *testing.T) {
	n := 0
	for _, m := range regexp.MustCompile(`(?:\bt|say\() ?"([a-z0-9.-]+)"`).FindAllStringSubmatch(sources(t), -1) {
		n++
		if _, ok := catalogue()[m[1]]; !ok && !strings.HasSuffix(m[1], ".") {
			t.Errorf("%s is not in the catalogue", m[1])
		}
	}
	for _, m := range regexp.MustCompile(`say\('([a-z0-9.-]+)'`).FindAllStringSubmatch(sources(t), -1) {
		n++
		if _, ok := catalogue()["page."+m[1]]; !ok && !strings.HasSuffix(m[1], ".") {
			t.Errorf("page.%s is not in the catalogue", m[1])
		}
	}
	if n < 300 {
		t.Errorf("only %d keys were found", n)
	}
}

// Every text of the catalogue is used somewhere.
func TestKeysAreUsed(t *testing.T) {
	all := sources(t)
	for key := range catalogue() {
		name := strings.TrimPrefix(key, "page.")
		if strings.HasPrefix(key, "explain.") || strings.HasPrefix(key, "outcome.") {
			continue // put together from a kind's name: see TestEverythingIsExplained
		}
		last := name[strings.LastIndex(name, ".")+1:]
		if !strings.Contains(all, `"`+name+`"`) && !strings.Contains(all, `'`+name+`'`) && !strings.Contains(all, `'`+last+`'`) {
			t.Errorf("%s is never used", key)
		}
	}
}

func TestSay(t *testing.T) {
	if got := say("range", "{1}", "b"); got != "{1} to b" {
		t.Errorf("got %q", got)
	}
	if got := say("no-such-key"); got != "no-such-key" {
		t.Errorf("got %q", got)
	}
}

// No template holds words of its own: a translation is the catalogue alone.
func TestTemplatesHoldNoWords(t *testing.T) {
	files, _ := filepath.Glob("assets/*.html")
	tag, action := regexp.MustCompile(`(?s)<[^>]*>`), regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text := tag.ReplaceAllString(action.ReplaceAllString(string(b), ""), "")
		if w := regexp.MustCompile(`[A-Za-z]{3,}`).FindString(text); w != "" {
			t.Errorf("%s holds %q", f, w)
		}
	}
}
