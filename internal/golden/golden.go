// Package golden holds outputs to files that can be reviewed: what a test made is
// compared with a file of the repository, or with -update written into it. Every
// test binary that imports it has that flag. Only tests import it.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite golden files")

// Update tells whether golden files are to be rewritten.
func Update() bool { return *update }

// mostLines is how much of a difference is shown: a changed figure can change
// thousands of lines.
const mostLines = 60

// Hold fails the test where got is not what the file holds, or rewrites the file.
func Hold[T ~string | ~[]byte](t testing.TB, file string, got T) {
	t.Helper()
	if *update {
		rewrite(t, file, []byte(got))
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update)", err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); d != "" {
		t.Errorf("%s differs (-want +got); if it should, run with -update:\n%s", file, FirstLines(d, mostLines))
	}
}

func rewrite(t testing.TB, file string, got []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, got, 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s rewritten", file)
}

// FirstLines is the beginning of a text, with the end of its last line.
func FirstLines(s string, n int) string {
	lines := strings.SplitAfter(s, "\n")
	return strings.Join(lines[:min(n, len(lines))], "")
}
