package supply

import (
	"math"
	"slices"
)

// Lone is a reading, or a few of them, far below those on both sides.
type Lone struct {
	AtS  float64
	V    float64 // the lowest of them
	Rows int
}

// Limits of what is set apart, ours: no battery that holds its voltage before and
// after loses half of it for one row, nor a fifth of it while no valve is open.
const (
	loneS         = 2.0 // s, or one row, whatever the interval
	loneLoadShare = 0.5
	loneIdleShare = 0.2
	backShare     = 0.9 // of the reading before counts as being back
)

// setApart takes out what lies far below the readings on both sides for one row, or
// for loneS at most: a contact that parted or a recorder's zero, which can't be told
// apart. A longer fall stays in.
func setApart(in Input, v Voltage, p Params) ([]float64, []Lone) {
	at := knownRows(v.V)
	open := openRows(in, v.Valves)
	var lone []Lone
	out := v.V
	for k := 1; k < len(at)-1; k++ {
		n := lowRows(in, v.V, at[k-1:], open)
		if n == 0 {
			continue
		}
		if len(lone) == 0 {
			out = slices.Clone(v.V)
		}
		x := Lone{AtS: in.TimeS[at[k]], V: v.V[at[k]], Rows: n}
		for _, i := range at[k : k+n] {
			x.V = math.Min(x.V, v.V[i])
			out[i] = math.NaN()
		}
		lone = append(lone, x)
		k += n
	}
	return out, lone
}

// lowRows is how many rows behind the first of at are far down before the voltage
// is back; 0 where it is not, or not soon enough.
func lowRows(in Input, v []float64, at []int, open []bool) int {
	before := v[at[0]]
	for n := 0; n+1 < len(at); n++ {
		i := at[n+1]
		switch lasted := in.TimeS[i] - in.TimeS[at[1]]; {
		case n > 1 && lasted > loneS+1e-9 || slices.Contains(gaps(in, at[n], i), true):
			return 0
		case farBelow(v[i], before, open, i):
		case n > 0 && v[i] >= backShare*before:
			return n
		default:
			return 0
		}
	}
	return 0
}

// gaps are the marks of rows from one up to another: a battery that was lost in a
// gap of the record may have been down throughout.
func gaps(in Input, from, to int) []bool {
	if in.GapAfter == nil {
		return nil
	}
	return in.GapAfter[from:to]
}

// farBelow tells whether a reading lies far below the one before. A valve that was
// open in the row, or in those beside it, may explain a fifth.
func farBelow(v, before float64, open []bool, i int) bool {
	share := loneIdleShare
	if len(open) > 0 && slices.Contains(open[max(0, i-1):min(len(open), i+2)], true) {
		share = loneLoadShare
	}
	return v < (1-share)*before
}

func knownRows(v []float64) []int {
	var at []int
	for i, x := range v {
		if !math.IsNaN(x) {
			at = append(at, i)
		}
	}
	return at
}
