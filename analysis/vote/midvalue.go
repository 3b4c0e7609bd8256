package vote

import "slices"

// midValue is the classic mid-value select: one cell that fails moves it at most
// to the nearer of its healthy neighbours; two that fail alike win.
func midValue() Policy {
	return Policy{
		Name:    "mid-value",
		Rule:    "The median of all readings; of an even number, the mean of the two in the middle.",
		Decides: true,
		New: func(cells int, p Params) Stepper {
			return &midValueVote{p: p, sorted: make([]float64, 0, min(cells, MaxCells))}
		},
	}
}

type midValueVote struct {
	p      Params
	sorted []float64
}

// Step counts the one or two cells in the middle, and those that read the same.
func (v *midValueVote) Step(_ float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	if b.present == 0 {
		return none(b.barred)
	}
	voters, ok := b.voters()
	v.sorted = b.sortedInto(v.sorted[:0], voters)
	n := len(v.sorted)
	lo, hi := v.sorted[(n-1)/2], v.sorted[n/2]
	in := b.within(voters, lo, lo) | b.within(voters, hi, hi)
	return b.decide((lo+hi)/2, in, b.barred, hi-lo > v.p.outTolerance((lo+hi)/2)+tolerance, ok)
}

// sortedInto appends the readings of a set to buf and sorts them.
func (b *ballot) sortedInto(buf []float64, set uint64) []float64 {
	for k, r := range b.readings {
		if set>>k&1 == 1 {
			buf = append(buf, r)
		}
	}
	slices.Sort(buf)
	return buf
}
