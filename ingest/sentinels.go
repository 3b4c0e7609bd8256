package ingest

import (
	"fmt"
	"math"
)

// run is a stretch of rows, both ends included.
type run struct{ from, to int }

// runsOf lists the stretches of recorded values for which is holds; a row
// without a value does not end one.
func runsOf(values []float64, is func(float64) bool) []run {
	var runs []run
	open := false
	for i, v := range values {
		switch {
		case IsMissing(v):
		case !is(v):
			open = false
		case open:
			runs[len(runs)-1].to = i
		default:
			runs = append(runs, run{i, i})
			open = true
		}
	}
	return runs
}

// findSentinels looks through a column for the numbers whose meaning only their
// neighbours tell.
func (rd *reader) findSentinels(i int) {
	c := &rd.t.cols[i]
	if c.kind != numberKind || i == rd.t.timeAt {
		return
	}
	lowest, highest := c.extent()
	if c.def.sentinels == maybeNegative && lowest <= c.def.base(notRecordedMinus1) {
		rd.findMinusOnes(i)
	}
	if !c.isPO2() {
		return
	}
	if lowest == 0 {
		rd.sayZeros(i)
	}
	if highest >= displayLimit {
		rd.sayDisplayLimit(i)
	}
}

func (c *column) isPO2() bool {
	q := c.key.quantity
	return q == cellPO2Quantity || q == unitPO2Quantity || q == halfPO2Quantity
}

// findMinusOnes tells a -1 that stands for "not recorded" from one that is a
// value by how it persists: a value is come to and left in steps, the other is
// jumped to and from. A whole column of -1 measured nothing.
func (rd *reader) findMinusOnes(i int) {
	c := &rd.t.cols[i]
	minusOne := c.def.base(notRecordedMinus1)
	runs := runsOf(c.values, func(v float64) bool { return v == minusOne })
	for _, r := range runs {
		before, after := neighbour(c.values, r.from, -1), neighbour(c.values, r.to, +1)
		if c.isValueBetween(before, after, r) {
			rd.columnRun(i, r, "-1", Info, "minus-one", "the value -1: the rows around it are near it")
			continue
		}
		rd.columnRun(i, r, "-1", Info, "sentinel", "not recorded")
		for k := r.from; k <= r.to; k++ {
			c.values[k] = Missing()
		}
	}
}

// neighbour is the next recorded value from row in the direction of step, NaN at the end.
func neighbour(values []float64, row, step int) float64 {
	for row += step; row >= 0 && row < len(values); row += step {
		if !IsMissing(values[row]) {
			return values[row]
		}
	}
	return Missing()
}

// isValueBetween decides for a run of -1 with the values at its ends.
func (c *column) isValueBetween(before, after float64, r run) bool {
	minusOne := c.def.base(notRecordedMinus1)
	if IsMissing(before) && IsMissing(after) {
		return r.to-r.from+1 < minSeenRows
	}
	near := func(v float64) bool { return math.Abs(v-minusOne) <= c.def.jump }
	return near(before) || near(after)
}

// columnRun notes one problem for a whole run of rows.
func (rd *reader) columnRun(i int, r run, read string, s Severity, code, treatment string) {
	c := &rd.t.cols[i]
	n := 0
	for _, v := range c.values[r.from : r.to+1] {
		if !IsMissing(v) {
			n++
		}
	}
	rd.problems.addMany(n, i, Problem{Line: rd.t.line[r.from], Column: c.name, Read: read, Severity: s, Code: code, Treatment: treatment})
}

// sayZeros lists readings of exactly 0: the vote saw them, so they stay.
func (rd *reader) sayZeros(i int) {
	c := &rd.t.cols[i]
	for _, r := range runsOf(c.values, func(v float64) bool { return v == 0 }) {
		rd.columnRun(i, r, c.asWritten(0), Info, "zero-reading", "a reading of 0, which the vote saw")
	}
}

// sayDisplayLimit lists runs of 9.99. They are kept as read: only that the true
// value may be higher is said.
func (rd *reader) sayDisplayLimit(i int) {
	c := &rd.t.cols[i]
	runs, single := displayRuns(c)
	for _, r := range runs {
		rd.columnRun(i, r, "9.99", Info, "display-limit", "9.99, at or above what the display can show")
	}
	for _, r := range single {
		rd.columnRun(i, r, "9.99", Info, "display-limit-once", "the value 9.99: one row alone does not tell a spike from the display's limit")
	}
}

// displayRuns finds the readings of 9.99 in the unit of the display (bar or
// ata). Where the column goes higher, the display can show more, and 9.99 is a
// value like another. runs last two rows or more, single but one.
func displayRuns(c *column) (runs, single []run) {
	limit := float64(displayLimit)
	if c.def.from == "ata" {
		limit = c.def.base(displayLimit)
	}
	atLimit := func(v float64) bool { return math.Abs(v-limit) < 1e-9 }
	if _, highest := c.extent(); highest > limit+1e-9 {
		return nil, nil
	}
	for _, r := range runsOf(c.values, atLimit) {
		if r.to > r.from {
			runs = append(runs, r)
		} else {
			single = append(single, r)
		}
	}
	return runs, single
}

// atDisplayLimit marks the rows of a cell that are at the display's limit, nil for none.
func atDisplayLimit(c *column) []bool {
	runs, _ := displayRuns(c)
	if len(runs) == 0 {
		return nil
	}
	marks := make([]bool, len(c.values))
	for _, r := range runs {
		for k := r.from; k <= r.to; k++ {
			marks[k] = !IsMissing(c.values[k])
		}
	}
	return marks
}

// compareSpare compares a column with the one that gives its quantity more
// directly and says whether they agree within the rounding of both.
func (rd *reader) compareSpare(i int) {
	c, used := &rd.t.cols[i], rd.t.find(rd.t.cols[i].key)
	values := used.values
	if used == &rd.t.cols[rd.t.timeAt] {
		values = rd.t.timeS
	}
	slack := 0.51*(c.lastDigit()+used.lastDigit()) + 1e-9
	p := Problem{Line: c.line, Column: c.name, Read: c.name, Severity: Info, Code: "repeated-column",
		Treatment: fmt.Sprintf("left out: column %q gives the same and is used; they agree", used.name)}
	for row, v := range c.values {
		if math.Abs(v-values[row]) > slack {
			p.Severity, p.Line, p.Read = Warning, rd.t.line[row], c.asWritten(v)
			p.Treatment = fmt.Sprintf("left out: column %q gives the same, is used, and says %s here", used.name, shortNumber(values[row])+" "+used.def.unit)
			break
		}
	}
	rd.problems.add(i, wholeFile, p)
}

// lastDigit is the worth of the last digit that the file writes, in the base unit.
func (c *column) lastDigit() float64 {
	return c.def.width(math.Pow(10, -float64(c.decimals)))
}
