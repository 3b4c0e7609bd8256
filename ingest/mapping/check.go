package mapping

import (
	"regexp"
	"sort"
	"strings"
)

// check finds what can't be right whatever the columns mean.
func (m *Mapping) check() error {
	if m.Version != Version {
		return m.Fail("mapping", "give mapping = 1, the version of the language")
	}
	for _, f := range []func() error{m.checkFile, m.checkTime, m.checkDives, m.checkColumns, m.checkMetadata} {
		if err := f(); err != nil {
			return err
		}
	}
	return nil
}

func oneOf(s string, words ...string) bool {
	for _, w := range words {
		if s == w {
			return true
		}
	}
	return false
}

func (m *Mapping) checkFile() error {
	f := m.File
	switch d := f.Delimiter; {
	case !oneOf(f.Encoding, "", "utf-8", "utf-16", "utf-16le", "utf-16be", "windows-1252"):
		return m.Fail("file.encoding", "give utf-8, utf-16, utf-16le, utf-16be or windows-1252")
	case len(d) > 1 || d != "" && (d[0] >= 0x80 || strings.ContainsAny(d, "\"\r\n\x00")):
		return m.Fail("file.delimiter", "give one ASCII character that is no quote and no line end")
	case !oneOf(f.Decimal, "", ".", ","):
		return m.Fail("file.decimal", `give "." or ","`)
	case !oneOf(f.Thousands, "", ".", ",", "'", "_", " "):
		return m.Fail("file.thousands", `give ".", ",", "'", "_" or " ", or nothing`)
	case f.Thousands != "" && f.Thousands == m.decimal():
		return m.Fail("file.thousands", "it is the decimal mark too")
	case f.SkipLines < 0:
		return m.Fail("file.skip_lines", "give a number from 0")
	case m.Header.Absent && m.Header.UnitsRow:
		return m.Fail("header.units_row", "there is no row of units without a row of names")
	}
	return nil
}

func (m *Mapping) decimal() string {
	if m.File.Decimal == "" {
		return "."
	}
	return m.File.Decimal
}

func (m *Mapping) checkTime() error {
	t := m.Time
	if err := m.checkPlace("time.column", t.Column, t.Number, true); err != nil {
		return err
	}
	if err := m.checkPlace("time.date_column", t.DateColumn, t.DateNumber, false); err != nil {
		return err
	}
	if (t.DateColumn != "" || t.DateNumber != 0) != (t.DateFormat != "") {
		return m.Fail("time.date_format", "date_column and date_format go together; letters are YYYY YY MM M MMM DD D")
	}
	if !oneOf(t.Zero, "", "as-written", "first-row") {
		return m.Fail("time.zero", "give as-written or first-row")
	}
	if _, err := m.Clock(); err != nil {
		return err
	}
	return nil
}

// checkPlace makes sure that a column of theirs is given in one way.
func (m *Mapping) checkPlace(key, name string, number int, required bool) error {
	switch {
	case name != "" && number != 0:
		return m.Fail(key, "give a name or a number, not both")
	case number < 0:
		return m.Fail(key, "columns are counted from 1")
	case required && name == "" && number == 0:
		return m.Fail(key, "say which of their columns it is: a name or a number")
	case name != "" && m.Header.Absent:
		return m.Fail(key, "a file without a row of names has columns by number only")
	}
	return nil
}

func (m *Mapping) checkDives() error {
	d := m.Dives
	if !oneOf(d.Split, "", "none", "column", "header", "blank-line", "time-restarts", "gap") {
		return m.Fail("dives.split", "give none, column, header, blank-line, time-restarts or gap")
	}
	if err := m.checkPlace("dives.column", d.Column, d.Number, d.Split == "column"); err != nil {
		return err
	}
	switch {
	case d.Split == "gap" && !(d.GapMinutes > 0):
		return m.Fail("dives.gap_min", "give the minutes of a pause that parts two dives")
	case d.Split == "header" && m.Header.Absent:
		return m.Fail("dives.split", "there is no header that could come again")
	case !oneOf(m.Events.Unlisted, "", "note", "drop"):
		return m.Fail("events.unlisted", "give note or drop")
	}
	return nil
}

func (m *Mapping) checkColumns() error {
	for _, ours := range sorted(m.Columns) {
		c, key := m.Columns[ours], "columns."+ours
		if c.Constant != nil {
			if c.Name != "" || c.Number != 0 {
				return m.Fail(key, "give a constant or a column of theirs, not both")
			}
			if _, ok := Text(c.Constant); !ok {
				return m.Fail(key+".constant", "give a text or a number")
			}
		} else if err := m.checkPlace(key, c.Name, c.Number, true); err != nil {
			return err
		}
		if c.Scale != nil && *c.Scale == 0 {
			return m.Fail(key+".scale", "a scale of 0 makes every value one")
		}
	}
	return nil
}

func (m *Mapping) checkMetadata() error {
	for _, k := range sorted(m.Metadata) {
		v, key := m.Metadata[k], "metadata."+k
		given := 0
		for _, is := range []bool{v.Constant != nil, v.Label != "", v.Pattern != "", v.Column != ""} {
			if is {
				given++
			}
		}
		if given != 1 {
			return m.Fail(key, "give one of constant, label, pattern and column")
		}
		if _, ok := Text(v.Constant); v.Constant != nil && !ok {
			return m.Fail(key+".constant", "give a text or a number")
		}
		if re, err := regexp.Compile(v.Pattern); err != nil {
			return m.Fail(key+".pattern", "no regular expression: %s", printable(err.Error()))
		} else if v.Pattern != "" && re.NumSubexp() == 0 {
			return m.Fail(key+".pattern", "put brackets round the value")
		}
	}
	return nil
}

// sorted is the keys of a table, in order.
func sorted[T any](table map[string]T) []string {
	keys := make([]string, 0, len(table))
	for k := range table {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
