package ingest

import (
	"bytes"
	"fmt"
	"strings"
)

// scanner goes through a foreign file once, from top to bottom, and finds where
// its preambles, headers and dives are.
type scanner struct {
	f *foreignFile
	s splitter

	preamble []textLine // of the file's first header
	header   foreignHeader
	dive     int // index of the dive in hand, -1 before its first row
	byName   map[string]int
	// pending are records since the last row that are no rows: the preamble of a
	// dive to come, or what is wrong with this one.
	pending []pendingRecord
	blank   bool // a blank line since the last row
	ended   bool // file.end_at was met
	lastS   float64
	timed   bool // lastS is known
	rows    int  // of this header
	odd     []Problem
}

type pendingRecord struct {
	span
	blank bool
}

const maxPreambleLines = 100_000

func (s *scanner) scan() error {
	s.dive, s.byName = -1, map[string]int{}
	if err := s.findHeader(); err != nil {
		return err
	}
	if s.f.c.split == "header" {
		s.begin("")
	}
	for s.more() {
		if err := s.next(); err != nil {
			return err
		}
	}
	if s.s.tooLong() {
		return s.tooLong()
	}
	s.flush()
	if len(s.f.dives) == 0 {
		s.begin("")
	}
	return nil
}

func (s *scanner) tooLong() error {
	return s.f.problems.fatal(s.s.line, "line-too-long", string(s.s.data[s.s.pos:][:4*shownRunes]),
		fmt.Sprintf("no line of a log: it is longer than %d bytes", MaxLineBytes), "the delimiter and quotes of the file in the mapping")
}

func (s *scanner) more() bool { return s.s.pos < len(s.s.data) && !s.s.tooLong() }

// findHeader reads the preamble and the first header.
func (s *scanner) findHeader() error {
	c, data := s.f.c, s.f.data
	s.s = splitter{data: data, line: 1, delimiter: c.delimiter()}
	until := c.m.File.SkipUntil
	found := until == ""
	best := c.resolve(nil, 0)
	for s.more() {
		line, size, _ := lineAt(data[s.s.pos:])
		skipped := s.s.line <= c.m.File.SkipLines
		switch {
		case skipped || !found || len(bytes.TrimSpace(line)) == 0:
			found = found || !skipped && bytes.Contains(line, []byte(until))
		case c.m.Header.Absent:
			if until != "" || s.isRow(s.split(line)) {
				return s.takeNoHeader()
			}
		default:
			h := c.resolve(trimmed(s.split(line)), s.s.line)
			if until != "" || c.fits(&h) {
				return s.takeHeader()
			}
			if matched(&h) > matched(&best) {
				best = h
			}
		}
		if len(s.preamble) < maxPreambleLines {
			s.preamble = append(s.preamble, textLine{s.s.line, line})
		}
		s.s.pos += size
		s.s.line++
	}
	if s.s.tooLong() {
		return s.tooLong()
	}
	return s.noHeader(&best, found)
}

// split cuts one line, for a look.
func (s *scanner) split(line []byte) [][]byte {
	t := splitter{data: line, line: s.s.line, delimiter: s.s.delimiter}
	t.next()
	return t.rec.fields
}

func matched(h *foreignHeader) int {
	n := 0
	for _, at := range h.at {
		if at >= 0 {
			n++
		}
	}
	return n
}

func (s *scanner) noHeader(best *foreignHeader, found bool) error {
	f := s.f
	switch {
	case !found:
		return f.problems.fatal(s.s.line, "no-header", "the end of the file", "a file without the text of skip_until", f.c.m.File.SkipUntil)
	case best.line > 0:
		return f.problems.fatal(best.line, "no-header", strings.Join(best.names, string(f.c.delimiter())),
			"no header that the mapping describes: it lacks "+shorten(f.c.missing(best)), "the names of the file in the mapping")
	}
	return f.problems.fatal(1, "no-header", shorten(string(f.data[:min(len(f.data), 4*shownRunes)])),
		"a file without the header that the mapping describes", "a row with "+shorten(f.c.missing(best)))
}

func (c *translation) delimiter() byte {
	if c.m.File.Delimiter == "" {
		return ','
	}
	return c.m.File.Delimiter[0]
}

// takeHeader takes the record in hand for a header, and the row of units below it.
func (s *scanner) takeHeader() error {
	s.s.looksLikeRow = nil
	s.s.next()
	rec := &s.s.rec
	if len(rec.fields) > MaxColumns {
		return s.f.problems.fatal(rec.line, "too-many-columns", fmt.Sprintf("more than %d columns", MaxColumns), "a file that is no log", "the delimiter of the file in the mapping")
	}
	h := s.f.c.resolve(trimmed(rec.fields), rec.line)
	if !s.f.c.fits(&h) {
		return s.noHeader(&h, true)
	}
	if s.f.c.split == "column" && h.dive < 0 {
		return s.f.problems.fatal(rec.line, "no-header", strings.Join(h.names, string(s.f.c.delimiter())), "a header without the column that tells dives apart",
			s.f.c.m.Dives.Column)
	}
	s.header, s.rows, s.odd = h, 0, nil
	s.s.looksLikeRow = s.looksLikeRow
	if s.f.c.m.Header.UnitsRow {
		s.takeUnits()
	}
	return nil
}

// takeUnits takes the row of units; a row with a time in its place is none.
func (s *scanner) takeUnits() {
	save := s.s
	for s.more() && s.s.next() {
		rec := &s.s.rec
		if rec.blank() {
			continue
		}
		if s.isRow(rec.fields) {
			s.odd = append(s.odd, Problem{Line: rec.line, Read: string(bytes.Join(rec.fields, []byte{s.s.delimiter})), Severity: Warning, Code: "no-units-row",
				Treatment: "a row like the others: it has a time where the mapping says a row of units", Want: "a row of units below the header, or units_row = false"})
			break
		}
		s.header.units, s.header.unitsLine = trimmed(rec.fields), rec.line
		return
	}
	save.rec = record{} // its fields are overwritten
	s.s = save
}

// takeNoHeader begins a file without names: its columns go by number.
func (s *scanner) takeNoHeader() error {
	line, _, _ := lineAt(s.f.data[s.s.pos:])
	fields := s.split(line)
	if len(fields) > MaxColumns {
		return s.f.problems.fatal(s.s.line, "too-many-columns", fmt.Sprintf("more than %d columns", MaxColumns), "a file that is no log", "the delimiter of the file in the mapping")
	}
	names := make([]string, len(fields))
	for i := range names {
		names[i] = fmt.Sprintf("column %d", i+1)
	}
	s.header = s.f.c.resolve(names, s.s.line)
	if !s.f.c.fits(&s.header) {
		return s.noHeader(&s.header, true)
	}
	s.s.looksLikeRow = s.looksLikeRow
	return nil
}
