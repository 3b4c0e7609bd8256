package ingest

import (
	"bytes"
	"fmt"
	"strings"

	"afterloop/ingest/mapping"
)

// row translates a record and gives it to the table.
func (tr *rowTranslator) row(rec *record) {
	rd := tr.rd
	if rec.oddQuote != "" {
		rd.rowProblem(wholeFile, rec.line, Problem{Severity: Warning, Code: "odd-quote", Read: tr.joined(rec.fields),
			Treatment: rec.oddQuote + ", which was taken as it stands", Want: `a field in quotes, with quotes inside doubled ("")`})
	}
	if rec.cut && len(rec.fields) > 0 {
		tr.dropCutField(rec)
	}
	if !tr.fit(rec) {
		return
	}
	out := tr.translate(rec)
	tS, ok := rd.rowTime(out)
	if !ok {
		return
	}
	rd.t.timeS = append(rd.t.timeS, tS)
	rd.t.line = append(rd.t.line, rec.line)
	rd.readFields(out)
}

func (tr *rowTranslator) joined(fields [][]byte) string {
	return string(bytes.Join(fields, []byte{tr.c.delimiter()}))
}

// dropCutField is what reader.dropCutField does, in the columns of theirs.
func (tr *rowTranslator) dropCutField(rec *record) {
	tr.rd.source.Truncated = true
	last := len(rec.fields) - 1
	p := Problem{Line: rec.lineOf(last), Read: string(rec.fields[last]), Severity: Warning, Code: "truncated",
		Treatment: "not recorded: the last line has no line end, so that its last field may be cut off"}
	if last < len(tr.header.names) {
		p.Column = tr.header.names[last]
	}
	tr.rd.problems.add(wholeFile, wholeFile, p)
	rec.fields = rec.fields[:last]
}

// fit is what reader.fitFields does, in the columns of theirs.
func (tr *rowTranslator) fit(rec *record) bool {
	have, want := len(rec.fields), len(tr.header.names)
	p := Problem{Read: tr.joined(rec.fields), Severity: Warning, Want: "as many fields as the header"}
	switch {
	case have < want && !rec.cut:
		p.Code, p.Treatment = "short-row", fmt.Sprintf("the first %d of %d fields; the others are not recorded", have, want)
		tr.rd.rowProblem(wholeFile, rec.line, p)
	case have > want && len(bytes.TrimSpace(bytes.Join(rec.fields[want:], nil))) == 0:
		rec.fields = rec.fields[:want] // a delimiter at the end of every row is a habit of many files
	case have > want:
		p.Code, p.Treatment = "long-row", fmt.Sprintf("a row left out: it has more than %d fields, so that none can be given its column", want)
		p.Want = "as many fields as the header; a delimiter that is no decimal mark"
		tr.rd.rowProblem(wholeFile, rec.line, p)
		return false
	}
	return true
}

// translate makes a record of our columns.
func (tr *rowTranslator) translate(rec *record) *record {
	out := &tr.out
	n := len(tr.from)
	if out.fields == nil {
		out.fields, out.raw = make([][]byte, n), make([][]byte, n)
	}
	out.line, out.lines = rec.line, nil
	if rec.lines != nil {
		out.lines = make([]int, n)
	}
	only := tr.c.m.Events.OwnRows && tr.events >= 0 && !tr.isMissing(tr.column[tr.events], tr.at(rec, tr.events))
	for j := range tr.from {
		if out.lines != nil {
			out.lines[j] = rec.lineOf(max(0, tr.from[j]))
		}
		raw := tr.at(rec, j)
		out.raw[j], out.fields[j] = raw, nil
		switch t := tr.column[j]; {
		case j == 0:
			tr.timeField(rec, raw)
		case only && j != tr.events && !tr.isText(j):
		case t == nil:
			out.fields[j] = raw
		case tr.isMissing(t, raw):
		default:
			out.fields[j] = tr.fieldOf(j, t, raw, out)
		}
	}
	return out
}

// isText tells whether column j holds text, which an event's row may carry too.
func (tr *rowTranslator) isText(j int) bool {
	t := tr.column[j]
	return t == nil || t.def.quantity == noteQuantity
}

// at is the field of theirs for column j of ours.
func (tr *rowTranslator) at(rec *record, j int) []byte {
	if t := tr.column[j]; t != nil && t.constant != nil {
		return t.constant
	}
	if at := tr.from[j]; at >= 0 && at < len(rec.fields) {
		return bytes.TrimSpace(rec.fields[at])
	}
	return nil
}

// isMissing tells whether a field is a word for "not recorded".
func (tr *rowTranslator) isMissing(t *translatedColumn, raw []byte) bool {
	if len(raw) == 0 {
		return true
	}
	if t.constant != nil {
		return false
	}
	for _, list := range [][]string{tr.c.m.File.Missing, t.spec.Missing} {
		for _, w := range list {
			if string(raw) == w {
				return true
			}
		}
	}
	return false
}

// fieldOf translates a field that is not empty.
func (tr *rowTranslator) fieldOf(j int, t *translatedColumn, raw []byte, out *record) []byte {
	if t.def.quantity == eventQuantity {
		return tr.eventsOf(raw, t)
	}
	if ours, ok := t.words.ours(raw); ok {
		raw = ours
		if t.def.kind == numberKind {
			return raw // a number of ours, in the unit of the column
		}
	}
	if t.def.kind != numberKind || t.constant != nil {
		return raw
	}
	plain, unit, ok := tr.c.numbers.Plain(tr.field[j][:0], raw)
	tr.field[j] = plain
	switch {
	case !ok:
		return noNumber
	case len(unit) > 0 && mapping.Unit(string(unit)) != t.spec.Unit && !t.spec.Unchecked():
		tr.rd.rowProblem(j, out.lineOf(j), Problem{Read: string(raw), Severity: Warning, Code: "unit-mismatch",
			Treatment: "not recorded: the unit is another than that of the mapping", Want: "a number in " + t.spec.Unit})
		return nil
	}
	return plain
}

// noNumber is what stands for a field that the mapping makes no number of: it
// might be one to a loop log, such as 1.28 under a decimal comma.
var noNumber = []byte("?")

// eventsOf cuts a field into events and puts our words in the place of theirs.
// What no list has stays, and becomes a note, or is dropped.
func (tr *rowTranslator) eventsOf(raw []byte, t *translatedColumn) []byte {
	parts := []string{string(raw)}
	if sep := tr.c.m.Events.Separator; sep != "" {
		parts = strings.Split(string(raw), sep)
	}
	var words []string
	for _, p := range parts {
		p = strings.TrimSpace(p)
		ours, ok := t.words.ours([]byte(p))
		switch {
		case ok && len(ours) > 0:
			words = append(words, string(ours))
		case ok || p == "" || tr.c.m.Events.Unlisted == "drop" && !isOurEvent(p):
		default:
			words = append(words, strings.ReplaceAll(p, ";", ","))
		}
	}
	return []byte(strings.Join(words, ";"))
}

func isOurEvent(word string) bool {
	_, _, ok := eventOf(word)
	return ok
}

// unlistedEvent says how grave a word is that no list has.
func (c *translation) unlistedEvent() (s Severity, want string) {
	if c.m.Events.Unlisted == "note" {
		return Info, ""
	}
	return Warning, "a line for it in words.event, or events.unlisted"
}
