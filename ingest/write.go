package ingest

import (
	"bufio"
	"io"
	"strings"
)

// Write writes d as a loop log that [Read] reads as the same dive: in base
// units, with `time_s`, and with every figure in as many digits as it takes.
// What a log cannot hold is left out: problems, lines, the order and units of
// the columns, and columns that were not used. It returns the errors of w.
func Write(w io.Writer, d *Dive) error {
	lw := logWriter{b: bufio.NewWriter(w), d: d, notes: d.Notes}
	for _, kv := range d.metaLines() {
		lw.metaLine(kv)
	}
	lw.cols = d.writeColumns()
	lw.line(func(c *writeColumn) string { return c.name })
	for row := range d.TimeS {
		lw.row(row)
	}
	return lw.b.Flush()
}

// logWriter writes one log. Its bufio.Writer keeps the first error for Flush.
type logWriter struct {
	b     *bufio.Writer
	d     *Dive
	cols  []writeColumn
	notes []Note // not written yet
	field []byte
}

// writeColumn is a column to be written; append adds the field of a row. The
// column of notes has none: notes are taken in turn.
type writeColumn struct {
	name   string
	append func(b []byte, row int) []byte
}

func (lw *logWriter) line(field func(*writeColumn) string) {
	for i := range lw.cols {
		if i > 0 {
			lw.b.WriteByte(',')
		}
		lw.quoted(field(&lw.cols[i]))
	}
	lw.b.WriteByte('\n')
}

// row writes a row, and a line of its own with the same time for every note
// after the first; reading merges them.
func (lw *logWriter) row(row int) {
	note := lw.takeNote(row)
	lw.line(func(c *writeColumn) string {
		if c.append == nil {
			return note
		}
		lw.field = c.append(lw.field[:0], row)
		return string(lw.field)
	})
	for note = lw.takeNote(row); note != ""; note = lw.takeNote(row) {
		lw.line(func(c *writeColumn) string {
			switch {
			case c == &lw.cols[0]:
				return string(appendNumber(nil, lw.d.TimeS[row]))
			case c.append == nil:
				return note
			}
			return ""
		})
	}
}

// takeNote takes the next note of the row, empty when there is none left.
func (lw *logWriter) takeNote(row int) string {
	if len(lw.notes) == 0 || lw.notes[0].Row != row {
		return ""
	}
	text := lw.notes[0].Text
	lw.notes = lw.notes[1:]
	return text
}

// quoted writes a field, in quotes where it needs them: a # at the start of a
// line would make the line metadata.
func (lw *logWriter) quoted(s string) {
	if !strings.ContainsAny(s, ",\"\r\n") && !strings.HasPrefix(s, "#") {
		lw.b.WriteString(s)
		return
	}
	lw.b.WriteByte('"')
	lw.b.WriteString(strings.ReplaceAll(s, `"`, `""`))
	lw.b.WriteByte('"')
}

func (lw *logWriter) metaLine(kv KeyValue) {
	line := kv.Value
	if kv.Key != "" {
		line = kv.Key + ": " + kv.Value
	}
	lw.b.WriteString("# " + strings.ReplaceAll(line, "\n", " ") + "\n")
}
