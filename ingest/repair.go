package ingest

import (
	"fmt"
	"math"
	"sort"
)

// repair puts the rows in order of time and settles what only the whole column
// can tell.
func (rd *reader) repair() error {
	if err := rd.orderRows(); err != nil {
		return err
	}
	for i := range rd.t.cols {
		rd.findSentinels(i)
	}
	for i := range rd.t.cols {
		if rd.t.cols[i].spare {
			rd.compareSpare(i)
		}
	}
	return nil
}

// orderRows makes time strictly increasing: rows against the order are left
// out, rows of one time become one.
func (rd *reader) orderRows() error {
	t := &rd.t
	if strictlyIncreasing(t.timeS) {
		return nil
	}
	keep := longestInOrder(t.timeS)
	out := t.rows() - count(keep)
	if err := rd.tooManyOut(keep, out); err != nil {
		return err
	}
	rd.sayLeftOut(keep)
	to := targets(t.timeS, keep)
	for i := range t.cols {
		rd.mergeColumn(i, to)
	}
	rd.sayMerged(keep, to)
	t.moveRows(to)
	return nil
}

func strictlyIncreasing(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if !(x[i] > x[i-1]) {
			return false
		}
	}
	return true
}

func count(set []bool) int {
	n := 0
	for _, in := range set {
		if in {
			n++
		}
	}
	return n
}

// longestInOrder marks the longest run of rows, not necessarily neighbours,
// whose time never falls: what is left out is the least that restores order, so
// that one wild time costs one row and not all that follow. Of two runs of one
// length it takes the one with the earlier rows. O(n log n): a patience sort
// from the end.
func longestInOrder(tS []float64) []bool {
	n := len(tS)
	next := make([]int, n) // the row that follows in the best run from here, -1 at its end
	var heads []int        // heads[k]: first row of the best run of length k+1
	for i := n - 1; i >= 0; i-- {
		k := sort.Search(len(heads), func(k int) bool { return tS[heads[k]] < tS[i] })
		next[i] = -1
		if k > 0 {
			next[i] = heads[k-1]
		}
		if k == len(heads) {
			heads = append(heads, i)
		} else {
			heads[k] = i
		}
	}
	keep := make([]bool, n)
	if len(heads) == 0 {
		return keep
	}
	for i := heads[len(heads)-1]; i >= 0; i = next[i] {
		keep[i] = true
	}
	return keep
}

// tooManyOut ends the reading where time starts again: that is a second dive or
// a clock that was set, and joining the two would invent a dive.
func (rd *reader) tooManyOut(keep []bool, out int) error {
	t := &rd.t
	if out < minBackwardsRows || float64(out) <= maxBackwardsFraction*float64(len(keep)) {
		return nil
	}
	at := 1
	for at < len(keep)-1 && t.timeS[at] >= t.timeS[at-1] {
		at++
	}
	return rd.problems.fatal(t.line[at], "time-restarts", rd.timeText(at),
		fmt.Sprintf("a second dive or a clock that was set: %d of %d rows are against the order of time", out, len(keep)),
		rd.wantOneDive())
}

func (rd *reader) timeText(row int) string {
	c := &rd.t.cols[rd.t.timeAt]
	if c.clock != nil {
		return c.clock.text(rd.t.timeS[row], c.decimals)
	}
	if c.kind == clockKind {
		return clockText(rd.t.timeS[row], c.decimals)
	}
	return c.asWritten(rd.t.timeS[row])
}

// clockText is a time as h:mm:ss, the day left out.
func clockText(tS float64, decimals int) string {
	tS = math.Mod(tS, secondsPerDay)
	h := math.Floor(tS / secondsPerHour)
	m := math.Floor((tS - h*secondsPerHour) / secPerMin)
	s := tS - h*secondsPerHour - m*secPerMin
	width := 2
	if decimals > 0 {
		width = 3 + decimals
	}
	return fmt.Sprintf("%d:%02d:%0*.*f", int(h), int(m), width, decimals, s)
}

func (rd *reader) sayLeftOut(keep []bool) {
	for i, in := range keep {
		if !in {
			rd.timeProblem(i, Problem{Severity: Warning, Code: "time-backwards",
				Treatment: "a row left out, because its time is against the order of the rows around it", Want: "time that increases from row to row"})
		}
	}
}

func (rd *reader) timeProblem(row int, p Problem) {
	p.Line, p.Read = rd.t.line[row], rd.timeText(row)
	p.Column = rd.t.cols[rd.t.timeAt].name
	rd.problems.add(rd.t.timeAt, row, p)
}

// targets gives every row the index that it will have, -1 for those left out;
// rows of one time share an index.
func targets(tS []float64, keep []bool) []int {
	to := make([]int, len(tS))
	n, last := -1, math.NaN()
	for i := range tS {
		switch {
		case !keep[i]:
			to[i] = -1
			continue
		case tS[i] != last:
			n++
			last = tS[i]
		}
		to[i] = n
	}
	return to
}

func (rd *reader) sayMerged(keep []bool, to []int) {
	last := -1
	for i := range to {
		if keep[i] && to[i] == last {
			rd.timeProblem(i, Problem{Severity: Info, Code: "same-time",
				Treatment: "one row with the row before it of the same time", Want: "one row for each time"})
		}
		if keep[i] {
			last = to[i]
		}
	}
}

// moveRows shortens the times and lines.
func (t *table) moveRows(to []int) {
	n := 0
	for i, k := range to {
		if k == n {
			t.timeS[n], t.line[n] = t.timeS[i], t.line[i]
			n++
		}
	}
	t.timeS, t.line = t.timeS[:n], t.line[:n]
}
