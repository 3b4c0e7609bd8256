package ingest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestSimulatedLogs reads the simulated logs that the environment variable
// AFTERLOOP_LOGS points to: none may give a warning, and every tenth is
// written and read back.
func TestSimulatedLogs(t *testing.T) {
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("NOT RUN: set AFTERLOOP_LOGS to the folder of the simulated logs")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for _, file := range files {
		if strings.HasSuffix(file, ".truth.csv") {
			continue
		}
		read++
		d, err := ReadFile(file, Options{})
		if err != nil {
			t.Error(err)
			continue
		}
		for _, p := range graver(d) {
			t.Error(p)
		}
		if read%10 != 1 {
			continue // comparing is slow, and the logs are of few kinds
		}
		again, _ := writeAndRead(t, d)
		if diff := cmp.Diff(d, again, sameDive()); diff != "" {
			t.Errorf("%s (-read +read again):\n%s", file, diff)
		}
	}
	if read == 0 {
		t.Errorf("no logs in %s", dir)
	}
}
