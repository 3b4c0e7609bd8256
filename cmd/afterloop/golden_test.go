package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
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
				golden(t, filepath.Join("testdata/golden", demo+"."+c.ending), output(t, c.args...))
			}
		})
	}
	t.Run("series", func(t *testing.T) { // the first rows are enough to review the columns
		whole := output(t, "debrief", "../../testdata/ombrel-two-limited.csv", "--series", "-")
		golden(t, "testdata/golden/ombrel-two-limited.series.csv", firstLines(whole, 120))
	})
	t.Run("inspect", func(t *testing.T) {
		golden(t, "testdata/golden/ombrel-two-limited.inspect.txt", output(t, "inspect", "../../testdata/ombrel-two-limited.csv"))
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

// golden compares got with a file, or rewrites the file with -update.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("rewrote %s", path)
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; make it with -update", err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Errorf("%s differs (-want +got):\n%s", path, firstLines(d, 60))
	}
}

func firstLines(s string, n int) string {
	l := strings.SplitAfter(s, "\n")
	if len(l) > n {
		l = l[:n]
	}
	return strings.Join(l, "")
}
