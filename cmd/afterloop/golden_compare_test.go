package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"afterloop/internal/golden"
)

// TestGoldenCompare holds text and JSON of a comparison, of two debriefs of one
// log and of a course to files that can be reviewed.
func TestGoldenCompare(t *testing.T) {
	demo := func(n string) string { return "../../testdata/" + n }
	for name, args := range map[string][]string{
		"compare-two":    {"compare", demo("ombrel-healthy.csv"), demo("ombrel-two-limited.csv")},
		"compare-course": {"compare", demo("course"), "--align", "event=first-diluent-flush"},
		"course":         {"course", demo("course")},
	} {
		t.Run(name, func(t *testing.T) {
			golden.Hold(t, "testdata/golden/"+name+".txt", output(t, args...))
			golden.Hold(t, "testdata/golden/"+name+".json", output(t, append(args, "--json", "-")...))
		})
	}
	t.Run("compare-versions", func(t *testing.T) {
		old := filepath.Join(t.TempDir(), "old.json")
		output(t, "debrief", "-q", demo("ombrel-two-limited.csv"), "--json", old)
		b, err := os.ReadFile(old)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range [][2]string{{`"out_bar": 0\.2,`, `"out_bar": 0.25,`}, {`"cns_percent": [0-9.]+`, `"cns_percent": 1`}, {`("id": "slow-cell",\s*"version": )1`, "${1}7"},
			{`("version": )"` + regexp.QuoteMeta(buildVersion()) + `"`, `${1}"0.9"`}} {
			b = regexp.MustCompile(r[0]).ReplaceAll(b, []byte(r[1]))
		}
		if err := os.WriteFile(old, b, 0o644); err != nil {
			t.Fatal(err)
		}
		got := output(t, "compare", old, demo("ombrel-two-limited.csv"), "--json", "-")
		golden.Hold(t, "testdata/golden/compare-versions.json", strings.ReplaceAll(got, filepath.ToSlash(old), "old.json"))
	})
}
