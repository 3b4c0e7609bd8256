package analysis

import "fmt"

// sameSerial are two cells, one of each half, that bear one serial number and
// were not read alike.
type sameSerial struct {
	first, second int // their numbers in the joined dive
	a, b          []float64
}

// readApart tells whether two readings of what is called one cell differ by more
// than the tolerance of the vote for as long as cells that disagree do. A cell has
// one reading: what is read so differently is two cells, or one of the two
// channels is off, and dropping either would hide it.
func (m *join) readApart(a, b []float64) bool {
	d := sideBySide(a, b)
	if d == nil {
		return false
	}
	over := func(i int) bool { return d[i] > m.jump+tol || d[i] < -m.jump-tol }
	return len(lasting(spansWhere(m.tS, m.out.GapAfter(), over), m.apartS)) > 0
}

// keepApart notes that cell was of the second log stays a cell of its own beside
// cell n, whose serial number it bears.
func (m *join) keepApart(n, was int, po2 []float64) {
	x, y := &m.j.half[0], &m.j.half[1]
	m.j.twoCells = append(m.j.twoCells, sameSerial{n, len(m.out.Cells) + 1, m.own(m.a.Cells[n-1].PO2Bar), po2})
	m.j.rules = append(m.j.rules, fmt.Sprintf("cell %d of half %s has the serial number of cell %d of half %s, but was read more than %s apart from it for %s or more: they are kept as two cells", was, y.letter, n, x.letter, bar(m.jump), duration(m.apartS)))
}

// oneCellReadTwice are the quantities of the check `halves-disagree` for cells
// with one serial number and two readings.
func (b *bench) oneCellReadTwice() []halvesQuantity {
	if b.doubled == nil {
		return nil
	}
	var out []halvesQuantity
	for _, c := range b.doubled.twoCells {
		out = append(out, halvesQuantity{"reading of one cell", "bar", c.a, c.b, b.p.Vote.OutBar, "the tolerance of the vote, common practice", Caution,
			func(span, []float64) (int, []string) {
				return -1, []string{fmt.Sprintf("cells %d and %d bear one serial number and are kept as two cells: a serial number may be wrong, or one half reads the cell wrongly", c.first, c.second)}
			}, []int{c.first, c.second}})
	}
	return out
}
