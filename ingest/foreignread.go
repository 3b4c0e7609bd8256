package ingest

import (
	"bytes"
	"fmt"
	"strings"
)

// readForeign reads one dive of a foreign file: its columns take the place of
// those of a loop log, its fields are translated one by one, and from there on
// everything goes the way of a loop log.
func (rd *reader) readForeign(f *foreignFile, dive *foreignDive) error {
	rd.s = splitter{delimiter: f.c.delimiter()}
	for _, p := range dive.odd {
		rd.problems.add(wholeFile, wholeFile, p)
	}
	rd.sayEncoding(f, dive)
	tr := rowTranslator{rd: rd, c: f.c, header: &dive.header}
	if err := tr.setColumns(); err != nil {
		return err
	}
	if err := tr.readRows(f, dive); err != nil {
		return err
	}
	rd.lines = tr.metadata(f, dive)
	rd.readMeta()
	return rd.repair()
}

// sayEncoding notes characters that could not be, and half of one at the end.
func (rd *reader) sayEncoding(f *foreignFile, dive *foreignDive) {
	if bad := f.decoded.Bad; bad > 0 && dive.holds(bad, f) {
		rd.problems.add(wholeFile, wholeFile, Problem{Line: bad, Read: "bytes that are no " + f.decoded.Encoding, Severity: Warning, Code: "encoding",
			Treatment: "replacement characters, here and in the lines below", Want: "the encoding of the file in the mapping"})
	}
	if f.decoded.Odd && dive.last {
		rd.source.Truncated = true
		rd.problems.add(wholeFile, wholeFile, Problem{Line: bytes.Count(f.data, []byte{'\n'}) + 1, Read: "one byte of two", Severity: Warning, Code: "truncated",
			Treatment: "the end of the file: it is cut inside a character", Want: "a whole file"})
	}
}

// holds tells whether a line is one of the dive's, or above its first row.
func (d *foreignDive) holds(line int, f *foreignFile) bool {
	for _, sp := range d.spans {
		if n := bytes.Count(f.data[sp.from:sp.to], []byte{'\n'}); line >= sp.line && line <= sp.line+n {
			return true
		}
	}
	return len(d.spans) > 0 && line < d.spans[0].line
}

// rowTranslator makes records of a loop log of those of one dive.
type rowTranslator struct {
	rd     *reader
	c      *translation
	header *foreignHeader
	out    record
	// from holds, for every column of ours, its place in theirs: -1 for none.
	from []int
	// column holds its translation, nil for time and for what is kept as text.
	column []*translatedColumn
	field  [][]byte // memory of each column's field
	events int      // our column of events, -1 for none
}

// setColumns makes the columns of the table: the time, those of the mapping, and
// theirs that it does not use, kept as text.
func (tr *rowTranslator) setColumns() error {
	rd, h := tr.rd, tr.header
	rd.headerLine, rd.headerText = h.line, strings.Join(h.names, string(tr.c.delimiter()))
	tr.events = -1
	used := map[int]bool{h.time: true, h.date: true, h.dive: true}
	if err := rd.checkTimeUnit(h); err != nil {
		return err
	}
	tr.addTime()
	for i := range tr.c.columns {
		tr.addColumn(i, used)
	}
	for at, name := range h.names {
		if !used[at] && name != "" && !tr.c.m.Header.Absent {
			tr.add(newColumn(name, h.line), at, nil)
			rd.columnProblem(len(rd.t.cols)-1, Info, "unknown-column", "a column that the mapping does not use; it is kept as text", "")
		}
	}
	for i := range rd.t.cols {
		rd.t.cols[i].foreign = tr.c
	}
	rd.limitCells()
	rd.settleRepeats()
	rd.dropOrphans()
	return rd.withCause(rd.requireColumns())
}

// withCause puts what was said of a column in the place of "a log without": it is
// why the log lacks it.
func (rd *reader) withCause(err error) error {
	p, ok := err.(Problem)
	cause, found := firstGrave(rd.problems.list).(Problem)
	if !ok || !found {
		return err
	}
	p.Line, p.Column, p.Read, p.Want = cause.Line, cause.Column, cause.Read, cause.Want
	p.Treatment = cause.Treatment + "; that leaves " + p.Treatment
	return p
}

func (tr *rowTranslator) add(c column, from int, t *translatedColumn) {
	tr.rd.t.cols = append(tr.rd.t.cols, c)
	tr.from = append(tr.from, from)
	tr.column = append(tr.column, t)
	tr.field = append(tr.field, nil)
}

// addColumn adds column i of the translation, if the file has it.
func (tr *rowTranslator) addColumn(i int, used map[int]bool) {
	t, h, at := &tr.c.columns[i], tr.header, tr.header.at[i]
	name := t.name + " (constant of the mapping)"
	if t.constant == nil {
		if at < 0 {
			tr.sayAbsent(t)
			return
		}
		used[at] = true
		name = h.names[at]
		tr.sayTwice(at)
		if !tr.rd.checkUnits(h, i, at) {
			return
		}
	}
	c := newColumn(name, h.line)
	c.use(&t.def, t.key)
	if t.key.quantity == eventQuantity {
		tr.events = len(tr.from)
	}
	tr.add(c, at, t)
}

func (tr *rowTranslator) sayAbsent(t *translatedColumn) {
	name := t.spec.Name
	if name == "" {
		name = fmt.Sprintf("column %d", t.spec.Number)
	}
	p := Problem{Line: tr.header.line, Read: name, Severity: Warning, Code: "absent-column",
		Treatment: t.name + ", which is not recorded: the header has no such column", Want: "the name as the header spells it; or optional = true"}
	if t.spec.Optional {
		p.Severity, p.Want = Info, ""
	}
	tr.rd.problems.add(wholeFile, wholeFile, p)
}

// sayTwice notes a name that stands more than once in the header.
func (tr *rowTranslator) sayTwice(at int) {
	for i, name := range tr.header.names {
		if i > at && name == tr.header.names[at] {
			tr.rd.problems.add(at, wholeFile, Problem{Line: tr.header.line, Column: name, Read: name, Severity: Warning, Code: "repeated-column",
				Treatment: "the first of several columns of one name", Want: "number in the mapping, instead of a name"})
			return
		}
	}
}

// readRows reads the stretches of the file that are this dive's.
func (tr *rowTranslator) readRows(f *foreignFile, dive *foreignDive) error {
	rd := tr.rd
	rd.makeRoomFor(dive)
	for _, sp := range dive.spans {
		rd.s = splitter{data: f.data[:sp.to], pos: sp.from, line: sp.line, delimiter: f.c.delimiter(), looksLikeRow: tr.looksLikeRow}
		for rd.s.next() {
			if rd.s.rec.blank() && !rd.s.rec.cut {
				continue
			}
			rd.record++
			tr.row(&rd.s.rec)
			if rd.t.rows()*len(rd.t.cols) > rd.maxFields {
				return rd.problems.fatal(rd.s.rec.line, "too-large", fmt.Sprintf("more than %d fields", rd.maxFields), "no log", "a shorter dive")
			}
		}
	}
	rd.packedEnd()
	if rd.t.rows() == 0 {
		return rd.noRows()
	}
	return nil
}

// makeRoomFor sizes the columns for the rows of a dive, as makeRoom does.
func (rd *reader) makeRoomFor(dive *foreignDive) {
	n := 1
	for _, sp := range dive.spans {
		n += 1 + (sp.to-sp.from)/max(1, len(dive.header.names))
	}
	const most = 1 << 16 // beyond it the columns grow
	n = min(n, most)
	for i := range rd.t.cols {
		if i != rd.t.timeAt {
			rd.t.cols[i].grow(n)
		}
	}
}

func (tr *rowTranslator) looksLikeRow(line []byte) bool {
	fields := splitCommas(nil, line, tr.c.delimiter())
	if len(fields) != len(tr.header.names) {
		return false
	}
	_, ok := tr.c.clock.Parse(tr.dateField(fields), fields[tr.header.time])
	return ok
}

func (tr *rowTranslator) dateField(fields [][]byte) []byte {
	if d := tr.header.date; d >= 0 && d < len(fields) {
		return fields[d]
	}
	return nil
}
