package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/internal/golden"
)

// TestGolden holds the three readable outputs of the demo logs to files that can
// be reviewed; `go test ./cmd/afterloop -update` rewrites them. The version is
// left out, since it differs between builds.
func TestGolden(t *testing.T) {
	for _, demo := range []string{"ombrel-healthy", "ombrel-two-limited", "ombrel-gauges"} {
		t.Run(demo, func(t *testing.T) {
			log := "../../testdata/" + demo + ".csv"
			for _, c := range []struct {
				ending string
				args   []string
			}{
				{"json", []string{"debrief", log, "--json", "-"}},
				{"txt", []string{"debrief", log}},
			} {
				golden.Hold(t, filepath.Join("testdata/golden", demo+"."+c.ending), output(t, c.args...))
			}
		})
	}
	t.Run("series", func(t *testing.T) { // the first rows are enough to review the columns
		whole := output(t, "debrief", "../../testdata/ombrel-two-limited.csv", "--series", "-")
		golden.Hold(t, "testdata/golden/ombrel-two-limited.series.csv", golden.FirstLines(whole, 120))
	})
	t.Run("inspect", func(t *testing.T) {
		golden.Hold(t, "testdata/golden/ombrel-two-limited.inspect.txt", output(t, "inspect", "../../testdata/ombrel-two-limited.csv"))
	})
}

// output is what a run of the program writes to standard output.
func output(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if status := run(args, strings.NewReader(""), &out, &errs); status != 0 || errs.Len() > 0 {
		t.Fatalf("afterloop %v: status %d\n%s", args, status, errs.String())
	}
	return strings.ReplaceAll(out.String(), buildVersion(), "VERSION")
}
