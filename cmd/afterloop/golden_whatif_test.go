package main

import (
	"path/filepath"
	"testing"

	"afterloop/internal/golden"
)

// TestGoldenWhatIf holds text, JSON and the first rows of the columns of a demo that is
// run again to files that can be reviewed.
func TestGoldenWhatIf(t *testing.T) {
	args := []string{"whatif", "../../testdata/ombrel-two-limited.csv", "--policy", "mid-value", "--lose-cell", "4@0:20:00", "--dead-valve", "1@0:30:00"}
	with := func(more ...string) []string { return append(append([]string{}, args...), more...) }
	golden.Hold(t, filepath.Join("testdata/golden", "whatif.txt"), output(t, args...))
	golden.Hold(t, filepath.Join("testdata/golden", "whatif.json"), output(t, with("--json", "-")...))
	golden.Hold(t, filepath.Join("testdata/golden", "whatif.series.csv"), golden.FirstLines(output(t, with("--series", "-")...), 60))
}
