package ingest

import (
	"bytes"
	"strings"
)

// isRow tells whether a record has a time.
func (s *scanner) isRow(fields [][]byte) bool {
	_, ok := s.seconds(fields)
	return ok
}

// seconds is the time of a record, counted from one fixed midnight.
func (s *scanner) seconds(fields [][]byte) (float64, bool) {
	at, c := s.header.time, s.f.c
	if s.header.names == nil {
		at = c.m.Time.Number - 1 // no header has been seen
	}
	if at < 0 || at >= len(fields) {
		return 0, false
	}
	var date []byte
	if d := s.header.date; d >= 0 && d < len(fields) {
		date = fields[d]
	}
	m, ok := c.clock.Parse(date, fields[at])
	return m.S + float64(m.Day)*secondsPerDay - float64(m.ZoneS), ok
}

// looksLikeRow tells whether a line inside of quotes could be a row.
func (s *scanner) looksLikeRow(line []byte) bool {
	fields := splitCommas(nil, line, s.s.comma())
	return len(fields) == len(s.header.names) && s.isRow(fields)
}

// next takes one record: a header, a row, or neither.
func (s *scanner) next() error {
	c := s.f.c
	from, line := s.s.pos, s.s.line
	text, size, _ := lineAt(s.s.data[from:])
	switch {
	case c.m.File.EndAt != "" && bytes.HasPrefix(text, []byte(c.m.File.EndAt)):
		s.ended = true
		fallthrough
	case c.m.File.Comment != "" && bytes.HasPrefix(text, []byte(c.m.File.Comment)):
		s.s.pos += size
		s.s.line++
		s.pend(span{from, s.s.pos, line}, true)
		return nil
	}
	if s.isHeader(text) {
		return s.headerAgain(from, line)
	}
	if !s.s.next() {
		return nil
	}
	rec := &s.s.rec
	here := span{from, s.s.pos, line}
	if n := len(rec.fields); rec.cut && n > 0 { // its last field may be half of one
		rec.fields = rec.fields[:n-1]
	}
	tS, timed := s.seconds(rec.fields)
	switch {
	case rec.blank() && !rec.cut:
		s.blank = true
		s.pend(here, true)
	case s.ended:
		s.pend(here, true)
	case !timed && !s.eventWithoutTime(rec):
		s.pend(here, false)
	default:
		return s.row(here, rec, tS, timed)
	}
	return nil
}

// eventWithoutTime: a record as long as the header is a row whatever its time,
// so that it is said what is wrong with it, unless a header may follow.
func (s *scanner) eventWithoutTime(rec *record) bool {
	return s.f.c.split != "header" && len(rec.fields) == len(s.header.names)
}

func (s *scanner) pend(here span, blank bool) {
	if len(s.pending) < maxPreambleLines {
		s.pending = append(s.pending, pendingRecord{here, blank})
	}
}

// isHeader tells whether a line is a header again.
func (s *scanner) isHeader(line []byte) bool {
	if s.f.c.m.Header.Absent || len(line) > MaxLineBytes {
		return false
	}
	first := s.header.names[s.header.time]
	if first == "" || !bytes.Contains(line, []byte(first)) {
		return false
	}
	h := s.f.c.resolve(trimmed(s.split(line)), s.s.line)
	return s.f.c.fits(&h)
}

// headerAgain begins another dive with a header, or leaves out one that is
// repeated, say at the top of a printed page.
func (s *scanner) headerAgain(from, line int) error {
	before, odd, rows := s.header, s.odd, s.rows
	if err := s.takeHeader(); err != nil {
		return err
	}
	if s.f.c.split == "header" {
		lead := s.leadLines()
		s.dive, s.ended, s.timed, s.blank, s.pending = -1, false, false, false, nil
		s.begin("")
		s.f.dives[s.dive].preamble = lead
		return nil
	}
	names := s.header.names
	s.odd, s.rows, s.ended = odd, rows, false
	if !sameTexts(names, before.names) {
		return s.f.problems.fatal(line, "header-again", strings.Join(names, string(s.f.c.delimiter())), "another header in the same dive",
			`dives.split = "header", where each header begins a dive`)
	}
	units, unitsLine := s.header.units, s.header.unitsLine
	s.header = before
	p := Problem{Line: line, Read: strings.Join(names, string(s.f.c.delimiter())), Severity: Info, Code: "header-again",
		Treatment: "the header that comes again, which is left out"}
	if units != nil && !sameTexts(units, before.units) {
		p.Line, p.Read, p.Severity, p.Code = unitsLine, strings.Join(units, string(s.f.c.delimiter())), Warning, "unit-mismatch"
		p.Treatment, p.Want = "a row of units that differs from the first, which is left out", "one row of units throughout"
	}
	s.say(p)
	return nil
}

// say notes a problem of the dive in hand.
func (s *scanner) say(p Problem) {
	if s.dive < 0 {
		s.odd = append(s.odd, p)
		return
	}
	if d := &s.f.dives[s.dive]; len(d.odd) < MaxProblems {
		d.odd = append(d.odd, p)
	}
}

// leadLines are the lines between the last row and a header: its preamble.
func (s *scanner) leadLines() []textLine {
	if len(s.f.dives) == 0 && s.rows == 0 {
		return s.preamble
	}
	var lines []textLine
	for _, p := range s.pending {
		text, _, _ := lineAt(s.f.data[p.from:])
		lines = append(lines, textLine{p.line, text})
	}
	return lines
}
