package analysis

import (
	"fmt"
	"math"
	"sort"

	"afterloop/analysis/exposure"
	"afterloop/analysis/supply"
	"afterloop/analysis/tracking"
	"afterloop/analysis/vote"
	"afterloop/analysis/wording"
	"afterloop/ingest"
)

// bench holds one dive while it is taken apart: the record, the parameters, and
// what the parts have found so far. The steps of analyzed (analyze.go) fill it, each
// in the file that DEVELOPERS.md names; the checks only read it.
type bench struct {
	dive     *ingest.Dive
	p        Parameters
	debrief  *Debrief
	tS       []float64
	gapAfter []bool
	sampleS  float64 // the usual interval
	onLoop   []bool
	// under is true on rows under water.
	under []bool
	// cells are the readings that take part in the replay, numbers their numbers.
	cells   [][]float64
	numbers []int
	// spread is the largest minus the smallest reading, NaN with fewer than two.
	spread, lowest, highest, median []float64
	// events are those of the log, and notes that are one of the fixed words.
	events []ingest.Event
	// falseCells are the cells that are not believed, with the kind of finding that says so.
	falseCells map[int]string
	// diag is what the physics of the loop says; nil where it was not asked.
	diag     *diagnosis
	replays  []vote.Result
	orders   map[string]vote.Order
	phases   []tracking.Phase
	track    *tracking.Result
	changes  []tracking.Change
	doses    map[string]exposure.Result
	breathed map[string][]float64
	// best is the unit's PO2 where recorded, else the mid-value of the cells; bestName says which.
	best     []float64
	bestName string
	// minutesToHypoxia by row, if oxygen stopped; nil where not known.
	minutesToHypoxia []float64
	// breathedRows are the columns of the gas that was breathed; nil where no row has a gas.
	breathedRows *breathedRows
	// pressureRows are the differences of pressures and depths that were both recorded.
	pressureRows pressureRows
	// supply is what cylinders and batteries tell.
	supply *supply.Result
	// halves are those of doubled electronics, nil where the log does not part them;
	// doubled is how two logs were joined, nil for one.
	halves  []halfRecord
	doubled *Doubled
}

// usable is the share of the recorded time in which hold(i) is true.
func (b *bench) usable(hold func(int) bool) float64 {
	var yes, all float64
	for i := range b.tS {
		w := rowSeconds(b.tS, b.gapAfter, i)
		if hold(i) {
			yes += w
		}
		all += w
	}
	for i := range b.gapAfter { // a gap is recorded time that could not be judged
		if b.gapAfter[i] && i+1 < len(b.tS) {
			all += b.tS[i+1] - b.tS[i]
		}
	}
	if all == 0 {
		return 0
	}
	return yes / all
}

// replay finds the result of one policy.
func (b *bench) replay(policy string) (vote.Result, bool) {
	for _, r := range b.replays {
		if r.Policy == policy {
			return r, true
		}
	}
	return vote.Result{}, false
}

// rowAt is the first row at or after a moment.
func (b *bench) rowAt(s float64) int { return sort.SearchFloat64s(b.tS, s) }

// clock writes a moment as h:mm:ss since the first row, the form that people compare.
func (b *bench) clock(s float64) string { return wording.Clock(s - b.tS[0]) }

// bar writes a pressure with two decimals.
func bar(v float64) string { return wording.Figure(v, 2) + " bar" }

// duration writes seconds for people.
func duration(s float64) string {
	switch {
	case s < 120:
		return fmt.Sprintf("%.0f s", s)
	case s < 7200:
		s = math.Round(s)
		if math.Mod(s, 60) == 0 {
			return fmt.Sprintf("%.0f min", s/60)
		}
		return fmt.Sprintf("%.0f min %02.0f s", math.Floor(s/60), math.Mod(s, 60))
	}
	return fmt.Sprintf("%.0f h %02.0f min", math.Floor(s/3600), math.Floor(math.Mod(s, 3600)/60))
}

// plural is "cell" or "cells" and the like.
func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
