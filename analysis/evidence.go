package analysis

import (
	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
	"afterloop/analysis/tracking"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// Evidence is what a debrief rests on, row by row, in the forms of the parts: for
// compositions that go on from a debrief (package whatif). It shares its slices with
// the debrief's series and is read only.
type Evidence struct {
	// Dive is what was analysed: the dive that was read, with the pressure in use.
	Dive *ingest.Dive
	// Vote is what the vote was replayed on, VoteParams how.
	Vote       vote.Input
	VoteParams vote.Params
	Record     loop.Record
	Phases     []tracking.Phase
	Replays    []vote.Result
	// Diagnosed is false where there was no diagnosis; what follows is then empty.
	Diagnosed bool
	// NotFollowing is set where no cell may have followed PO2: the estimate is then NaN.
	NotFollowing bool
	Estimate     loop.Estimate
	States       []loop.CellState
	CellFaults   []cell.Fault
	Valves       []loop.ValveFault
	LoopTempC    float64
}

// AnalyzeDeep is [Analyze] with the evidence beside the debrief.
func AnalyzeDeep(d *ingest.Dive, p Parameters) (*Debrief, Evidence) {
	return analyzed(d, nil, p).deep()
}

// AnalyzeDoubledDeep is [AnalyzeDoubled] with what the debrief rests on.
func AnalyzeDoubledDeep(j *Doubled, p Parameters) (*Debrief, Evidence) {
	return analyzed(j.Dive, j, p).deep()
}

func (b *bench) deep() (*Debrief, Evidence) {
	e := Evidence{Dive: b.dive, Vote: b.voteInput(), VoteParams: b.p.Vote, Record: b.loopRecord(), Phases: b.phases, Replays: b.replays, LoopTempC: b.loopTempC()}
	if b.diag != nil {
		e.Diagnosed, e.Estimate, e.States = true, b.diag.estimate, b.diag.states
		e.NotFollowing = b.diag.cells.NotFollowing != nil
		e.CellFaults, e.Valves = b.diag.cells.Faults, b.diag.valves.Faults
	}
	return b.debrief, e
}

// RowSeconds is how long row i holds: until the next; the last row, and a row before a
// gap, as long as the row before it.
func RowSeconds(tS []float64, gapAfter []bool, i int) float64 { return rowSeconds(tS, gapAfter, i) }

// Each runs f for 0..n-1 on as many cores as there are; f writes to its own place of a
// slice, so that the result does not depend on who is first.
func Each(n int, f func(int)) { each(n, f) }
