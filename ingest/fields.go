package ingest

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// The numbers that stand for "not recorded".
const (
	notRecordedMinus1 = -1
	notRecorded65535  = 65535
)

// readFields adds one row to every column but the time.
func (rd *reader) readFields(rec *record) {
	t := &rd.t
	for i := range t.cols {
		if i == t.timeAt {
			continue
		}
		c := &t.cols[i]
		if i >= len(rec.fields) || len(rec.fields[i]) == 0 {
			c.addMissing()
			continue
		}
		field := rec.fields[i]
		switch c.kind {
		case numberKind:
			v, decimals, ok := parseDecimal(field)
			if !ok || !(v >= c.lowest && v <= c.highest) {
				v, ok = rd.oddNumber(i, rec, v, ok)
			}
			if !ok {
				c.addMissing()
				continue
			}
			c.decimals = max(c.decimals, decimals)
			c.values = append(c.values, c.def.base(v))
		case codeKind:
			c.codes = append(c.codes, rd.code(i, rec))
		case sparseKind:
			rd.addMark(i, field)
		default:
			c.addText(rd.text(field))
		}
	}
}

// addText keeps one string for a run of equal ones.
func (c *column) addText(s string) {
	if n := len(c.texts); n > 0 && c.texts[n-1] == s {
		s = c.texts[n-1]
	}
	c.texts = append(c.texts, s)
}

// addMark keeps text on the row just begun.
func (rd *reader) addMark(i int, field []byte) {
	if text := strings.TrimSpace(rd.text(field)); text != "" {
		c := &rd.t.cols[i]
		c.marks = append(c.marks, mark{rd.t.rows() - 1, text})
	}
}

// oddNumber looks again at a field that is no number or lies outside the
// bounds; ok is false where nothing was recorded.
func (rd *reader) oddNumber(i int, rec *record, v float64, isNumber bool) (float64, bool) {
	c := &rd.t.cols[i]
	field := rec.fields[i]
	lowest, highest := c.def.bounds()
	p := Problem{Read: string(rec.asRead(i)), Severity: Warning, Treatment: "not recorded"}
	switch {
	case len(trimBlank(field)) == 0:
		return 0, false
	case !isNumber:
		p.Code, p.Want = "not-a-number", c.wantNumber()
	case v == notRecorded65535 || v == notRecordedMinus1 && c.def.sentinels == neverNegative:
		p.Code, p.Severity = "sentinel", Info
	case v < lowest || v > highest:
		p.Code, p.Want = "impossible", c.wantRange()
	default:
		return v, true
	}
	rd.rowProblem(i, rec.lineOf(i), p)
	return 0, false
}

// wantRange says what an instrument can give, in the file's unit.
func (c *column) wantRange() string {
	lowest, highest := c.def.inFile(c.def.lowest), c.def.inFile(c.def.highest)
	return fmt.Sprintf("a value from %s to %s %s", shortNumber(lowest), shortNumber(highest), c.unit())
}

// unit is the unit of the file.
func (c *column) unit() string {
	switch {
	case c.def.from != "":
		return c.def.from
	case c.def.quantity == loopHeQuantity:
		return "(a fraction)"
	case c.def.unit == "1":
		return "openings"
	}
	return c.def.unit
}

// shortNumber is v with four significant digits, without an exponent.
func shortNumber(v float64) string {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 3, 64), 64)
	if err != nil {
		r = v
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

func formatFixed(v float64, decimals int) string {
	return strconv.FormatFloat(v, 'f', min(decimals, exactDigits), 64)
}

// code reads one of a column's fixed words, 0 for none of them.
func (rd *reader) code(i int, rec *record) uint8 {
	c := &rd.t.cols[i]
	word := trimBlank(rec.fields[i])
	if len(word) == 0 {
		return 0
	}
	for k, w := range c.def.words {
		if string(word) == w {
			return uint8(k)
		}
	}
	for k, w := range c.def.words {
		if bytes.EqualFold(word, []byte(w)) {
			rd.rowProblem(i, rec.lineOf(i), Problem{Severity: Info, Code: "word-spelling", Read: string(rec.asRead(i)), Treatment: w, Want: w})
			return uint8(k)
		}
	}
	rd.rowProblem(i, rec.lineOf(i), Problem{Severity: Warning, Code: "unknown-word", Read: string(rec.asRead(i)),
		Treatment: "not recorded", Want: c.wantWord()})
	return 0
}

// meaningText says in words what the column holds.
func (c *column) meaningText() string {
	if c.def == nil {
		return ""
	}
	s := fill(c.def.meaning, c.key.number, c.key.letter)
	if c.def.unit != "" && c.def.unit != "1" {
		s += ", " + c.def.unit
	}
	if c.def.from != "" {
		s += " (from " + c.def.from + ")"
	}
	if c.spare {
		s += "; not used, another column gives the same"
	}
	return s
}
