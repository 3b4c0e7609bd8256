package vote

import "math/bits"

// majority trusts the larger group, right or wrong.
func majority() Policy {
	return Policy{
		Name: "majority",
		Rule: "The mean of the largest group of readings that lie within the tolerance of each other; " +
			"of groups equally large, the mean of their means, undecided.",
		Decides: true,
		New: func(cells int, p Params) Stepper {
			n := min(cells, MaxCells)
			return &majorityVote{p: p, sorted: make([]float64, 0, n), cause: make([]Cause, n)}
		},
	}
}

type majorityVote struct {
	p      Params
	sorted []float64
	cause  []Cause
}

// Why is the cause that put cell k out.
func (v *majorityVote) Why(k int) Cause { return v.cause[k] }

// Step counts the largest group, or groups, and the cells voted in by hand; all
// others that read are out.
func (v *majorityVote) Step(_ float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	if b.present == 0 {
		return none(b.barred)
	}
	voters, ok := b.voters()
	v.sorted = b.sortedInto(v.sorted[:0], voters)
	in, po2Bar, torn := v.largest(b, voters)
	in, po2Bar, torn = b.join(in, po2Bar, torn, v.p)
	out := voters &^ in
	for s := out; s != 0; s &= s - 1 {
		k := bits.TrailingZeros64(s)
		v.cause[k] = fromFarthest(b, k, in, v.p)
	}
	return b.decide(po2Bar, in, out|b.barred, torn, ok)
}

// largest are the cells of the largest group, or of several equally large, and
// the mean of the groups' means. v.sorted holds the voters' readings.
func (v *majorityVote) largest(b *ballot, voters uint64) (in uint64, po2Bar float64, torn bool) {
	size, groups, sum := 0, 0, 0.0
	for i := range v.sorted {
		n, meanBar := v.groupFrom(i)
		if n > size {
			size, groups, sum, in = n, 0, 0, 0
		}
		if n == size {
			groups, sum = groups+1, sum+meanBar
			in |= b.within(voters, v.sorted[i], v.sorted[i+n-1])
		}
	}
	return in, sum / float64(groups), groups > 1
}

// groupFrom is the size and the mean of the largest group whose lowest reading is
// v.sorted[i].
func (v *majorityVote) groupFrom(i int) (size int, meanBar float64) {
	sum := 0.0
	for j := i; j < len(v.sorted); j++ {
		sum += v.sorted[j]
		m := sum / float64(j-i+1)
		if v.sorted[j]-v.sorted[i] <= v.p.outTolerance(m)+tolerance {
			size, meanBar = j-i+1, m
		}
	}
	return size, meanBar
}
