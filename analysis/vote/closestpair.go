package vote

import (
	"math"
	"math/bits"
)

// closestPair trusts the two cells that agree best, right or wrong.
func closestPair() Policy {
	return Policy{
		Name:    "closest-pair",
		Rule:    "The mean of the two readings nearest each other; of pairs equally near, the mean of their means.",
		Decides: true,
		New: func(cells int, p Params) Stepper {
			return &closestPairVote{p: p, cause: make([]Cause, min(cells, MaxCells))}
		},
	}
}

type closestPairVote struct {
	p     Params
	cause []Cause
}

// Why is the cause that put cell k out.
func (v *closestPairVote) Why(k int) Cause { return v.cause[k] }

// Step counts the cells of the closest pair, or pairs, and those voted in by hand.
// Out are the cells further from the number than the tolerance; one that is near
// without being of the pair is neither.
func (v *closestPairVote) Step(_ float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	if b.present == 0 {
		return none(b.barred)
	}
	voters, ok := b.voters()
	in, po2Bar, torn := nearestPairs(b, voters, v.p)
	in, po2Bar, torn = b.join(in, po2Bar, torn, v.p)
	var out uint64
	limit := v.p.outTolerance(po2Bar)
	for s := voters &^ in; s != 0; s &= s - 1 {
		k := bits.TrailingZeros64(s)
		if d := math.Abs(b.readings[k] - po2Bar); d > limit+tolerance {
			out |= 1 << k
			v.cause[k] = Cause{Against: in, From: "the mean of", As: "the closest pair", DistanceBar: d, LimitBar: limit}
		}
	}
	return b.decide(po2Bar, in, out|b.barred, torn, ok)
}

// nearestPairs are the cells of the pairs nearest each other, tied within 1e-6,
// and the mean of the pairs' means. torn tells that these means, or the two cells
// of a pair, lie further apart than the tolerance. One cell alone is its own pair.
func nearestPairs(b *ballot, voters uint64, p Params) (in uint64, po2Bar float64, torn bool) {
	if count(voters) == 1 {
		return voters, b.mean(voters), false
	}
	nearest := math.Inf(1)
	eachPair(voters, func(i, j int) {
		nearest = min(nearest, math.Abs(b.readings[i]-b.readings[j]))
	})
	lo, hi, sum, n := math.Inf(1), math.Inf(-1), 0.0, 0
	eachPair(voters, func(i, j int) {
		if math.Abs(b.readings[i]-b.readings[j]) <= nearest+tolerance {
			m := (b.readings[i] + b.readings[j]) / 2
			lo, hi, sum, n = min(lo, m), max(hi, m), sum+m, n+1
			in |= 1<<i | 1<<j
		}
	})
	po2Bar = sum / float64(n)
	return in, po2Bar, max(hi-lo, nearest) > p.outTolerance(po2Bar)+tolerance
}

// eachPair calls visit for every two cells of a set.
func eachPair(set uint64, visit func(i, j int)) {
	for ; set != 0; set &= set - 1 {
		i := bits.TrailingZeros64(set)
		for rest := set & (set - 1); rest != 0; rest &= rest - 1 {
			visit(i, bits.TrailingZeros64(rest))
		}
	}
}

// join adds the cells that were voted in by hand to those that a rule chose; if
// it did not choose them itself, the number becomes the mean of all these.
func (b *ballot) join(in uint64, po2Bar float64, torn bool, p Params) (uint64, float64, bool) {
	forced := b.forcedIn & b.present
	if forced&^in == 0 {
		return in, po2Bar, torn
	}
	in |= forced
	po2Bar = b.mean(in)
	return in, po2Bar, b.spreadOver(in, po2Bar, p)
}
