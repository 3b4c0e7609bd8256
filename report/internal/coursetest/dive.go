// Package coursetest gives the tests of several pages the dives of the invented
// course. Only tests import it.
package coursetest

import (
	"os"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
)

var logs = [...]string{"t-a", "b-o", "l-y", "s-n"}

// Dive debriefs a log of the course for a test two folders below the repository's
// root. The k-th dive, from 0, lacks the last k rows, so that however many dives
// are asked for each has rows of its own.
func Dive(t testing.TB, k int) *analysis.Debrief {
	t.Helper()
	b, err := os.ReadFile("../../testdata/course/" + logs[k%len(logs)] + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(b), "\n")
	dive, err := ingest.Read(strings.NewReader(strings.Join(lines[:len(lines)-1-k], "")), "x.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return analysis.Analyze(dive, analysis.DefaultParameters())
}
