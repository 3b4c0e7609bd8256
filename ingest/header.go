package ingest

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
)

// Want texts that several errors share.
const (
	wantHeader = "a header with time_s (or time_min, time), depth_m (or ambient_bar) and cell1_po2_bar ...; lines above it begin with #"
	wantCells  = "cell1_po2_bar (or _ata, _kpa, _mbar), or cell1_mv with cell1_cal_mv and cell1_cal_po2_bar, for each cell"
)

// readHeader takes the first record that is neither blank nor metadata and
// settles what each column is.
func (rd *reader) readHeader() error {
	if rd.s.tooLong() {
		return rd.lineTooLong()
	}
	if !rd.s.next() {
		return rd.problems.fatal(rd.s.line, "no-header", "the end of the file", "a file that is no loop log", wantHeader)
	}
	rec := &rd.s.rec
	if len(rec.fields) > MaxColumns {
		return rd.problems.fatal(rec.line, "too-many-columns", fmt.Sprintf("more than %d columns", MaxColumns),
			"a file that is no loop log", wantHeader)
	}
	rd.headerLine = rec.line
	for i, f := range rec.fields {
		rd.t.cols = append(rd.t.cols, newColumn(rd.text(f), rec.lineOf(i)))
	}
	rd.headerText = rd.t.headerText()
	for i := range rd.t.cols {
		rd.nameColumn(i)
	}
	rd.limitCells()
	rd.settleRepeats()
	rd.dropOrphans()
	return rd.requireColumns()
}

func (t *table) headerText() string {
	names := make([]string, len(t.cols))
	for i := range t.cols {
		names[i] = t.cols[i].name
	}
	return strings.Join(names, ",")
}

// nameColumn finds what column i means.
func (rd *reader) nameColumn(i int) {
	c := &rd.t.cols[i]
	def, key, exact := match(c.name)
	switch {
	case def == nil:
		rd.columnProblem(i, Info, "unknown-column", "a column that the format does not define; it is kept as text", "")
	case !exact:
		rd.columnProblem(i, Info, "name-spelling", fill(def.name, key.number, key.letter), fill(def.name, key.number, key.letter))
	}
	if def != nil {
		c.use(def, key)
	}
}

func (rd *reader) columnProblem(i int, s Severity, code, treatment, want string) {
	c := &rd.t.cols[i]
	rd.problems.add(i, wholeFile, Problem{Line: c.line, Column: c.name, Read: c.name, Severity: s,
		Code: code, Treatment: treatment, Want: want})
}

// limitCells keeps the first MaxCells cells by number.
func (rd *reader) limitCells() {
	numbers := rd.t.cellNumbers()
	if len(numbers) <= MaxCells {
		return
	}
	last := numbers[MaxCells-1]
	for i := range rd.t.cols {
		c := &rd.t.cols[i]
		if c.isOfCell() && c.key.number > last {
			c.forget()
			rd.columnProblem(i, Warning, "too-many-cells",
				fmt.Sprintf("text: no more than %d cells are read", MaxCells), "")
		}
	}
}

func (c *column) isOfCell() bool {
	q := c.key.quantity
	return c.def != nil && (q == cellPO2Quantity || q == cellMVQuantity || q == cellVoteQuantity)
}

// cellNumbers lists the cells that have readings, ascending.
func (t *table) cellNumbers() []int {
	seen := map[int]bool{}
	var numbers []int
	for i := range t.cols {
		c := &t.cols[i]
		if c.isOfCell() && c.key.quantity != cellVoteQuantity && !seen[c.key.number] {
			seen[c.key.number] = true
			numbers = append(numbers, c.key.number)
		}
	}
	sort.Ints(numbers)
	return numbers
}

// settleRepeats lets the most direct of several columns with one quantity give
// it: the one in the base unit, else the one further left. The others are
// compared with it once the rows are read.
func (rd *reader) settleRepeats() {
	best := map[columnKey]int{}
	for i := range rd.t.cols {
		c := &rd.t.cols[i]
		if c.def == nil {
			continue
		}
		j, ok := best[c.key]
		if !ok || rank(c.def) < rank(rd.t.cols[j].def) {
			best[c.key] = i
		}
	}
	for i := range rd.t.cols {
		c := &rd.t.cols[i]
		if c.def != nil && best[c.key] != i {
			rd.setAside(i, rd.t.cols[best[c.key]].name)
		}
	}
}

// setAside marks a column as spare; words cannot be compared and become text.
func (rd *reader) setAside(i int, used string) {
	if c := &rd.t.cols[i]; c.kind == numberKind {
		c.spare = true
		return
	}
	rd.t.cols[i].forget()
	rd.columnProblem(i, Warning, "repeated-column", fmt.Sprintf("text: column %q gives the same and is used", used), "one column for each quantity")
}

// rank is the place of a definition in the format's table.
func rank(d *columnDef) int {
	for i := range columnDefs {
		if d.name == columnDefs[i].name {
			return i
		}
	}
	return len(columnDefs)
}

// dropOrphans turns the votes of cells without readings into text.
func (rd *reader) dropOrphans() {
	for i := range rd.t.cols {
		c := &rd.t.cols[i]
		if c.def == nil || c.key.quantity != cellVoteQuantity || rd.t.hasCell(c.key.number) {
			continue
		}
		c.forget()
		rd.columnProblem(i, Info, "vote-without-cell", "text: the cell has no readings", wantCells)
	}
}

func (t *table) hasCell(n int) bool {
	return t.find(columnKey{quantity: cellPO2Quantity, number: n}) != nil ||
		t.find(columnKey{quantity: cellMVQuantity, number: n}) != nil
}

// requireColumns settles the time column and makes sure of what a log must have.
func (rd *reader) requireColumns() error {
	t := &rd.t
	t.timeAt = -1
	for i := range t.cols {
		if c := &t.cols[i]; c.def != nil && c.key.quantity == timeQuantity && !c.spare {
			t.timeAt = i
		}
	}
	if t.timeAt < 0 {
		return rd.noHeader()
	}
	if len(t.cellNumbers()) == 0 {
		return rd.problems.fatal(rd.headerLine, "no-cells", rd.headerText, "a log without oxygen cells", wantCells)
	}
	if !t.hasPressure() {
		return rd.problems.fatal(rd.headerLine, "no-depth", rd.headerText, "a log without depth or pressure",
			"depth_m (or depth_ft, depth_msw, depth_fsw), or ambient_bar")
	}
	return nil
}

func (t *table) hasPressure() bool {
	return t.single(depthQuantity) != nil || t.single(pressureDepthQuantity) != nil ||
		t.single(ambientQuantity) != nil || len(t.numbered(ambientQuantity)) > 0
}

// noHeader guesses why the first line without # is no header.
func (rd *reader) noHeader() error {
	text := rd.headerText
	treatment := "a header without a time column"
	switch _, _, isNumber := parseDecimal([]byte(rd.t.cols[0].name)); {
	case strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") || strings.ContainsRune(text, 0):
		treatment = "no text in UTF-8"
	case isNumber:
		treatment = "a row of numbers where the header should be"
	case strings.ContainsAny(text, ";\t") && len(rd.t.cols) == 1:
		treatment = "a header whose names are not parted by commas"
	}
	return rd.problems.fatal(rd.headerLine, "no-header", text, treatment, wantHeader)
}

// isHeaderAgain tells whether a record repeats the header.
func (rd *reader) isHeaderAgain(rec *record) bool {
	if len(rec.fields) != len(rd.t.cols) {
		return false
	}
	for i, f := range rec.fields {
		if !bytes.Equal(bytes.TrimSpace(f), []byte(strings.TrimSpace(rd.t.cols[i].name))) {
			return false
		}
	}
	return true
}
