package analysis

import (
	"math"
	"slices"
)

// heldEvery tells every how many rows a recorder renewed a cell's reading: n, where
// nearly all of many changes fall on every n-th row, and the first of those rows; 1
// where it renewed it in every row, or the log does not tell. A reading that is held
// is no new one: between cells that are renewed in turn it shows differences that
// PO2 never made, and it answers late.
func heldEvery(y []float64) (n, first int) {
	const mostRows, leastChanges, share = 20, 40, 0.98
	var at []int
	inTurn := 0 // changes in the row after another
	for i := 1; i < len(y); i++ {
		if !math.IsNaN(y[i]) && !math.IsNaN(y[i-1]) && y[i] != y[i-1] {
			if n := len(at); n > 0 && at[n-1] == i-1 {
				inTurn++
			}
			at = append(at, i)
		}
	}
	if len(at) < leastChanges || float64(inTurn) > (1-share)*float64(len(at)) {
		return 1, 0
	}
	for n := mostRows; n > 1; n-- {
		var on [mostRows]int
		for _, i := range at {
			on[i%n]++
		}
		most := slices.Max(on[:n])
		if float64(most) >= share*float64(len(at)) {
			return n, slices.Index(on[:n], most)
		}
	}
	return 1, 0
}

// renewed is cell k without the readings that were only held. Most recorders hold none,
// which [bench.recording] has found out.
func (b *bench) renewed(k int) []float64 {
	y := b.dive.Cells[k].PO2Bar
	if b.debrief.Recording.RowsPerReading[k] == 1 {
		return y
	}
	return renewed(y)
}

// renewed is y without the readings that were only held; y itself where there are none.
func renewed(y []float64) []float64 {
	n, first := heldEvery(y)
	if n == 1 {
		return y
	}
	out := slices.Clone(y)
	for i := range out {
		if i%n != first {
			out[i] = math.NaN()
		}
	}
	return out
}
