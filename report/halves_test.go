package report

import (
	"bytes"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report/internal/reporttest"
)

// doubledDebrief is the demonstration of doubled electronics.
func doubledDebrief(t *testing.T) *analysis.Debrief {
	t.Helper()
	var dives [2]*ingest.Dive
	for k, f := range []string{"../testdata/ombrel-half-a.csv", "../testdata/ombrel-half-b.csv"} {
		d, err := ingest.ReadFile(f, ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		dives[k] = d
	}
	j, err := analysis.JoinHalves(dives[0], dives[1], analysis.DefaultParameters())
	if err != nil {
		t.Fatal(err)
	}
	return analysis.AnalyzeDoubled(j, analysis.DefaultParameters())
}

func TestHalvesPage(t *testing.T) {
	d := doubledDebrief(t)
	p := reporttest.Parse(t, render(t, d))
	p.Offline(t)
	p.LinksLead(t)
	if p.IDs["halves"] != 1 || p.IDs["chart-halves"] != 1 {
		t.Errorf("section %d, chart %d", p.IDs["halves"], p.IDs["chart-halves"])
	}
	if err := follows(t)(d); err != nil {
		t.Error(err)
	}
	e := (&page{Debrief: d}).Explain("chart-halves")
	if e == nil || e.Seen == "" || !strings.Contains(string(e.Reference), "ref-healthy") {
		t.Errorf("the chart is not explained: %+v", e)
	}
}

// A log that parts no halves has no such section.
func TestNoHalvesOnOtherPages(t *testing.T) {
	if s := string(render(t, small.debrief())); strings.Contains(s, `id="halves"`) || strings.Contains(s, `href="#halves"`) {
		t.Error("a section on halves without halves")
	}
}

func TestHalvesInTextAndSeries(t *testing.T) {
	d := doubledDebrief(t)
	var text, series bytes.Buffer
	if err := WriteText(&text, d, TextOptions{Width: 100}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Halves of the electronics", "The clock of half B", "Half A recorded nothing from 0:19:58 to 0:22:58", "half B less half A", "mid-value"} {
		if !strings.Contains(strings.Join(strings.Fields(text.String()), " "), want) {
			t.Errorf("the text lacks %q", want)
		}
	}
	if err := WriteSeries(&series, d); err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(series.String(), "\n")
	for _, want := range []string{"halfA_po2_bar", "halfB_po2_bar", "halves_depth_difference_m"} {
		if !strings.Contains(head, want) {
			t.Errorf("the series lack %s: %s", want, head)
		}
	}
}

// Without names neither file is named anywhere.
func TestHalvesAnonymous(t *testing.T) {
	d := doubledDebrief(t)
	d.Problems = append(d.Problems, ingest.Problem{File: "../testdata/ombrel-half-b.csv", Read: "x"},
		ingest.Problem{File: "../testdata/ombrel-half-b.csv", Column: "diver", Read: "Z. Q. of Half B", Treatment: `left out: ../testdata/ombrel-half-a.csv states "N. N. of Half A", which is used`, Code: analysis.ContradictionCode})
	var page, text, js bytes.Buffer
	o := Options{Anonymous: true}
	for _, err := range []error{WriteHTML(&page, d, o), WriteJSON(&js, d, o), WriteText(&text, d, TextOptions{Anonymous: true})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, b := range map[string]string{"page": page.String(), "text": text.String(), "JSON": js.String()} {
		if strings.Contains(b, "ombrel-half") || strings.Contains(b, "of Half") {
			t.Errorf("the %s names a file", name)
		}
	}
	if !strings.Contains(js.String(), `"file": "log 2"`) {
		t.Error("the second log lost its number")
	}
}
