package report

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"afterloop/analysis"
)

func TestWords(t *testing.T) {
	two, valve := 2, 1
	n := analysis.Float(nan)
	none := analysis.Interval{Value: n, Low: n, High: n, Reason: "no usable step"}
	for _, c := range []struct{ got, want string }{
		{part(analysis.Finding{Cell: &two, Cells: []int{1, 2}}), "cell 2"},
		{part(analysis.Finding{Valve: &valve}), "valve 1"},
		{part(analysis.Finding{Cells: []int{1, 2, 4}}), "cells 1, 2 and 4"},
		{part(analysis.Finding{}), ""},
		{cellList([]int{3}), "cell 3"},
		{cellList([]int{1, 2}), "cells 1 and 2"},
		{interval(analysis.Interval{Value: 9, Low: 7.2, High: 11}, 1), "9.0 [7.2 to 11.0]"},
		{interval(none, 1), "– no usable step"},
		{interval(analysis.Interval{Value: n, Low: 1.74, High: n, Reason: "no limit seen up to 1.74 bar"}, 2), "– no limit seen up to 1.74 bar"},
		{sourceLabel("cell12"), "cell 12"},
		{sourceLabel("cells"), "cells"},
		{sourceLabel("mid-value"), "mid-value"},
		{startText("2026-06-21T10:15:00+02:00"), "2026-06-21 10:15 +02:00"},
		{startText("2026-06-21T10:15:07Z"), "2026-06-21 10:15:07 +00:00"},
		{startText("a Sunday"), "a Sunday"},
		{interval(analysis.Interval{Value: n, Low: 15, High: n}, 0), "– [15 to –]"},
		{intervalUnit(analysis.Interval{Value: 0.1234, Low: 0.1, High: 0.15}, "per min"), "0.123 per min [0.1 to 0.15]"},
		{intervalUnit(none, "s"), "not known: no usable step"},
		{oneReason(analysis.Cell{T90S: none, Gain: none, CeilingBar: none, DriftPerH: none, NoiseBar: none}), "no usable step"},
		{oneReason(analysis.Cell{T90S: none, Gain: none, CeilingBar: none, DriftPerH: none, NoiseBar: analysis.Interval{Value: 1}}), ""},
		{outs(nil), "never"},
		{outs([]analysis.VotedOut{{Cell: 3, FromS: 0, ToS: 60}, {Cell: 1, FromS: 10, ToS: 20}, {Cell: 3, FromS: 90, ToS: 120}}), "cell 3: 90 s; cell 1: 10 s (3 stretches)"},
		{poBand(1.1, 1.2), "above 1.10, up to 1.20"},
		{poBand(1.6, n), "above 1.60"},
		{poBand(0, 0.5), "up to 0.50"},
		{doseRange(30.1, 38.7, "%"), "30 to 39 %"},
		{doseRange(n, n, "%"), "–"},
		{doseRange(48.4, 55, ""), "48 to 55"},
		{word("diluent_flush"), "diluent flush"},
		{sentence("no end"), "no end."},
		{sentence("an end."), "an end."},
		{sentence(""), ""},
		{more(30, 30), ""},
		{more(30, 10031), "… and 10\u202f001 more, all of them in the JSON file."},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 54, Low: 33, High: 54}), ")"), " (range 33 to 54 %)"},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 57, Low: 43, High: 57, IsLowerBound: true, Source: "unit"}), ")"), " (other sources that may have been breathed: from 43 %; 12 min beyond the table)"},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 57, Low: 57, High: 60, IsLowerBound: true}), ")"), " (with its gaps up to ≥ 60 %)"},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 57, Low: 57, High: analysis.Float(n), IsLowerBound: true}), ")"), " (nothing bounds it from above)"},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 57, Low: 57, High: 57, IsLowerBound: true}), ")"), ""},
		{quantity(0.05, "fraction"), "5 %"},
		{rangeNote(" (", headed(analysis.ExposureHeadline{CNSPercent: 16, Low: 16, High: 16}), ")"), ""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if got := first(2, []int{1, 2, 3}).([]int); len(got) != 2 {
		t.Errorf("first: %v", got)
	}
}

// headed is a debrief with a headline; the unit's PO2 was 12 min beyond the table.
func headed(h analysis.ExposureHeadline) *analysis.Debrief {
	return &analysis.Debrief{Exposure: analysis.Exposure{Headline: h, BySource: []analysis.ExposureSource{{Source: "unit", SecondsAboveTable: 720}}}}
}

// Whoever reads the page can trace a figure: the definitions that the page links to exist.
func TestDefinitionsExist(t *testing.T) {
	have := map[string]bool{}
	for _, d := range analysis.Definitions() {
		have[d.ID] = true
	}
	for _, id := range definitionsUsed(t) {
		if !have[id] {
			t.Errorf("the page links a figure to the definition %q, which does not exist", id)
		}
	}
}

// definitionsUsed reads the identifiers out of the templates and the views.
func definitionsUsed(t *testing.T) []string {
	t.Helper()
	var ids []string
	files, err := filepath.Glob("assets/*.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range append(files, "view_figures.go") {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`[$p]\.Def\(?"? ?"([a-z0-9-]+)"`).FindAllStringSubmatch(string(b), -1) {
			ids = append(ids, m[1])
		}
	}
	if len(ids) < 20 {
		t.Fatalf("only %d links to definitions found", len(ids))
	}
	return ids
}
