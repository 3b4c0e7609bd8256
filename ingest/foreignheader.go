package ingest

import (
	"bytes"
	"fmt"
	"strings"

	"afterloop/ingest/mapping"
)

// foreignHeader is a row of names and where the columns of the mapping stand in it.
type foreignHeader struct {
	line  int
	names []string
	// units is the row of units below it, nil where there is none.
	units     []string
	unitsLine int
	// Places in a record, -1 for none.
	time, date, dive, event int
	at                      []int // of each column of the translation; -1 for absent or constant
}

// place is the place of a column of theirs by its name, else its number; -1 for none.
func (h *foreignHeader) place(name string, number int) int {
	if name == "" {
		if number > len(h.names) {
			return -1
		}
		return number - 1
	}
	name = strings.TrimSpace(name)
	for i, n := range h.names {
		if n == name {
			return i
		}
	}
	return -1
}

// resolve finds the columns of the mapping in a row of names.
func (c *translation) resolve(names []string, line int) foreignHeader {
	h := foreignHeader{line: line, names: names, event: -1, dive: -1, date: -1}
	t, d := c.m.Time, c.m.Dives
	h.time = h.place(t.Column, t.Number)
	if t.DateFormat != "" {
		h.date = h.place(t.DateColumn, t.DateNumber)
	}
	if c.split == "column" {
		h.dive = h.place(d.Column, d.Number)
	}
	h.at = make([]int, len(c.columns))
	for i := range c.columns {
		col := &c.columns[i]
		h.at[i] = -1
		if col.constant == nil {
			h.at[i] = h.place(col.spec.Name, col.spec.Number)
		}
		if col.key.quantity == eventQuantity {
			h.event = h.at[i]
		}
	}
	return h
}

// fits tells whether a row of names is the header that the mapping describes:
// it has the time, and at least half of the columns that are not optional.
func (c *translation) fits(h *foreignHeader) bool {
	if h.time < 0 {
		return false
	}
	wanted, found := 0, 0
	for i := range c.columns {
		if col := &c.columns[i]; col.constant == nil && !col.spec.Optional {
			wanted++
			if h.at[i] >= 0 {
				found++
			}
		}
	}
	return 2*found >= wanted
}

// missing lists the names that a row of names lacks.
func (c *translation) missing(h *foreignHeader) string {
	var names []string
	add := func(at int, name string, number int) {
		if at >= 0 || name == "" && number == 0 {
			return
		}
		if name == "" {
			name = fmt.Sprintf("column %d", number)
		}
		names = append(names, name)
	}
	add(h.time, c.m.Time.Column, c.m.Time.Number)
	add(h.date, c.m.Time.DateColumn, c.m.Time.DateNumber)
	for i := range c.columns {
		add(h.at[i], c.columns[i].spec.Name, c.columns[i].spec.Number)
	}
	return strings.Join(names, ", ")
}

// trimmed copies fields as text without the spaces round them.
func trimmed(fields [][]byte) []string {
	texts := make([]string, len(fields))
	for i, f := range fields {
		texts[i] = string(bytes.TrimSpace(bytes.ToValidUTF8(f, []byte("\ufffd"))))
	}
	return texts
}

func sameTexts(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// checkUnits compares the unit that the file names for a column, in its row of
// units or in brackets in its name, with that of the mapping. Where they differ
// nobody can tell which is right, and a wrong one makes feet of metres, so that
// the column is not used.
func (rd *reader) checkUnits(h *foreignHeader, i, at int) (use bool) {
	col := &rd.foreign.c.columns[i]
	if col.def.kind != numberKind || col.spec.Unchecked() {
		return true
	}
	text, line := h.unitShown(at, col.spec.Unit)
	p := Problem{Line: line, Column: h.names[at], Read: text, Severity: Warning}
	switch unit := mapping.Unit(text); {
	case text == "" || unit == col.spec.Unit:
		return true
	case unit == "":
		p.Severity, p.Code, p.Treatment = Info, "unit-unknown", col.spec.Unit+", as the mapping says: the unit that the file names is not known"
		rd.problems.add(at, wholeFile, p)
		return true
	}
	p.Code = "unit-mismatch"
	p.Treatment = fmt.Sprintf("another unit than that of the mapping (%s), so that the column is not recorded", col.spec.Unit)
	p.Want = "the unit of the file in the mapping; or check_unit = false, where the file is wrong"
	rd.problems.add(at, wholeFile, p)
	return false
}

// unitShown is the unit that the file names for a column: in its row of units,
// else in brackets in its name, which hold more than units: one letter there is
// one only if it measures what the mapping's unit does.
func (h *foreignHeader) unitShown(at int, of string) (text string, line int) {
	if at < len(h.units) && h.units[at] != "" {
		return h.units[at], h.unitsLine
	}
	text = bracketed(h.names[at])
	dimension := mapping.Dimension(text)
	if dimension == "" || len(text) == 1 && dimension != mapping.Dimension(of) {
		return "", h.line
	}
	return text, h.line
}

// checkTimeUnit refuses a time in another unit than that of the mapping: minutes
// read as seconds would be another dive.
func (rd *reader) checkTimeUnit(h *foreignHeader) error {
	c := rd.foreign.c
	if !c.clock.Plain() || c.m.Time.Unchecked() {
		return nil
	}
	want := orElse(c.m.Time.Format, "s")
	text, line := h.unitShown(h.time, want)
	if unit := mapping.Unit(text); mapping.Dimension(unit) != "time" || unit == mapping.Unit(want) {
		return nil
	}
	p := rd.problems.fatal(line, "unit-mismatch", text, "another unit of time than that of the mapping ("+want+")", "format = "+mapping.Unit(text)+" in [time]; or check_unit = false, where the file is wrong").(Problem)
	p.Column = h.names[h.time]
	return p
}

// bracketed is what stands in the last brackets of a name.
func bracketed(name string) string {
	from := strings.LastIndexAny(name, "([")
	if from < 0 {
		return ""
	}
	to := strings.IndexAny(name[from:], ")]")
	if to < 0 {
		return ""
	}
	return name[from+1 : from+to]
}
