package ingest

// mergeColumn moves the values of a column to their new rows. Where two rows of
// one time both have a value and the values differ, the first stands.
func (rd *reader) mergeColumn(i int, to []int) {
	c := &rd.t.cols[i]
	contradicts := func(row int, read, kept string) {
		rd.problems.add(i, row, Problem{Line: rd.t.line[row], Column: c.name, Read: read, Severity: Warning, Code: "same-time-contradicts",
			Treatment: "left out: the row before has the same time and says " + shorten(kept), Want: "one row for each time"})
	}
	switch c.kind {
	case numberKind:
		c.values = merge(c.values, to, IsMissing, c.joinNumbers, func(row int, kept float64) {
			contradicts(row, c.asWritten(c.values[row]), c.asWritten(kept))
		})
	case codeKind:
		c.codes = merge(c.codes, to, func(v uint8) bool { return v == 0 }, joinNever[uint8], func(row int, kept uint8) {
			contradicts(row, c.def.words[c.codes[row]], c.def.words[kept])
		})
	case textKind:
		c.texts = merge(c.texts, to, func(s string) bool { return s == "" }, joinNever[string], func(row int, kept string) {
			contradicts(row, c.texts[row], kept)
		})
	default:
		c.marks = moveMarks(c.marks, to)
	}
}

// merge moves values in place. join may make one of two that differ.
func merge[T comparable](values []T, to []int, missing func(T) bool, join func(a, b T) (T, bool), contradicts func(row int, kept T)) []T {
	n := 0
	for i, k := range to {
		if k < 0 || i >= len(values) {
			continue
		}
		v := values[i]
		switch {
		case k == n: // the first row of its time
			values[k] = v
			n++
		case missing(values[k]):
			values[k] = v
		case missing(v) || v == values[k]:
		default:
			joined, ok := join(values[k], v)
			if !ok {
				contradicts(i, values[k])
				continue
			}
			values[k] = joined
		}
	}
	return values[:n]
}

func joinNever[T any](a, _ T) (T, bool) { return a, false }

// joinNumbers: a valve was not open in no time, so that a zero in one of two
// rows of one time does not contradict the seconds in the other.
func (c *column) joinNumbers(a, b float64) (float64, bool) {
	q := c.key.quantity
	if c.def != nil && (q == valveOpenQuantity || q == valveOpeningsQuantity) && (a == 0 || b == 0) {
		return a + b, true
	}
	return a, false
}

// moveMarks moves text to its new rows; text that a row has already is not repeated.
func moveMarks(marks []mark, to []int) []mark {
	moved := marks[:0]
	for _, m := range marks {
		if m.row = to[m.row]; m.row >= 0 && !hasMark(moved, m) {
			moved = append(moved, m)
		}
	}
	return moved
}

// comparedMarks bounds the cost of a file whose rows all have one time.
const comparedMarks = 100

func hasMark(marks []mark, m mark) bool {
	for i := len(marks) - 1; i >= 0 && i >= len(marks)-comparedMarks && marks[i].row == m.row; i-- {
		if marks[i].text == m.text {
			return true
		}
	}
	return false
}
