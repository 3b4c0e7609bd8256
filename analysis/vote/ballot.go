package vote

import (
	"math"
	"math/bits"
)

// ballot is one row of readings, with sets of cells as bits.
type ballot struct {
	readings []float64
	present  uint64 // has a reading
	forcedIn uint64 // voted in by hand
	barred   uint64 // voted out by hand
}

func newBallot(readings []float64, manual []Manual) *ballot {
	b := &ballot{readings: readings[:min(len(readings), MaxCells)]}
	for k, r := range b.readings {
		if r-r == 0 { // finite
			b.present |= 1 << k
		}
	}
	for k, m := range manual[:min(len(manual), len(b.readings))] {
		switch m {
		case ManualIn:
			b.forcedIn |= 1 << k
		case ManualOut:
			b.barred |= 1 << k
		}
	}
	return b
}

// count is the number of cells in a set.
func count(set uint64) int { return bits.OnesCount64(set) }

// sum adds the readings of a set.
func (b *ballot) sum(set uint64) float64 {
	sum := 0.0
	for ; set != 0; set &= set - 1 {
		sum += b.readings[bits.TrailingZeros64(set)]
	}
	return sum
}

// mean is the mean reading of a set that is not empty.
func (b *ballot) mean(set uint64) float64 { return b.sum(set) / float64(count(set)) }

// extremes are the lowest and the highest reading of a set that is not empty.
func (b *ballot) extremes(set uint64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for ; set != 0; set &= set - 1 {
		r := b.readings[bits.TrailingZeros64(set)]
		lo, hi = min(lo, r), max(hi, r)
	}
	return lo, hi
}

// within are the cells of a set whose readings lie from lo to hi.
func (b *ballot) within(set uint64, lo, hi float64) uint64 {
	var found uint64
	for ; set != 0; set &= set - 1 {
		k := bits.TrailingZeros64(set)
		if r := b.readings[k]; r >= lo && r <= hi {
			found |= 1 << k
		}
	}
	return found
}

// voters are the cells that a rule without memory chooses from: those that read
// and were not voted out by hand. ok is false where there is none of these; all
// that read then stand in for them, since some number is wanted.
func (b *ballot) voters() (set uint64, ok bool) {
	if set := b.present &^ b.barred; set != 0 {
		return set, true
	}
	return b.present, false
}

// spreadOver tells whether the readings of a set, whose mean is meanBar, lie
// further apart than the tolerance.
func (b *ballot) spreadOver(set uint64, meanBar float64, p Params) bool {
	lo, hi := b.extremes(set)
	return hi-lo > p.outTolerance(meanBar)+tolerance
}

// none is the decision where no cell has a reading.
func none(out uint64) Decision {
	nan := math.NaN()
	return Decision{PO2Bar: nan, LowBar: nan, HighBar: nan, State: None, Out: out}
}

// decide makes a decision of a number and the cells that count. ok is false where
// these are only stand-ins (see voters).
func (b *ballot) decide(po2Bar float64, in, out uint64, undecided, ok bool) Decision {
	d := Decision{PO2Bar: po2Bar, LowBar: po2Bar, HighBar: po2Bar, State: Agreed, In: in, Out: out}
	switch {
	case !ok:
		d.State, d.In = Undecided, 0
		d.LowBar, d.HighBar = b.extremes(b.present)
	case undecided:
		d.State = Undecided
		if d.LowBar, d.HighBar = b.extremes(b.present &^ out); b.present&^out == 0 {
			d.LowBar, d.HighBar = b.extremes(b.present)
		}
	}
	return d
}
