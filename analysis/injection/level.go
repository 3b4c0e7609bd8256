package injection

import "math"

// stretch is a run of rows from..to-1.
type stretch struct{ from, to int }

func (s stretch) seconds(in Input) float64 {
	if s.to-s.from < 2 {
		return 0
	}
	return in.TimeS[s.to-1] - in.TimeS[s.from]
}

// levelStretches finds stretches without gap in which every row is usable and
// depth keeps within rangeM, of at least minS and at most maxS. They do not
// overlap and are as early and as long as they can be. Linear: each row enters
// and leaves the running extremes once.
func levelStretches(in Input, usable []bool, rangeM, minS, maxS float64) []stretch {
	var out []stretch
	var low, high extremes
	from := 0
	restart := func(at int) { from, low, high = at, extremes{}, extremes{} }
	for i := range in.TimeS {
		d := in.depth(i)
		usableRow := usable[i] && !math.IsNaN(d)
		if !usableRow || i > 0 && on(in.GapAfter, i-1, false) {
			out = keep(out, in, stretch{from, i}, minS)
			restart(i)
			if !usableRow {
				restart(i + 1)
				continue
			}
		}
		wide := math.Max(high.first(d), d)-math.Min(low.first(d), d) > rangeM+1e-9
		long := i > from && in.TimeS[i]-in.TimeS[from] > maxS+1e-9
		if s := (stretch{from, i}); (wide || long) && s.to > s.from && s.seconds(in) >= minS-1e-9 {
			out = append(out, s)
			restart(i)
		}
		low.push(i, d, func(a, b float64) bool { return a >= b })
		high.push(i, d, func(a, b float64) bool { return a <= b })
		for high.first(d)-low.first(d) > rangeM+1e-9 {
			from++
			low.drop(from)
			high.drop(from)
		}
	}
	return keep(out, in, stretch{from, len(in.TimeS)}, minS)
}

func keep(out []stretch, in Input, s stretch, minS float64) []stretch {
	if s.to > s.from && s.seconds(in) >= minS-1e-9 {
		out = append(out, s)
	}
	return out
}

// extremes is a queue of rows whose values are monotone: its head is the
// extreme of the running window.
type extremes struct {
	row []int
	v   []float64
}

func (e *extremes) push(row int, v float64, worse func(a, b float64) bool) {
	for len(e.v) > 0 && worse(e.v[len(e.v)-1], v) {
		e.row, e.v = e.row[:len(e.row)-1], e.v[:len(e.v)-1]
	}
	e.row, e.v = append(e.row, row), append(e.v, v)
}

// drop removes what lies before row from.
func (e *extremes) drop(from int) {
	for len(e.row) > 0 && e.row[0] < from {
		e.row, e.v = e.row[1:], e.v[1:]
	}
}

func (e *extremes) first(otherwise float64) float64 {
	if len(e.v) == 0 {
		return otherwise
	}
	return e.v[0]
}
