package course

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/analysis/course"
	"afterloop/report"
	"afterloop/report/internal/coursetest"
	"afterloop/report/internal/reporttest"
)

const hostile = reporttest.Hostile

// entries are n logs of the invented course, each with rows of its own.
func entries(t testing.TB, n int, spoil func(*analysis.Debrief)) []course.Entry {
	t.Helper()
	var out []course.Entry
	for k := range n {
		d := coursetest.Dive(t, k)
		if spoil != nil {
			spoil(d)
		}
		out = append(out, course.Entry{File: "logs/" + string(rune('a'+k)) + ".csv", Subject: compare.Take(d, compare.Source{}), Page: "p" + string(rune('a'+k)) + ".html"})
	}
	return out
}

func spoiled(d *analysis.Debrief) {
	d.Sources[0].File, d.Dive.Diver, d.Dive.Unit, d.Dive.Start = hostile, hostile+d.Dive.Diver, hostile, hostile
	for i := range d.Findings {
		d.Findings[i].Title, d.Findings[i].Kind = hostile, hostile+d.Findings[i].Kind
	}
	for i := range d.Checks {
		d.Checks[i].Reason, d.Checks[i].Title = hostile, hostile
	}
}

func render(t *testing.T, c *course.Course, f func(io.Writer, *course.Course) error) []byte {
	t.Helper()
	return reporttest.Bytes(t, func(w io.Writer) error { return f(w, c) })
}

func text(w io.Writer, c *course.Course) error { return WriteText(w, c, report.TextOptions{Width: 60}) }

// TestHostile: no text of a log becomes markup, a formula or a control.
func TestHostile(t *testing.T) {
	for _, n := range []int{1, 4, 9} {
		es := entries(t, n, spoiled)
		es = append(es, course.Entry{File: hostile, Err: errors.New(hostile)})
		c, err := course.Build(es, course.Options{By: course.ByAuto})
		if err != nil {
			t.Fatal(err)
		}
		reporttest.Bare(t, "the page", render(t, c, Write))
		reporttest.Terminal(t, "the text", render(t, c, text))
		reporttest.Table(t, "the table", render(t, c, WriteCSV))
	}
}

// TestSays: the page says what it rests on.
func TestSays(t *testing.T) {
	es := append(entries(t, 4, nil), course.Entry{File: "bad.csv", Err: errors.New("no such column")})
	c, err := course.Build(es, course.Options{By: course.ByAuto})
	if err != nil {
		t.Fatal(err)
	}
	b := string(render(t, c, Write))
	for _, want := range []string{course.TopicRule, course.Safety, "those whose “diver” line is the same", "bad.csv", "no such column", `href="pa.html#findings"`, `href="pa.html"`,
		"What one would do", "For the instructor", "nobody’s mark", "call emergency medical services", "B. O.", "n: students"} {
		if !strings.Contains(b, html.EscapeString(want)) && !strings.Contains(b, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for _, never := range []string{"NaN", "ZgotmplZ", "%!", "best", "worst student", "rank"} {
		if strings.Contains(b, never) {
			t.Errorf("the page says %q", never)
		}
	}
	if !bytes.Equal([]byte(b), render(t, c, Write)) {
		t.Error("two renders differ")
	}
}

// TestAnonymousPage: every output of an anonymous course is without names.
func TestAnonymousPage(t *testing.T) {
	c, err := course.Build(entries(t, 4, nil), course.Options{By: course.ByAuto, Anonymous: true})
	if err != nil {
		t.Fatal(err)
	}
	for kind, f := range map[string]func(io.Writer, *course.Course) error{"page": Write, "text": text, "table": WriteCSV, "JSON": func(w io.Writer, c *course.Course) error { return report.EncodeJSON(w, c) }} {
		b := string(render(t, c, f))
		for _, name := range []string{"T. A.", "B. O.", "L. Y.", "S. N.", "course unit", "KD-", "Ombrel", "2026-", ".csv", "drill", "leaving the surface,"} {
			if strings.Contains(b, name) {
				t.Errorf("%s: %q is left", kind, name)
			}
		}
	}
}
