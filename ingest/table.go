package ingest

// column is one column of the file while it is read.
type column struct {
	name string // as the header spells it
	line int    // of the name
	def  *columnDef
	key  columnKey
	kind columnKind
	// spare is true for a column whose quantity another column gives more directly.
	spare bool

	values []float64 // numberKind, in the base unit
	codes  []uint8   // codeKind
	texts  []string  // textKind
	marks  []mark    // sparseKind, in the order of rows

	// lowest and highest bound what needs no second look, in the file's unit.
	lowest, highest float64
	decimals        int // most digits after the point

	foreignColumn
}

// mark is text on a row.
type mark struct {
	row  int
	text string
}

// newColumn makes an unknown column; use gives it a meaning.
func newColumn(name string, line int) column {
	return column{name: name, line: line, kind: textKind}
}

func (c *column) use(d *columnDef, key columnKey) {
	c.def, c.key, c.kind = d, key, d.kind
	c.lowest, c.highest = d.bounds()
	if d.sentinels == neverNegative && c.lowest < 0 {
		c.lowest = 0
	}
	if d.sentinels != noSentinel && c.highest >= notRecorded65535 {
		c.highest = notRecorded65535 - 1
	}
}

// forget makes the column an unknown one; only before rows are read.
func (c *column) forget() { *c = newColumn(c.name, c.line) }

// grow makes room for n rows.
func (c *column) grow(n int) {
	switch c.kind {
	case numberKind:
		c.values = make([]float64, 0, n)
	case codeKind:
		c.codes = make([]uint8, 0, n)
	case textKind:
		c.texts = make([]string, 0, n)
	}
}

// addMissing adds a row in which nothing was recorded.
func (c *column) addMissing() {
	switch c.kind {
	case numberKind:
		c.values = append(c.values, Missing())
	case codeKind:
		c.codes = append(c.codes, 0)
	case textKind:
		c.texts = append(c.texts, "")
	}
}

// filled is the number of rows with a value.
func (c *column) filled() int {
	n := 0
	for _, v := range c.values {
		if !IsMissing(v) {
			n++
		}
	}
	for _, v := range c.codes {
		if v != 0 {
			n++
		}
	}
	for _, v := range c.texts {
		if v != "" {
			n++
		}
	}
	for i, m := range c.marks {
		if i == 0 || c.marks[i-1].row != m.row {
			n++
		}
	}
	return n
}

// extent is the smallest and the largest value, NaN without any.
func (c *column) extent() (lowest, highest float64) {
	lowest, highest = Missing(), Missing()
	for _, v := range c.values {
		if !(v >= lowest) && !IsMissing(v) {
			lowest = v
		}
		if !(v <= highest) && !IsMissing(v) {
			highest = v
		}
	}
	return lowest, highest
}

// asWritten is a value of the column as the file has it, but for trailing zeros
// and spellings that a float64 does not keep.
func (c *column) asWritten(v float64) string {
	if IsMissing(v) {
		return ""
	}
	return c.localized(formatFixed(c.def.inFile(v), c.decimals))
}

// step is the rounding step of the column in the base unit, 0 where unknown.
func (c *column) step() float64 {
	if c == nil || c.kind != numberKind {
		return 0
	}
	return c.def.width(roundingStep(c.values, c.def.perBase(), c.decimals))
}

// table is the whole log while it is read: one element per row in every column.
type table struct {
	cols   []column
	timeAt int // index of the time column
	timeS  []float64
	line   []int
}

func (t *table) rows() int { return len(t.timeS) }

// find is the column that gives a quantity, or nil.
func (t *table) find(key columnKey) *column {
	for i := range t.cols {
		if c := &t.cols[i]; c.def != nil && c.key == key && !c.spare {
			return c
		}
	}
	return nil
}

// single finds the column of a quantity that has one part.
func (t *table) single(q quantity) *column { return t.find(columnKey{quantity: q}) }

// numbered lists the columns of a quantity with a number, ascending.
func (t *table) numbered(q quantity) []*column {
	var found []*column
	for i := range t.cols {
		if c := &t.cols[i]; c.def != nil && c.key.quantity == q && c.key.number > 0 && !c.spare {
			found = append(found, c)
		}
	}
	sortColumns(found)
	return found
}
