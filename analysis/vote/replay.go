package vote

import (
	"math"
	"slices"
)

// Input is what a record holds for a vote.
type Input struct {
	// TimeS are the times of the rows in seconds, strictly increasing.
	TimeS []float64
	// Cells has for each cell its readings in bar by row; NaN is no reading.
	Cells [][]float64
	// Numbers are the cells' numbers, as people know them.
	Numbers []int
	// Manual has for each cell the diver's vote in force by row; nil for none, for all
	// or for one cell.
	Manual [][]Manual
	// GapAfter tells of a gap between a row and the next; nil for none.
	GapAfter []bool
}

// Span is a stretch of time in seconds. A row holds until the next; a gap and the
// end of the record end a span at the last row before them.
type Span struct{ FromS, ToS float64 }

// Out is a stretch in which a cell was voted out.
type Out struct {
	Cell       int // its number
	FromS, ToS float64
	// Reason says why to people, as in "cell 3 is 0.23 bar from the mean of cells 1 and
	// 2; limit 0.20".
	Reason string
}

// Reminder is the moment, of those logged, at which a cell has been out for long.
type Reminder struct {
	Cell           int // its number
	AtS, OutSinceS float64
}

// Result is the replay of one policy.
type Result struct {
	Policy string
	// Cells are the numbers of the cells that took part: bit k of In is that of
	// Cells[k]. LeftOut are those beyond [MaxCells].
	Cells, LeftOut []int
	// PO2Bar, LowBar, HighBar, State and In are by row; see [Decision]. LowBar and
	// HighBar may be the same slice as PO2Bar: don't write to them.
	PO2Bar, LowBar, HighBar []float64
	State                   []State
	In                      []uint64
	// VotedOut is in order of its begin; Undecided and Reminders of time.
	VotedOut  []Out
	Undecided []Span
	Reminders []Reminder
	// UndecidedS and NoneS are the seconds in the states undecided and none.
	UndecidedS, NoneS float64
}

// Replay runs a policy over a record. The vote goes on over gaps as a unit's would;
// spans end at them.
func Replay(pol Policy, in Input, p Params) Result {
	in.check()
	n, cells := len(in.TimeS), min(len(in.Cells), MaxCells)
	r := Result{
		Policy: pol.Name, Cells: in.Numbers[:cells], LeftOut: in.Numbers[cells:],
		PO2Bar: make([]float64, n),
		State:  make([]State, n), In: make([]uint64, n),
	}
	stepper := pol.New(cells, p)
	row := newRow(in, cells)
	log := outLog{in: in, row: row, p: p, explain: explainerOf(stepper), since: make([]open, cells)}
	for i, tS := range in.TimeS {
		row.load(i)
		d := stepper.Step(tS, row.readings, row.manual)
		r.PO2Bar[i], r.State[i], r.In[i] = d.PO2Bar, d.State, d.In
		r.bounds(i, d)
		log.add(i, d)
	}
	if r.LowBar == nil {
		r.LowBar, r.HighBar = r.PO2Bar, r.PO2Bar
	}
	r.VotedOut, r.Reminders = log.outs, log.reminders
	r.Undecided = in.spans(func(i int) bool { return r.State[i] == Undecided })
	r.UndecidedS = seconds(r.Undecided)
	r.NoneS = seconds(in.spans(func(i int) bool { return r.State[i] == None }))
	return r
}

// bounds stores the lowest and the highest of row i. While no row was undecided
// they are PO2Bar itself: a long record has many columns as it is.
func (r *Result) bounds(i int, d Decision) {
	if r.LowBar == nil {
		if d.State != Undecided {
			return
		}
		r.LowBar, r.HighBar = slices.Clone(r.PO2Bar), slices.Clone(r.PO2Bar)
	}
	r.LowBar[i], r.HighBar[i] = d.LowBar, d.HighBar
}

// check panics where slices differ in length, which only a caller's mistake can
// bring about.
func (in Input) check() {
	n := len(in.TimeS)
	if len(in.Numbers) != len(in.Cells) || in.Manual != nil && len(in.Manual) != len(in.Cells) {
		panic("vote: cells, numbers and manual votes differ in length")
	}
	if in.GapAfter != nil && len(in.GapAfter) != n {
		panic("vote: time and gaps differ in length")
	}
	for _, c := range in.Cells {
		if len(c) != n {
			panic("vote: time and readings differ in length")
		}
	}
	for _, m := range in.Manual {
		if m != nil && len(m) != n {
			panic("vote: time and manual votes differ in length")
		}
	}
}

// row is one row of a record, as a stepper takes it.
type row struct {
	in       Input
	readings []float64
	manual   []Manual // nil where the record has none
}

func newRow(in Input, cells int) *row {
	r := &row{in: in, readings: make([]float64, cells)}
	if in.Manual != nil {
		r.manual = make([]Manual, cells)
	}
	return r
}

func (r *row) load(i int) {
	for k := range r.readings {
		r.readings[k] = r.in.Cells[k][i]
	}
	for k := range r.manual {
		if m := r.in.Manual[k]; m != nil {
			r.manual[k] = m[i]
		}
	}
}

// endsAt tells whether no time is known to pass between row i and the next.
func (in Input) endsAt(i int) bool {
	return i == len(in.TimeS)-1 || in.GapAfter != nil && in.GapAfter[i]
}

// spans are the stretches over whose rows holds is true.
func (in Input) spans(holds func(i int) bool) []Span {
	var spans []Span
	fromS := math.NaN()
	for i, tS := range in.TimeS {
		on := holds(i)
		switch {
		case on && math.IsNaN(fromS):
			fromS = tS
		case !on && !math.IsNaN(fromS):
			spans, fromS = append(spans, Span{fromS, tS}), math.NaN()
		}
		if on && in.endsAt(i) {
			spans, fromS = append(spans, Span{fromS, tS}), math.NaN()
		}
	}
	return spans
}

func seconds(spans []Span) float64 {
	sum := 0.0
	for _, s := range spans {
		sum += s.ToS - s.FromS
	}
	return sum
}
