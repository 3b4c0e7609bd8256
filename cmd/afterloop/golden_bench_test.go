package main

import (
	"path/filepath"
	"testing"

	"afterloop/internal/golden"
)

// TestGoldenBench holds text and JSON of the bench demos to files that can be reviewed.
func TestGoldenBench(t *testing.T) {
	for _, c := range []struct{ name, command string }{{"bench-cells", "cells"}, {"bench-tightness-positive", "tightness"}, {"bench-tightness-negative", "tightness"}} {
		t.Run(c.name, func(t *testing.T) {
			file := "../../testdata/" + c.name + ".csv"
			golden.Hold(t, filepath.Join("testdata/golden", c.name+".txt"), output(t, "bench", c.command, file))
			golden.Hold(t, filepath.Join("testdata/golden", c.name+".json"), output(t, "bench", c.command, file, "--json", "-"))
		})
	}
}
