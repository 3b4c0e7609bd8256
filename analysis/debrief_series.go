package analysis

import (
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// Series holds the columns over the rows of the log that the report draws and
// `--series` writes. NaN is "not known". All slices have one element per row.
type Series struct {
	TimeS       []float64
	DepthM      []float64
	AmbientBar  []float64
	SetPointBar []float64
	UnitPO2Bar  []float64
	Cells       []SeriesCell
	Votes       []SeriesVote
	Valves      []SeriesValve
	OnLoop      []bool
	GapAfter    []bool // a gap lies between this row and the next
	// Running doses of the headline's source, in percent and OTU.
	CNSPercent []float64
	OTU        []float64
	// EstimateBar with its 95 % band and HeliumBar are nil until estimated.
	EstimateBar, EstimateLowBar, EstimateHighBar, HeliumBar []float64
	// MinutesToHypoxia if oxygen stopped, NaN where not known; nil without volume and VO2.
	MinutesToHypoxia []float64
	// Halves are the PO2 of each half, HalvesDepthM the second's depth less the first's; nil where the log does not part them.
	Halves           []SeriesHalf
	HalvesDepthM     []float64
	TrackingErrorBar []float64 // unit PO2 - set point where it counts, else NaN
	SeriesGas
	// O2CylBar and DilCylBar are the cylinders as recorded; O2ExpectedBar is the oxygen
	// cylinder if the valves had given what they were commanded; nil where not known.
	O2CylBar, DilCylBar, O2ExpectedBar []float64
	Batteries                          []SeriesBattery
}

// SeriesCell is one cell's readings.
type SeriesCell struct {
	Number int
	PO2Bar []float64
	Vote   []ingest.UnitVote // nil where not recorded
}

// SeriesBattery is one battery's voltage.
type SeriesBattery struct {
	Number int
	V      []float64
}

// SeriesValve is one valve's commanded seconds.
type SeriesValve struct {
	Number int
	OpenS  []float64
}

// States are how a policy's vote ended, row by row: agreed, undecided, none.
type States = []vote.State

// SeriesVote is one policy's replay.
type SeriesVote struct {
	Policy string
	PO2Bar []float64
	State  States
	In     []uint64 // bit k: the k-th replayed cell is in
}
