package days

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/ingest"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

const hostile = reporttest.Hostile

// series is that of the demo logs, changed by change before it is put together.
func series(t *testing.T, change func(i int, d *ingest.Dive)) *days.Report {
	t.Helper()
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true // the page does not depend on it
	var logs []days.Log
	for i, name := range []string{"ombrel-night", "ombrel-morning", "varr-evening"} {
		d, err := ingest.ReadFile("../../testdata/days/"+name+".csv", ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if change != nil {
			change(i, d)
		}
		logs = append(logs, days.Log{Debrief: analysis.Analyze(d, p)})
	}
	params := days.DefaultParams()
	params.ESOT = true
	r, err := days.Compose(logs, []days.LeftOut{{File: hostile, Kind: "unreadable", Reason: "it could not be read"}}, params)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// spoiled is a series whose every text is hostile.
func spoiled(t *testing.T) *days.Report {
	return series(t, func(i int, d *ingest.Dive) {
		d.Meta.Dive, d.Meta.Diver, d.Meta.Unit, d.Source.File = hostile, hostile, hostile, hostile
		if i == 2 {
			d.Meta.Start = ""
		}
	})
}

// TestPage: no text of a log becomes markup, nothing is loaded, nothing runs, and
// the page says that it clears nobody to dive.
func TestPage(t *testing.T) {
	r := spoiled(t)
	b := reporttest.Bytes(t, func(w io.Writer) error { return WritePage(w, r) })
	reporttest.Bare(t, "the page", b)
	for _, want := range []string{"clears no equipment for use and no person to dive", "can’t be known", "memory, unverified"} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("%q is missing", want)
		}
	}
	if !bytes.Equal(b, reporttest.Bytes(t, func(w io.Writer) error { return WritePage(w, spoiled(t)) })) {
		t.Error("two renders differ")
	}
}

// TestText fits its width and lets no control character through.
func TestText(t *testing.T) {
	for _, width := range []int{40, 80, 120} {
		b := reporttest.Bytes(t, func(w io.Writer) error { return WriteText(w, spoiled(t), report.TextOptions{Width: width}) })
		reporttest.Terminal(t, "the text", b)
		for _, l := range strings.Split(string(b), "\n") {
			if n := utf8.RuneCountInString(l); n > width && strings.Contains(l, " ") && !strings.Contains(l, "script") {
				t.Errorf("width %d: %d characters: %s", width, n, l)
			}
		}
	}
}

// TestAnonymous: no name is in any output; digests and starts are.
func TestAnonymous(t *testing.T) {
	r := WithoutNames(series(t, func(i int, d *ingest.Dive) {
		d.Meta.Dive, d.Meta.Unit, d.Source.File = fmt.Sprint("secret dive", i), "secret unit", "secret.csv"
		d.Meta.Diver = "secret diver"
		if i == 2 {
			d.Meta.Start = ""
		}
	}))
	for name, b := range map[string][]byte{
		"page": reporttest.Bytes(t, func(w io.Writer) error { return WritePage(w, r) }),
		"JSON": reporttest.Bytes(t, func(w io.Writer) error { return WriteJSON(w, r) }),
		"text": reporttest.Bytes(t, func(w io.Writer) error { return WriteText(w, r, report.TextOptions{}) }),
		"CSV":  reporttest.Bytes(t, func(w io.Writer) error { return WriteDiveTable(w, r) }),
	} {
		if bytes.Contains(b, []byte("secret")) || bytes.Contains(b, []byte("alert(1)")) {
			t.Errorf("%s holds a name", name)
		}
		if !bytes.Contains(b, []byte("2026-07-04")) {
			t.Errorf("%s holds no start", name)
		}
	}
}

// TestTables: what is not known is an empty field, and no text is a formula.
func TestTables(t *testing.T) {
	r := series(t, func(i int, d *ingest.Dive) { d.Source.File = "=1+1" })
	rows := func(write func(io.Writer) error) [][]string {
		return reporttest.Table(t, "the table", reporttest.Bytes(t, write))
	}
	dives := rows(func(w io.Writer) error { return WriteDiveTable(w, r) })
	if len(dives) != 4 || dives[1][1] != "'=1+1" || dives[1][7] != "" || dives[2][7] == "" {
		t.Errorf("%v", dives)
	}
	if d := rows(func(w io.Writer) error { return WriteDayTable(w, r) }); len(d) != 3 || d[1][0] != "2026-07-03" || d[1][14] == "" {
		t.Errorf("%v", d)
	}
	r.Parameters.ESOT, r.Days[0].ESOT = false, nil
	if d := rows(func(w io.Writer) error { return WriteDayTable(w, r) }); d[1][14] != "" {
		t.Errorf("an ESOT that was not computed is %q", d[1][14])
	}
}

// TestSchema: the schema has the sources' comments, and the JSON holds to it.
func TestSchema(t *testing.T) {
	reporttest.Schema(t, document, "../..", "days")
	check := reporttest.Follows(t, Schema)
	follows := func(r *days.Report) error {
		return check(reporttest.Bytes(t, func(w io.Writer) error { return WriteJSON(w, r) }))
	}
	for name, x := range map[string]*days.Report{"hostile": spoiled(t), "demo": series(t, nil)} {
		if err := follows(x); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	broken := series(t, nil)
	broken.Days = nil
	if follows(broken) == nil {
		t.Error("the schema lets a nil slice pass")
	}
}
