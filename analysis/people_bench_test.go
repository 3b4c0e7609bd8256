package analysis

import (
	"testing"

	"afterloop/ingest"
)

// What the table of responses adds to a debrief.
func BenchmarkPeople(b *testing.B) {
	dive, err := ingest.ReadFile("../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		b.Fatal(err)
	}
	x := newBench(dive, DefaultParameters())
	x.debrief = Analyze(dive, DefaultParameters())
	x.runPhases()
	x.prepareVote()
	for b.Loop() {
		x.describePeople()
	}
}
