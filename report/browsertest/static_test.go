package browsertest

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"afterloop/analysis/compare"
	"afterloop/analysis/course"
	comparePages "afterloop/report/compare"
	coursePages "afterloop/report/course"
	"afterloop/report/internal/coursetest"
)

// courseDives are n dives of the invented course, each with rows of its own.
func courseDives(t *testing.T, n int) []*compare.Subject {
	t.Helper()
	var out []*compare.Subject
	for k := range n {
		out = append(out, compare.Take(coursetest.Dive(t, k), compare.Source{}))
	}
	return out
}

// The pages without scripts: comparisons of few and of many dives, and a course.
// In every look nothing sticks out, nothing is loaded, and axe-core finds no violation.
func TestStaticPagesReach(t *testing.T) {
	pages := map[string]func(io.Writer) error{}
	for name, n := range map[string]int{"two": 2, "few": 4, "many": 9} {
		c, err := compare.Compare(courseDives(t, n), compare.Options{})
		if err != nil {
			t.Fatal(err)
		}
		pages["compare "+name] = func(w io.Writer) error { return comparePages.Write(w, c) }
	}
	var entries []course.Entry
	for _, s := range courseDives(t, 8) {
		entries = append(entries, course.Entry{File: s.SHA256, Subject: s, Page: "x.html"})
	}
	c, err := course.Build(entries, course.Options{By: course.ByFile})
	if err != nil {
		t.Fatal(err)
	}
	pages["course"] = func(w io.Writer) error { return coursePages.Write(w, c) }
	for name, write := range pages {
		path := filepath.Join(t.TempDir(), "page.html")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := write(f); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		for look, l := range looks {
			t.Run(name+", "+look, func(t *testing.T) {
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
}
