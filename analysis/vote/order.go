package vote

import (
	"math"
	"slices"
)

// Order is what the numbering of the cells does to a policy's outcome.
type Order struct {
	// Dependent is true where another numbering gives another PO2, by more than 1e-6
	// bar, at some row; Spans are when, Seconds how long in all.
	Dependent bool
	Spans     []Span
	Seconds   float64
	// WorstBar is the largest difference and WorstAtS its time; NaN where there is none.
	WorstBar, WorstAtS float64
	// Numberings is how many were tried beside the record's own. All is true where
	// these were all there are: up to four cells; of more, only those that turn or
	// reverse the row of cells are tried, and a policy may depend on others.
	Numberings int
	All        bool
}

// allUpTo is the number of cells up to which every numbering is tried: 24 of four.
const allUpTo = 4

// OrderDependent replays a policy under other numberings of the cells and says
// when its PO2 depends on them.
func OrderDependent(pol Policy, in Input, p Params) Order {
	in.check()
	t := newTurns(pol, in, p)
	o := Order{Numberings: len(t.numberings), All: t.cells <= allUpTo, WorstBar: math.NaN(), WorstAtS: math.NaN()}
	differs := make([]bool, len(in.TimeS))
	for i, tS := range in.TimeS {
		t.own.load(i)
		if t.atRest && t.own.calm(p) {
			continue
		}
		if d := t.step(tS); d > tolerance { // false for NaN: no cell reads in any order
			differs[i] = true
			if !(d <= o.WorstBar) {
				o.WorstBar, o.WorstAtS = d, tS
			}
		}
	}
	o.Spans = in.spans(func(i int) bool { return differs[i] })
	o.Dependent, o.Seconds = len(o.Spans) > 0, seconds(o.Spans)
	return o
}

// turns are votes on the same record under different numberings.
type turns struct {
	cells       int
	numberings  [][]int
	steppers    []Stepper // the record's own numbering first
	own, turned *row
	// atRest is true while every stepper is known to be as at its start.
	atRest bool
}

// rester is a [Stepper] that can say whether it is as at its start, with all cells
// in and none about to leave. On a calm row it then gives the same number whatever
// the numbering, and is at rest again.
type rester interface{ atRest() bool }

func newTurns(pol Policy, in Input, p Params) *turns {
	cells := min(len(in.Cells), MaxCells)
	t := &turns{cells: cells, numberings: numberings(cells), own: newRow(in, cells), turned: newRow(in, cells)}
	for range len(t.numberings) + 1 {
		t.steppers = append(t.steppers, pol.New(cells, p))
	}
	t.atRest = t.resting()
	return t
}

// step votes on the current row under all numberings and is the largest difference
// of PO2 from the record's own.
func (t *turns) step(tS float64) float64 {
	po2Bar, most := t.steppers[0].Step(tS, t.own.readings, t.own.manual).PO2Bar, 0.0
	for j, numbering := range t.numberings {
		t.turned.reorder(t.own, numbering)
		d := t.steppers[j+1].Step(tS, t.turned.readings, t.turned.manual)
		most = max(most, math.Abs(d.PO2Bar-po2Bar))
	}
	t.atRest = t.resting()
	return most
}

func (t *turns) resting() bool {
	for _, s := range t.steppers {
		if r, ok := s.(rester); !ok || !r.atRest() {
			return false
		}
	}
	return true
}

// calm tells whether no cell can be over the tolerance from any others, and
// nobody votes by hand.
func (r *row) calm(p Params) bool {
	for _, m := range r.manual {
		if m != ManualNone {
			return false
		}
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range r.readings {
		if x-x == 0 { // finite
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return hi-lo <= p.OutBar
}

// reorder makes r the row other with its cells in another order.
func (r *row) reorder(other *row, numbering []int) {
	for k, from := range numbering {
		r.readings[k] = other.readings[from]
		if r.manual != nil {
			r.manual[k] = other.manual[from]
		}
	}
}

// numberings are the orders of n cells to try, without the identity: all of them
// up to four cells, else the rotations, forwards and backwards.
func numberings(n int) [][]int {
	identity := make([]int, n)
	for k := range identity {
		identity[k] = k
	}
	if n <= allUpTo {
		return permutations(nil, identity, nil)[1:]
	}
	var out [][]int
	for turn := range n {
		forward := append(slices.Clone(identity[turn:]), identity[:turn]...)
		back := slices.Clone(forward)
		slices.Reverse(back)
		if turn > 0 {
			out = append(out, forward)
		}
		out = append(out, back)
	}
	return out
}

// permutations appends to out all orders of rest after head, the given one first.
func permutations(head, rest []int, out [][]int) [][]int {
	if len(rest) == 0 {
		return append(out, head)
	}
	for i, k := range rest {
		others := append(slices.Clone(rest[:i]), rest[i+1:]...)
		out = permutations(append(slices.Clone(head), k), others, out)
	}
	return out
}
