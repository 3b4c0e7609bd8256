package report

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"afterloop/internal/golden"
	"afterloop/report/internal/reporttest"
)

func entries() []IndexEntry {
	healthy := small.debrief()
	healthy.Findings = healthy.Findings[:0]
	return []IndexEntry{
		{File: "lake-3.csv", Page: "lake-3.html", Debrief: small.debrief()},
		{File: "lake-4.csv", Page: "lake-4.html", Debrief: healthy},
		{File: "broken.csv", Err: "broken.csv:7: time runs backwards"},
	}
}

func TestIndexCSV(t *testing.T) {
	var b bytes.Buffer
	if err := WriteIndexCSV(&b, entries(), Options{}); err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/index.csv", b.Bytes())
	recs, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for k, name := range recs[0] {
		if got := recs[3][k]; got != "" && name != "file" && name != "error" {
			t.Errorf("a log that was not read has %s = %q", name, got)
		}
	}
	if recs[2][6] != "0" {
		t.Errorf("no warnings is written as %q", recs[2][6])
	}
}

func TestIndexCSVDisarmsFormulas(t *testing.T) {
	e := entries()[:1]
	e[0].Debrief.Dive.Name = `=HYPERLINK("http://x")`
	e[0].File = "-"
	var b bytes.Buffer
	if err := WriteIndexCSV(&b, e, Options{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), `"'=HYPERLINK`) || !strings.Contains(b.String(), "\n-,") {
		t.Errorf("got %s", b.String())
	}
}

func TestIndexPage(t *testing.T) {
	var b bytes.Buffer
	if err := WriteIndex(&b, entries(), Options{}); err != nil {
		t.Fatal(err)
	}
	p := reporttest.Parse(t, b.Bytes())
	for _, want := range []string{"3 logs", "1 log could not be read", "lake-3.csv", "time runs backwards", "≥ 34 %", "none by the checks that ran", "11 of 14 checks"} {
		if !strings.Contains(p.Text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if n := strings.Count(b.String(), `href="lake-3.html"`); n != 1 {
		t.Errorf("%d links to the log's page", n)
	}
	p.Offline(t)
}
