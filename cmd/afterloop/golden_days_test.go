package main

import (
	"testing"

	"afterloop/internal/golden"
)

// TestGoldenDays holds the outputs of the series of dives in testdata/days to
// files that can be reviewed.
func TestGoldenDays(t *testing.T) {
	golden.Hold(t, "testdata/golden/days.txt", output(t, "days", "../../testdata/days"))
	golden.Hold(t, "testdata/golden/days.json", output(t, "days", "../../testdata/days", "--models", "esot", "--json", "-"))
	golden.Hold(t, "testdata/golden/days.dives.csv", output(t, "days", "../../testdata/days", "--csv", "-"))
	golden.Hold(t, "testdata/golden/days.days.csv", output(t, "days", "../../testdata/days", "--models", "esot", "--day-csv", "-"))
}
