package vote

import (
	"math"
	"math/bits"
)

// latch is the memory of a policy that votes cells out and in again: who is out,
// and since when a cell that is about to change sides has met the condition. A
// cell without a reading keeps all of it.
type latch struct {
	p     Params
	out   uint64
	since []float64 // NaN where the cell is not about to change
	cause []Cause
}

func newLatch(cells int, p Params) latch {
	cells = min(cells, MaxCells)
	l := latch{p: p, since: make([]float64, cells), cause: make([]Cause, cells)}
	for k := range l.since {
		l.since[k] = math.NaN()
	}
	return l
}

// Why is the cause that put cell k out.
func (l *latch) Why(k int) Cause { return l.cause[k] }

// atRest makes a latch a rester.
func (l *latch) atRest() bool {
	if l.out != 0 {
		return false
	}
	for _, s := range l.since {
		if !math.IsNaN(s) {
			return false
		}
	}
	return true
}

// obey lets the diver's own votes move cells at once.
func (l *latch) obey(b *ballot) {
	moved := l.out&b.forcedIn | b.barred&^l.out
	for s := b.forcedIn | b.barred; s != 0; s &= s - 1 {
		l.since[bits.TrailingZeros64(s)] = math.NaN()
	}
	for s := moved; s != 0; s &= s - 1 {
		l.cause[bits.TrailingZeros64(s)] = Cause{}
	}
	l.out = l.out&^b.forcedIn | b.barred
}

// ripe tells whether cell k, for which the condition to change sides is met or
// not at tS, has met it for afterS seconds.
func (l *latch) ripe(k int, met bool, tS, afterS float64) bool {
	if !met {
		l.since[k] = math.NaN()
		return false
	}
	if math.IsNaN(l.since[k]) {
		l.since[k] = tS
	}
	if tS-l.since[k] < afterS-1e-9 {
		return false
	}
	l.since[k] = math.NaN()
	return true
}

// returning are the cells of a set, all of them out, that are near enough to
// meanBar to come back and have been for long enough.
func (l *latch) returning(b *ballot, set uint64, meanBar, tS float64) uint64 {
	var back uint64
	limit := l.p.inTolerance(meanBar)
	for ; set != 0; set &= set - 1 {
		k := bits.TrailingZeros64(set)
		met := math.Abs(b.readings[k]-meanBar) < limit-tolerance
		if l.ripe(k, met, tS, l.p.InAfterS) {
			back |= 1 << k
		}
	}
	return back
}

// result is the mean of those in, once the votes are cast.
func (l *latch) result(b *ballot, torn bool) Decision {
	if b.present == 0 {
		return none(l.out)
	}
	in, ok := b.present&^l.out, true
	if in == 0 {
		in, ok = b.present, false
	}
	po2Bar := b.mean(in)
	return b.decide(po2Bar, in, l.out, torn || b.spreadOver(in, po2Bar, l.p), ok)
}
