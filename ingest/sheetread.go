package ingest

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

const wantSheet = "lines with # above a header, the header, then rows of numbers"

// sheetReader is one sheet while it is read.
type sheetReader struct {
	*Sheet
	format SheetFormat
	s      splitter
	names  []string
	at     []int // for each field, its index in Columns, or -1
	timeAt int
	clock  bool
	perS   float64
}

func (rd *sheetReader) preamble() error {
	for rd.s.pos < len(rd.s.data) {
		line, size, _ := lineAt(rd.s.data[rd.s.pos:])
		switch {
		case len(line) > MaxLineBytes:
			return rd.Fatal(rd.s.line, "line-too-long", string(line[:shownRunes]), "no line of a sheet", wantSheet)
		case len(bytes.TrimSpace(line)) == 0:
		case line[0] == '#':
			key, value, _ := strings.Cut(string(line[1:]), ":")
			rd.Meta = append(rd.Meta, KeyValue{Key: strings.TrimSpace(key), Value: strings.TrimSpace(value), Line: rd.s.line})
		default:
			return nil
		}
		rd.s.pos += size
		rd.s.line++
	}
	return nil
}

func (rd *sheetReader) header() error {
	if !rd.s.next() {
		return rd.Fatal(rd.s.line, "no-header", "the end of the file", "nothing: there is no header", wantSheet)
	}
	rec := rd.s.rec
	rd.timeAt, rd.HeaderLine = -1, rec.line
	for i, f := range rec.fields {
		name := strings.TrimSpace(string(f))
		rd.names = append(rd.names, name)
		if err := rd.headerField(i, name, rec.line); err != nil {
			return err
		}
	}
	if rd.timeAt < 0 {
		return rd.Fatal(rec.line, "no-time-column", strings.Join(rd.names, ","), "no sheet: it has no column of time", "a column time_s, time_min or time")
	}
	return nil
}

func (rd *sheetReader) headerField(i int, name string, line int) error {
	rd.at = append(rd.at, -1)
	switch lower := strings.ToLower(name); lower {
	case "time_s", "time_min", "time":
		if rd.timeAt >= 0 {
			return rd.Fatal(line, "duplicate-column", name, "a second column of time", "one column of time")
		}
		rd.timeAt, rd.clock, rd.perS = i, lower == "time", map[string]float64{"time_s": 1, "time_min": 60, "time": 1}[lower]
		return nil
	default:
		def, number := rd.format.match(lower)
		if def == nil {
			if name != "" {
				rd.Unknown = append(rd.Unknown, name)
				rd.Add(Problem{Line: line, Column: name, Read: name, Severity: Info, Code: "unknown-column", Treatment: "a column that the format does not define"})
			}
			return nil
		}
		if rd.Find(def.Key, number) != nil {
			return rd.Fatal(line, "duplicate-column", name, "the same quantity a second time", "each quantity once")
		}
		rd.at[i] = len(rd.Columns)
		rd.Columns = append(rd.Columns, SheetColumn{Name: name, Key: def.Key, Number: number, def: def})
		return nil
	}
}

// match finds the definition of a column name; # stands for a number from 1.
func (f *SheetFormat) match(name string) (*SheetColumnDef, int) {
	for i := range f.Columns {
		d := &f.Columns[i]
		head, tail, numbered := strings.Cut(d.Name, "#")
		if !numbered {
			if name == d.Name {
				return d, 0
			}
			continue
		}
		if rest, ok := strings.CutPrefix(name, head); ok {
			if digits, ok := strings.CutSuffix(rest, tail); ok && digits != "" && digits[0] != '0' {
				if n, err := strconv.Atoi(digits); err == nil && n >= 1 && n <= MaxCells {
					return d, n
				}
			}
		}
	}
	return nil, 0
}

func (rd *sheetReader) rows() error {
	for record := 0; rd.s.next(); record++ {
		rec := rd.s.rec
		if rec.blank() {
			continue
		}
		if len(rec.fields) > len(rd.names) {
			rd.problems.add(wholeFile, record, Problem{Line: rec.line, Read: string(bytes.Join(rec.fields, []byte(","))), Severity: Warning, Code: "long-row",
				Treatment: fmt.Sprintf("a row left out: it has more than %d fields", len(rd.names)), Want: "as many fields as the header, numbers with a decimal point"})
			continue
		}
		if rec.cut {
			rd.cutField(&rec)
		}
		if tS, ok := rd.rowTime(rec, record); ok {
			rd.TimeS, rd.Line = append(rd.TimeS, tS), append(rd.Line, rec.line)
			rd.fields(rec, record)
		}
	}
	if len(rd.TimeS) == 0 {
		return rd.Fatal(rd.s.line, "no-rows", strings.Join(rd.names, ","), "a header without a usable row", "at least one row with a time")
	}
	return nil
}

// cutField takes off the last field of a line that the file's end cut through.
func (rd *sheetReader) cutField(rec *record) {
	rd.Source.Truncated = true
	last := len(rec.fields) - 1
	rd.Add(Problem{Line: rec.line, Column: rd.names[last], Read: string(rec.fields[last]), Severity: Warning, Code: "truncated",
		Treatment: "not recorded: the last line has no line end, so that its last field may be cut off"})
	rec.fields = rec.fields[:last]
}

// rowTime is the time of a row; a row without one, or not later than the one
// before, is left out.
func (rd *sheetReader) rowTime(rec record, record int) (float64, bool) {
	var field []byte
	if rd.timeAt < len(rec.fields) {
		field = rec.fields[rd.timeAt]
	}
	read := parseDecimal
	if rd.clock {
		read = parseClock
	}
	tS, _, ok := read(field)
	tS *= rd.perS
	p := Problem{Line: rec.line, Column: rd.names[rd.timeAt], Read: string(field), Severity: Warning}
	if n := len(rd.TimeS); !ok || tS < -maxAbsTimeS || tS > maxAbsTimeS {
		p.Code, p.Treatment, p.Want = "no-time", "a row without a time, which is left out", "a plain decimal, or mm:ss in a column time"
	} else if n > 0 && tS <= rd.TimeS[n-1] {
		p.Code, p.Treatment, p.Want = "time-order", "a row left out: its time is not later than that of the row before", "time that increases from row to row"
	} else {
		return tS, true
	}
	rd.problems.add(rd.timeAt, record, p)
	return 0, false
}

// fields adds one row to every column.
func (rd *sheetReader) fields(rec record, record int) {
	for i := range rd.names {
		if rd.at[i] < 0 {
			continue
		}
		c := &rd.Columns[rd.at[i]]
		var field []byte
		if i < len(rec.fields) {
			field = trimBlank(rec.fields[i])
		}
		p := Problem{Line: rec.lineOf(i), Column: c.Name, Read: string(field), Severity: Warning, Treatment: "not recorded"}
		if bad := c.add(field, &p); bad {
			rd.problems.add(i, record, p)
		}
	}
}

// add appends a field; bad tells that p says what is wrong with it.
func (c *SheetColumn) add(field []byte, p *Problem) (bad bool) {
	if c.def.Words != nil {
		word, ok := c.def.word(string(field))
		c.Words = append(c.Words, word)
		p.Code, p.Want = "unknown-word", "one of "+strings.Join(c.def.Words, ", ")
		return !ok
	}
	if len(field) == 0 {
		c.Values = append(c.Values, Missing())
		return false
	}
	v, decimals, ok := parseDecimal(field)
	switch {
	case !ok:
		p.Code, p.Want = "not-a-number", "a plain decimal with a point, such as 1.28, or an empty field"
	case !(v >= c.def.Lowest && v <= c.def.Highest):
		p.Code, p.Want = "impossible", fmt.Sprintf("a value from %s to %s %s", shortNumber(c.def.Lowest), shortNumber(c.def.Highest), c.def.Unit)
	default:
		c.Decimals = max(c.Decimals, decimals)
		c.Values = append(c.Values, v*c.def.Mul)
		return false
	}
	c.Values = append(c.Values, Missing())
	return true
}

func (d *SheetColumnDef) word(s string) (string, bool) {
	if s == "" || d.Words[0] == "*" {
		return s, true
	}
	for _, w := range d.Words {
		if strings.EqualFold(s, w) {
			return w, true
		}
	}
	return "", false
}

// Step is the rounding step of a column of numbers in the format's unit, 0 where unknown.
func (c *SheetColumn) Step() float64 {
	if c == nil || len(c.Values) == 0 {
		return 0
	}
	return roundingStep(c.Values, 1/c.def.Mul, c.Decimals) * c.def.Mul
}
