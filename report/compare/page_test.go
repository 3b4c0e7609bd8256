package compare

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/internal/coursetest"
	"afterloop/report/internal/reporttest"
)

const hostile = reporttest.Hostile

// subjects are dives of the invented course; n of them, each with rows of its own.
// A dive is debriefed once, since that takes most of the time.
func subjects(t testing.TB, n int, spoil func(*analysis.Debrief)) []*compare.Subject {
	t.Helper()
	have := &clean
	if spoil != nil {
		have = &hostiles
	}
	for k := len(*have); k < n; k++ {
		d := coursetest.Dive(t, k)
		d.Tool.Version = "test"
		if spoil != nil {
			spoil(d)
		}
		*have = append(*have, compare.Take(d, compare.Source{Keep: true}))
	}
	var out []*compare.Subject
	for _, s := range (*have)[:n] {
		c := *s
		out = append(out, &c)
	}
	return out
}

var clean, hostiles []*compare.Subject

func spoiled(d *analysis.Debrief) {
	d.Sources[0].File, d.Dive.Name, d.Dive.Diver, d.Dive.Unit, d.Dive.Start, d.Tool.Version = hostile, hostile, hostile, hostile, hostile, hostile
	for i := range d.Cells {
		d.Cells[i].Serial = hostile + strings.Repeat("i", i)
	}
	for i := range d.Findings {
		d.Findings[i].Title, d.Findings[i].Observed, d.Findings[i].Kind = hostile, hostile, hostile+d.Findings[i].Kind
	}
	for i := range d.Checks {
		d.Checks[i].Reason, d.Checks[i].Title = hostile, hostile
	}
	d.Injection.VO2Reason = hostile
}

// pages are all pages and texts, made from debriefs whose every text is hostile.
func pages(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	write := func(name string, c *compare.Comparison) {
		for kind, f := range map[string]func(io.Writer) error{
			"html": func(w io.Writer) error { return Write(w, c) }, "csv": func(w io.Writer) error { return WriteCSV(w, c) },
			"text": func(w io.Writer) error { return WriteText(w, c, report.TextOptions{Width: 60}) }} {
			out[name+" "+kind] = reporttest.Bytes(t, f)
		}
	}
	for name, n := range map[string]int{"two": 2, "few": 4, "many": 8} {
		for _, by := range []string{"start", "depth"} {
			c, err := compare.Compare(subjects(t, n, spoiled), compare.Options{By: by})
			if err != nil {
				t.Fatal(err)
			}
			write(name+" "+by, c)
		}
	}
	versions := subjects(t, 2, nil)
	versions[1] = compare.Take(hostileDebrief(), compare.Source{File: hostile, FromJSON: true, Keep: true})
	versions[1].SHA256 = versions[0].SHA256
	c, err := compare.Compare(versions, compare.Options{})
	if err != nil {
		t.Fatal(err)
	}
	write("versions", c)
	return out
}

// hostileDebrief is one by another version.
func hostileDebrief() *analysis.Debrief {
	return &analysis.Debrief{Tool: analysis.Tool{Version: hostile}, Sources: []analysis.Source{{File: hostile, SHA256: strings.Repeat("a", 64)}},
		Checks:   []analysis.Check{{ID: hostile, Title: hostile, Outcome: analysis.NotAssessed, Reason: hostile}},
		Findings: []analysis.Finding{{Kind: hostile, Title: hostile, Check: hostile, Severity: analysis.Note, Confidence: analysis.Sure, Observed: hostile}}}
}

// TestPages: no text of a file becomes markup, nothing is loaded, nothing runs, no
// formula reaches a spreadsheet, no control a terminal, and every page says that it
// clears nothing for use.
func TestPages(t *testing.T) {
	for name, b := range pages(t) {
		switch {
		case strings.HasSuffix(name, "text"):
			reporttest.Terminal(t, name, b)
		case strings.HasSuffix(name, "csv"):
			reporttest.Table(t, name, b)
		default:
			reporttest.Bare(t, name, b)
		}
	}
}

// TestSaysWhatItDoes: alignment, refusals, reference and n are on the page.
func TestSaysWhatItDoes(t *testing.T) {
	c, err := compare.Compare(subjects(t, 8, nil), compare.Options{By: "event", Moment: "bailout", Reference: 2})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Write(&b, c); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"By event: zero is bailout. It is not recorded in", "not recorded: bailout", "not comparable", ", reference</th>", "the range over all dives|One line a dive"} {
		ok := false
		for _, w := range strings.Split(want, "|") {
			ok = ok || bytes.Contains(b.Bytes(), []byte(w))
		}
		if !ok {
			t.Errorf("the page does not say %q", want)
		}
	}
}

// TestSameBytes: two renders are equal.
func TestSameBytes(t *testing.T) {
	ss := subjects(t, 3, nil)
	render := func() []byte {
		c, err := compare.Compare(ss, compare.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return reporttest.Bytes(t, func(w io.Writer) error { return Write(w, c) })
	}
	if !bytes.Equal(render(), render()) {
		t.Error("two renders differ")
	}
}
