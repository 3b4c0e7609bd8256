package vote

import (
	"math"
	"math/bits"
)

// worstFirst votes out by distance instead of by number, which makes it
// independent of the numbering of the cells.
func worstFirst() Policy {
	return Policy{
		Name: "worst-first",
		Rule: "The mean of the cells that are in: at each row those out that have come near return together, " +
			"then the cell farthest from the mean of the others goes out, again and again, as long as two others stay.",
		Decides: true,
		New:     func(cells int, p Params) Stepper { return &worstFirstVote{newLatch(cells, p)} },
	}
}

type worstFirstVote struct{ latch }

func (v *worstFirstVote) Step(tS float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	v.obey(b)
	if in := b.present &^ v.out; in != 0 {
		v.out &^= v.returning(b, b.present&v.out&^b.barred, b.mean(in), tS)
	}
	in := b.present &^ v.out
	going, torn := v.worst(b, in)
	for s := in &^ b.forcedIn; s != 0; s &= s - 1 {
		k := bits.TrailingZeros64(s)
		if v.ripe(k, going>>k&1 == 1, tS, v.p.OutAfterS) {
			v.out |= 1 << k
		}
	}
	return v.result(b, torn)
}

// worst are the cells that would go out at this row if none had to wait: the
// farthest first, then the farthest of the rest. torn tells that cells equally far
// could not all go, since fewer than two would have stayed.
func (v *worstFirstVote) worst(b *ballot, in uint64) (going uint64, torn bool) {
	for count(in) >= 3 {
		far := v.farthest(b, in)
		if far == 0 {
			return going, false
		}
		if count(in&^far) < 2 {
			return going, true
		}
		for s := far; s != 0; s &= s - 1 {
			k := bits.TrailingZeros64(s)
			others := in &^ (1 << k)
			v.cause[k] = fromMean(b, k, others, v.p)
		}
		going |= far
		in &^= far
	}
	return going, false
}

// farthest are the cells, tied within 1e-6, that lie farthest from the mean of the
// others and over the tolerance; 0 where there is none. At least three are in.
func (v *worstFirstVote) farthest(b *ballot, in uint64) uint64 {
	sum, n := b.sum(in), float64(count(in))
	most := 0.0
	for s := in &^ b.forcedIn; s != 0; s &= s - 1 {
		r := b.readings[bits.TrailingZeros64(s)]
		most = max(most, math.Abs(r-(sum-r)/(n-1)))
	}
	var far uint64
	if most <= v.p.OutBar+tolerance {
		return 0
	}
	for s := in &^ b.forcedIn; s != 0; s &= s - 1 {
		k := bits.TrailingZeros64(s)
		r := b.readings[k]
		others := (sum - r) / (n - 1)
		if d := math.Abs(r - others); d >= most-tolerance && d > v.p.outTolerance(others)+tolerance {
			far |= 1 << k
		}
	}
	return far
}
