package ingest

import "bytes"

// record is one line of CSV, or several where a quoted field spans lines.
type record struct {
	// line is the line on which the record begins, from 1.
	line int
	// fields point into the file, or into memory of their own where a quoted
	// field had to be unescaped. They hold until the next call of next.
	fields [][]byte
	// lines holds the line on which each field begins, or is nil where all begin on line.
	lines []int
	// cut is true where the file ends without a line end: the last field may be
	// incomplete.
	cut bool
	// oddQuote says what was wrong with the quotes, or is empty.
	oddQuote string
	// raw is the fields as a foreign file has them, nil for a loop log.
	raw [][]byte
}

// asRead is field i as the file has it, empty where the record is too short.
func (r *record) asRead(i int) []byte {
	switch {
	case i < len(r.raw):
		return r.raw[i]
	case i < len(r.fields):
		return r.fields[i]
	}
	return nil
}

// lineOf is the line on which field i begins.
func (r *record) lineOf(i int) int {
	if i < len(r.lines) {
		return r.lines[i]
	}
	return r.line
}

// blank tells whether the record holds nothing but white space.
func (r *record) blank() bool {
	return len(r.fields) == 0 || len(r.fields) == 1 && len(bytes.TrimSpace(r.fields[0])) == 0
}

// splitter cuts a file into records by RFC 4180, with the line of every field.
// A line without a quote, which is nearly every line of a log, is cut at its
// commas and nothing else; encoding/csv copies each record and counts no lines
// inside of quotes on that path.
type splitter struct {
	data []byte
	pos  int
	line int // of the byte at pos
	rec  record
	// looksLikeRow tells whether a line could be a row of this log. A quoted
	// field that swallows such a line was opened by a stray quote. nil: never.
	looksLikeRow func(line []byte) bool
	// delimiter parts the fields of a foreign file; 0 is the comma of a loop log.
	delimiter byte
}

func (s *splitter) comma() byte {
	if s.delimiter == 0 {
		return ','
	}
	return s.delimiter
}

// What can be wrong with the quotes of a record; all are read all the same.
const (
	strayQuote  = "a quote that is never closed"
	insideQuote = "a quote inside a field that is not quoted"
	afterQuote  = "text behind a closing quote"
)

// tooLong tells whether the line at pos is longer than any line of a log.
func (s *splitter) tooLong() bool {
	rest := s.data[s.pos:]
	return len(rest) > MaxLineBytes && bytes.IndexByte(rest[:MaxLineBytes+1], '\n') < 0
}

// next cuts the next record into s.rec and tells whether there was one.
func (s *splitter) next() bool {
	if s.pos >= len(s.data) {
		return false
	}
	line, size, whole := lineAt(s.data[s.pos:])
	s.rec = record{line: s.line, fields: s.rec.fields[:0], cut: !whole}
	if bytes.IndexByte(line, '"') >= 0 {
		s.splitQuoted()
		return true
	}
	s.rec.fields = splitCommas(s.rec.fields, line, s.comma())
	s.pos += size
	s.line++
	return true
}

// lineAt is the line at the start of b without its line end, its size with it,
// and whether it has one.
func lineAt(b []byte) (line []byte, size int, whole bool) {
	end := bytes.IndexByte(b, '\n')
	if end < 0 {
		return b, len(b), false
	}
	line = b[:end]
	if end > 0 && line[end-1] == '\r' {
		line = line[:end-1]
	}
	return line, end + 1, true
}

// splitCommas cuts a line without quotes. A header may have [MaxColumns]; what
// lies beyond is left in the last field, so that memory stays bounded.
func splitCommas(fields [][]byte, line []byte, comma byte) [][]byte {
	if len(line) == 0 {
		return fields
	}
	start := 0
	for i, c := range line {
		if c == comma {
			fields = append(fields, line[start:i:i])
			start = i + 1
			if len(fields) > MaxColumns {
				break
			}
		}
	}
	return append(fields, line[start:])
}

// splitQuoted cuts a record that has quotes in its first line.
func (s *splitter) splitQuoted() {
	s.rec.lines = []int{}
	s.rec.cut = false
	for {
		s.rec.lines = append(s.rec.lines, s.line)
		var field []byte
		var more bool
		if s.pos < len(s.data) && s.data[s.pos] == '"' {
			field, more = s.quotedField()
		} else {
			field, more = s.plainField()
		}
		s.rec.fields = append(s.rec.fields, field)
		if !more || len(s.rec.fields) > MaxColumns {
			break
		}
	}
	if len(s.rec.fields) > MaxColumns {
		s.skipLine()
	}
}

func (s *splitter) skipLine() {
	_, size, whole := lineAt(s.data[s.pos:])
	s.pos += size
	s.line++
	s.rec.cut = !whole
}

// plainField takes a field up to its comma or line end; more tells whether a
// comma ended it.
func (s *splitter) plainField() (field []byte, more bool) {
	field, more = s.toDelimiter()
	if bytes.IndexByte(field, '"') >= 0 {
		s.rec.oddQuote = insideQuote
	}
	return field, more
}

// toDelimiter takes everything up to the next comma or line end and steps over it.
func (s *splitter) toDelimiter() (text []byte, more bool) {
	rest := s.data[s.pos:]
	head, _, _ := bytes.Cut(rest, []byte{'\n'})
	if i := bytes.IndexByte(head, s.comma()); i >= 0 {
		s.pos += i + 1
		return rest[:i:i], true
	}
	line, size, whole := lineAt(rest)
	s.pos += size
	s.line++
	s.rec.cut = !whole
	return line, false
}

// quotedField takes a field that begins with a quote.
func (s *splitter) quotedField() (field []byte, more bool) {
	end, lines, closed := s.closingQuote()
	if !closed {
		return s.openField(end)
	}
	field = unescape(s.data[s.pos+1 : end])
	s.pos = end + 1
	s.line += lines
	tail, more := s.toDelimiter()
	if len(tail) > 0 {
		s.rec.oddQuote = afterQuote
		field = append(append([]byte{}, field...), tail...)
	}
	return field, more
}

// closingQuote looks for the quote that ends the field at pos and counts the
// line ends before it. Where there is none, end is len(data) if the file was cut
// inside of the field, else -1: the quote that opened it is a stray one.
func (s *splitter) closingQuote() (end, lines int, closed bool) {
	for i := s.pos + 1; i < len(s.data); i++ {
		switch s.data[i] {
		case '"':
			if i+1 == len(s.data) || s.data[i+1] != '"' {
				return i, lines, true
			}
			i++
		case '\n':
			lines++
			if lines > MaxQuotedLines || i-s.pos > MaxLineBytes || s.rowBegins(i+1) {
				return -1, 0, false
			}
		}
	}
	return len(s.data), lines, false
}

func (s *splitter) rowBegins(at int) bool {
	if s.looksLikeRow == nil {
		return false
	}
	line, _, whole := lineAt(s.data[at:])
	return whole && len(line) <= MaxLineBytes && s.looksLikeRow(line)
}

// openField takes a quoted field that is never closed: cut off with the file,
// or to the end of its line where the quote was a stray one.
func (s *splitter) openField(end int) (field []byte, more bool) {
	if end >= 0 {
		field = s.data[s.pos+1:]
		s.pos = len(s.data)
		s.rec.cut = true
		return field, false
	}
	s.rec.oddQuote = strayQuote
	s.pos++
	line, size, whole := lineAt(s.data[s.pos:])
	s.pos += size
	s.line++
	s.rec.cut = !whole
	return line, false
}

// unescape turns doubled quotes into one and, as encoding/csv does, CRLF into LF.
func unescape(b []byte) []byte {
	if bytes.IndexByte(b, '"') >= 0 {
		b = bytes.ReplaceAll(b, []byte(`""`), []byte(`"`))
	}
	if bytes.IndexByte(b, '\r') >= 0 {
		b = bytes.ReplaceAll(b, []byte("\r\n"), []byte("\n"))
	}
	return b
}
