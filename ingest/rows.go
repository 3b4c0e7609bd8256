package ingest

import (
	"bytes"
	"fmt"
)

// readRows reads everything below the header.
func (rd *reader) readRows() error {
	rd.makeRoom()
	rd.s.looksLikeRow = rd.looksLikeRow
	blankLine := 0
	for !rd.s.tooLong() {
		if rd.lateComment() {
			continue
		}
		if !rd.s.next() {
			break
		}
		rec := &rd.s.rec
		if rec.blank() {
			if blankLine == 0 {
				blankLine = rec.line
			}
			continue
		}
		if blankLine > 0 {
			rd.rowProblem(wholeFile, blankLine, Problem{Severity: Info, Code: "blank-line", Treatment: "nothing: a blank line between rows"})
			blankLine = 0
		}
		rd.record++
		if err := rd.readRow(rec); err != nil {
			return err
		}
		if rd.t.rows()*len(rd.t.cols) > rd.maxFields {
			return rd.problems.fatal(rec.line, "too-large", fmt.Sprintf("more than %d fields", rd.maxFields), "no loop log", "a shorter log")
		}
	}
	if rd.s.tooLong() {
		return rd.lineTooLong()
	}
	rd.packedEnd()
	if rd.t.rows() == 0 {
		return rd.noRows()
	}
	return nil
}

// makeRoom sizes the columns for the lines that are left. A row of all columns
// takes at least a byte for each, which bounds the memory by that of the file.
func (rd *reader) makeRoom() {
	rest := rd.s.data[rd.s.pos:]
	n := min(bytes.Count(rest, []byte{'\n'}), len(rest)/len(rd.t.cols)) + 1
	rd.t.timeS = make([]float64, 0, n)
	rd.t.line = make([]int, 0, n)
	for i := range rd.t.cols {
		if i != rd.t.timeAt {
			rd.t.cols[i].grow(n)
		}
	}
}

func (rd *reader) noRows() error {
	if p := firstGrave(rd.problems.list); p != nil {
		first := p.(Problem)
		if rd.foreign != nil {
			return rd.problems.fatal(first.Line, "no-rows", first.Read, "a dive without a usable row; the first was treated as "+first.Treatment, first.Want)
		}
		return rd.problems.fatal(first.Line, "no-rows", first.Read, "a log without a usable row; the first was treated as "+first.Treatment,
			"numbers with a decimal point in fields parted by commas, the time first of all")
	}
	return rd.problems.fatal(rd.headerLine, "no-rows", rd.headerText, "a header without rows", "at least one row below the header")
}

// packedEnd tells of a gzip file that ends too early or goes on too long.
func (rd *reader) packedEnd() {
	if rd.packedCut {
		rd.source.Truncated = true
		rd.rowProblem(wholeFile, max(1, rd.s.line-1), Problem{Severity: Warning, Code: "truncated", Read: "the end of the gzip data",
			Treatment: "the end of the log: the packed file was cut off", Want: "a whole gzip file"})
	}
	if rd.tail {
		rd.rowProblem(wholeFile, 0, Problem{Severity: Warning, Code: "gzip-tail", Read: "bytes behind the gzip data",
			Treatment: "nothing: they were left out", Want: "gzip data and nothing behind it"})
	}
}

// rowProblem notes a problem on the record in hand.
func (rd *reader) rowProblem(col, line int, p Problem) {
	p.Line = line
	if col >= 0 {
		p.Column = rd.t.cols[col].name
	}
	rd.problems.add(col, rd.record, p)
}

// readRow turns a record into a row, or says why not.
func (rd *reader) readRow(rec *record) error {
	if rec.oddQuote != "" {
		rd.rowProblem(wholeFile, rec.line, Problem{Severity: Warning, Code: "odd-quote", Read: string(bytes.Join(rec.fields, []byte{','})),
			Treatment: rec.oddQuote + ", which was taken as it stands", Want: `a field in quotes, with quotes inside doubled ("")`})
	}
	if rec.cut {
		rd.dropCutField(rec)
	}
	if !rd.fitFields(rec) {
		return nil
	}
	t := &rd.t
	tS, ok := rd.rowTime(rec)
	if !ok {
		if rd.isHeaderAgain(rec) {
			return rd.problems.fatal(rec.line, "header-again", rd.headerText, "the header of a second dive in the same file",
				"one dive in a file: split it here")
		}
		return nil
	}
	t.timeS = append(t.timeS, tS)
	t.line = append(t.line, rec.line)
	rd.readFields(rec)
	return nil
}

// lateComment leaves out a line that begins with # below the header.
func (rd *reader) lateComment() bool {
	rest := rd.s.data[rd.s.pos:]
	if len(rest) == 0 || rest[0] != '#' {
		return false
	}
	line, size, _ := lineAt(rest)
	rd.record++
	rd.rowProblem(wholeFile, rd.s.line, Problem{Severity: Warning, Code: "late-metadata", Read: string(line),
		Treatment: "nothing: metadata below the header is left out", Want: "lines with # above the header"})
	rd.s.pos += size
	rd.s.line++
	return true
}

// dropCutField takes off the last field of a line that the file's end cut
// through: a number that lost its last digits is a wrong number.
func (rd *reader) dropCutField(rec *record) {
	rd.source.Truncated = true
	last := len(rec.fields) - 1
	col := wholeFile
	if last < len(rd.t.cols) {
		col = last
	}
	treatment := "not recorded: the last line has no line end, so that its last field may be cut off"
	rd.rowProblem(col, rec.lineOf(last), Problem{Severity: Warning, Code: "truncated", Read: string(rec.fields[last]), Treatment: treatment})
	rec.fields = rec.fields[:last]
}

// fitFields makes the record as long as the header. Fields that are lacking at
// the end are "not recorded"; with fields too many nobody can tell which belongs
// where (a decimal comma makes two of one), so that the row is left out.
func (rd *reader) fitFields(rec *record) bool {
	have, want := len(rec.fields), len(rd.t.cols)
	switch {
	case have < want && !rec.cut:
		rd.rowProblem(wholeFile, rec.line, Problem{Severity: Warning, Code: "short-row", Read: string(bytes.Join(rec.fields, []byte{','})),
			Treatment: fmt.Sprintf("the first %d of %d fields; the others are not recorded", have, want), Want: "as many fields as the header"})
	case have > want && len(bytes.TrimSpace(bytes.Join(rec.fields[want:], nil))) == 0:
		rd.rowProblem(wholeFile, rec.line, Problem{Severity: Info, Code: "long-row", Read: string(bytes.Join(rec.fields, []byte{','})),
			Treatment: "a row with empty fields behind the last column, which are left out", Want: "as many fields as the header"})
		rec.fields = rec.fields[:want]
	case have > want:
		rd.rowProblem(wholeFile, rec.line, Problem{Severity: Warning, Code: "long-row", Read: string(bytes.Join(rec.fields, []byte{','})),
			Treatment: fmt.Sprintf("a row left out: it has more than %d fields, so that none can be given its column", want),
			Want:      "as many fields as the header, numbers with a decimal point and text with commas in quotes"})
		return false
	}
	return true
}

// rowTime reads the time of a record; a row without one is left out.
func (rd *reader) rowTime(rec *record) (tS float64, ok bool) {
	at := rd.t.timeAt
	c := &rd.t.cols[at]
	var field []byte
	if at < len(rec.fields) {
		field = rec.fields[at]
	}
	tS, decimals, ok := c.parseTime(field)
	if !ok || tS < -maxAbsTimeS || tS > maxAbsTimeS {
		if rd.isHeaderAgain(rec) {
			return 0, false
		}
		rd.rowProblem(at, rec.lineOf(at), Problem{Severity: Warning, Code: "no-time", Read: string(rec.asRead(at)),
			Treatment: "a row without a time, which is left out", Want: c.wantTime()})
		return 0, false
	}
	c.decimals = max(c.decimals, decimals)
	if n := rd.t.rows(); c.kind == clockKind && n > 0 && !c.dated() {
		tS = unwrap(tS, rd.t.timeS[n-1])
	}
	return tS, true
}

func (c *column) parseTime(b []byte) (tS float64, decimals int, ok bool) {
	if c.clock != nil {
		return c.clock.seconds(b)
	}
	if c.kind == clockKind {
		return parseClock(b)
	}
	v, decimals, ok := parseDecimal(b)
	return c.def.base(v), decimals, ok
}

func (c *column) wantTime() string {
	if c.clock != nil {
		return c.clock.want
	}
	if c.kind == clockKind {
		return "mm:ss or h:mm:ss"
	}
	return "a plain decimal such as 12 or 12.5"
}

// looksLikeRow tells whether a line holds as many fields as the header, with a
// time, and nothing but numbers where numbers belong.
func (rd *reader) looksLikeRow(line []byte) bool {
	fields := splitCommas(nil, line, rd.s.comma())
	if len(fields) != len(rd.t.cols) {
		return false
	}
	if _, _, ok := rd.t.cols[rd.t.timeAt].parseTime(fields[rd.t.timeAt]); !ok {
		return false
	}
	for i := range fields {
		if rd.t.cols[i].kind != numberKind || len(fields[i]) == 0 {
			continue
		}
		if _, _, ok := parseDecimal(fields[i]); !ok {
			return false
		}
	}
	return true
}
