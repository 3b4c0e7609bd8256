package draft

import (
	"fmt"
	"strings"

	"afterloop/ingest/mapping"
)

// writer writes the mapping with its reasons.
type writer struct {
	t         *table
	b         strings.Builder
	undecided []string
	timing    timing
	words     map[string][]string // table -> their words, each once
	columns   strings.Builder
	cells     map[int]bool
}

func (w *writer) p(format string, args ...any) { fmt.Fprintf(&w.b, format, args...) }

// set writes a key and why.
func (w *writer) set(key, value, why string) {
	if why != "" {
		why = "  # " + why
	}
	w.p("%s = %s%s\n", key, value, why)
}

// ask notes what the file does not settle, in the mapping and in the list.
func (w *writer) ask(question string) {
	w.undecided = append(w.undecided, question)
	w.p("# UNDECIDED: %s\n", oneLine(question))
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// q is a text of TOML.
func q(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.ToValidUTF8(s, "\ufffd") {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\t':
			b.WriteString(`\t`)
		case r < 0x20 || r >= 0x7f && r < 0xa0 || r == 0x200e || r == 0x200f || r == 0x2028 || r == 0x2029 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func (w *writer) write(name string) {
	t := w.t
	w.words, w.cells = map[string][]string{}, map[int]bool{}
	w.p("# Draft of a mapping for files such as %s. Look at every line before you rely on it:\n", q(name))
	w.p("# each guess says why. Lines that begin with # are not in force.\n")
	w.p("# All keys: afterloop schema mapping\n\nmapping = 1\n\n[file]\n")
	w.set("encoding", q(t.encoding), t.encodingWhy)
	if t.width == 0 || t.headerAt < 0 || len(t.columns) == 0 {
		w.ask("no table was found in the file: no character parts most lines into as many fields below a row of names; give [time] and [columns] by hand, with header.absent where there are no names")
		return
	}
	w.writeFile()
	w.p("\n[header]\n")
	if t.unitsAt >= 0 {
		w.set("units_row", "true", fmt.Sprintf("line %d holds units; they are compared with those below", t.unitsAt+1))
	} else {
		w.set("units_row", "false", "the line below the names is a row")
	}
	w.writeTime()
	w.writeDives()
	w.findColumns()
	w.writeWords()
	w.b.WriteString(w.columns.String())
	w.writeMetadata()
}

func (w *writer) writeFile() {
	t := w.t
	w.set("delimiter", q(t.delimiter), fmt.Sprintf("%d rows have %d fields that way", len(t.rows), t.width))
	if t.decimalWhy == "" {
		w.ask(`some numbers have a point, some a comma: which is the decimal mark? Give decimal = "." or ","`)
	} else {
		w.set("decimal", q(t.decimal), t.decimalWhy)
	}
	if t.thousands != "" {
		w.set("thousands", q(t.thousands), "it stands before groups of three digits and is not the decimal mark")
	}
	if len(t.missing) > 0 {
		quoted := make([]string, len(t.missing))
		for i, m := range t.missing {
			quoted[i] = q(m)
		}
		w.set("missing", "["+strings.Join(quoted, ", ")+"]", "no numbers, in columns of numbers")
	}
	for _, word := range t.doubtful {
		w.ask(fmt.Sprintf("%q stands for nothing in a column of numbers and is a word in another: give missing = [%s] in the column of numbers alone?", word, q(word)))
	}
	if t.unitsInCells {
		w.set("units_in_cells", "true", "a unit stands behind the numbers; it is compared with those below")
	}
	if t.headerAt > 0 {
		w.p("# skip_until = ...  # not needed: the header, line %d, is found by its names\n", t.headerAt+1)
	}
}

func (t *table) clock(tm timing) *mapping.Clock {
	if len(tm.formats) == 0 {
		return nil
	}
	m := mapping.Mapping{Time: mapping.Time{Format: tm.formats[0]}, File: mapping.File{Decimal: t.decimal, Thousands: t.thousands}}
	if tm.dateAt >= 0 && len(tm.dates) == 1 { // else the clock alone is in force
		m.Time.DateFormat = tm.dates[0]
	}
	c, err := m.Clock()
	if err != nil {
		return nil
	}
	return c
}

func (w *writer) writeTime() {
	t := w.t
	w.timing = t.findTime()
	tm := w.timing
	w.p("\n[time]\n")
	if tm.at < 0 {
		w.ask("no column has times of a known form: give column and format")
		return
	}
	w.set("column", q(t.columns[tm.at].name), "")
	tm.formats, tm.why = t.byMidnight(tm, false, tm.formats, tm.why)
	w.chosen("format", tm.formats, tm.why)
	dated := strings.Contains(tm.formats[0], "YY")
	if tm.dateAt >= 0 {
		var why string
		tm.dates, why = t.byMidnight(tm, true, tm.dates, "it reads every date of the file")
		dated = w.writeDate(tm, why)
	}
	w.timing = tm
	if dated && !strings.HasSuffix(tm.formats[0], "Z") {
		w.ask("in which time zone is the clock? With it the start of the dive is known")
		w.p("# zone = \"+00:00\"\n")
	}
}

// chosen writes the one format that fits, or all of them as comments: of a day
// and a month up to 12 nobody can tell which is first.
func (w *writer) chosen(key string, formats []string, why string) {
	if len(formats) == 1 {
		w.set(key, q(formats[0]), why)
		return
	}
	w.ask(fmt.Sprintf("%s: the times of this file fit several forms (%s)", key, strings.Join(formats, ", ")))
	for _, f := range formats {
		w.p("# %s = %s\n", key, q(f))
	}
}

func (w *writer) writeDives() {
	d := w.t.findDives(w.timing)
	w.p("\n[dives]\n")
	if d.open != "" {
		w.ask(d.open)
		w.p("# column = %s\n", q(d.column))
		d = division{split: "none", why: "one dive in this file"}
	}
	w.set("split", q(d.split), d.why)
	if d.column != "" {
		w.set("column", q(d.column), "")
	}
}
