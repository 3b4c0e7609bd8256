package ingest

import (
	"bytes"
	"fmt"
)

// row gives a row to its dive.
func (s *scanner) row(here span, rec *record, tS float64, timed bool) error {
	if s.f.c.split == "column" {
		return s.rowOfColumn(here, rec)
	}
	switch {
	case s.dive < 0: // what stands below the header is this dive's
		s.begin("")
		s.flush()
	case s.parts(tS, timed):
		s.flush()
		s.begin("")
	default:
		s.flush()
	}
	if len(s.f.dives) > MaxParts {
		return s.tooMany()
	}
	if timed {
		s.lastS, s.timed = tS, true
	}
	s.add(here)
	return nil
}

func (s *scanner) tooMany() error {
	return s.f.problems.fatal(s.s.rec.line, "too-many-dives", fmt.Sprintf("more than %d dives", MaxParts), "a file whose dives are told apart by the wrong thing", "another dives.split in the mapping")
}

// parts tells whether a row begins another dive.
func (s *scanner) parts(tS float64, timed bool) bool {
	step := tS - s.lastS
	known := timed && s.timed
	if known && !s.f.c.clock.Dated() && !s.f.c.clock.Plain() && step < -secondsPerDay/2 {
		step += secondsPerDay
	}
	switch s.f.c.split {
	case "blank-line":
		return s.blank
	case "time-restarts":
		return known && step < -restartS
	case "gap":
		return known && (step > s.f.c.m.Dives.GapMinutes*secPerMin || step < -restartS)
	}
	return false
}

// restartS is how far back time must go to be the time of another dive. "ours"
const restartS = 60

// rowOfColumn gives a row to the dive that its column names; an empty field
// names the dive of the row before.
func (s *scanner) rowOfColumn(here span, rec *record) error {
	name := ""
	if s.header.dive < len(rec.fields) {
		name = string(bytes.TrimSpace(bytes.ToValidUTF8(rec.fields[s.header.dive], []byte("\ufffd"))))
	}
	if s.dive >= 0 {
		s.flush()
		if name == "" {
			name = s.f.dives[s.dive].name
		}
	}
	i, seen := s.byName[name]
	if !seen {
		s.begin(name)
		i = s.dive
		s.byName[name] = i
		if len(s.f.dives) > MaxParts {
			return s.tooMany()
		}
	}
	s.dive = i
	s.flush() // what stands above the first row
	s.add(here)
	return nil
}

// begin begins a dive.
func (s *scanner) begin(name string) {
	s.f.dives = append(s.f.dives, foreignDive{c: s.f.c, name: name, header: s.header, preamble: s.preamble, odd: s.odd})
	s.dive, s.odd = len(s.f.dives)-1, nil
}

// flush gives what is no row to the dive in hand, where it will be said what is wrong with it.
func (s *scanner) flush() {
	for _, p := range s.pending {
		if !p.blank && s.dive >= 0 {
			s.add(p.span)
		}
	}
	s.pending, s.blank = s.pending[:0], false
}

// add gives a record to the dive in hand.
func (s *scanner) add(here span) {
	d := &s.f.dives[s.dive]
	s.rows++
	if n := len(d.spans); n > 0 && d.spans[n-1].to == here.from {
		d.spans[n-1].to = here.to
		return
	}
	d.spans = append(d.spans, here)
}
