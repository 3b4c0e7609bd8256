package main

import "testing"

// TestGoldenDays holds the outputs of the series of dives in testdata/days to
// files that can be reviewed.
func TestGoldenDays(t *testing.T) {
	golden(t, "testdata/golden/days.txt", output(t, "days", "../../testdata/days"))
	golden(t, "testdata/golden/days.json", output(t, "days", "../../testdata/days", "--models", "esot", "--json", "-"))
	golden(t, "testdata/golden/days.dives.csv", output(t, "days", "../../testdata/days", "--csv", "-"))
	golden(t, "testdata/golden/days.days.csv", output(t, "days", "../../testdata/days", "--models", "esot", "--day-csv", "-"))
}
