package ingest

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"

	"afterloop/ingest/mapping"
)

// foreignColumn is what a column of a foreign file has besides; empty for a loop log.
type foreignColumn struct {
	clock   *rowClock    // of the time
	foreign *translation // nil for a loop log
}

// rowClock makes seconds of the times of one dive. They count from the midnight
// before its first row, or from that row where the mapping says so.
type rowClock struct {
	clock     *mapping.Clock
	want      string
	begun     bool
	day       int64 // of the first row
	zoneS     int   // of the first row
	zoned     bool
	zeroS     float64 // what is taken off
	fromFirst bool    // the first row is at 0 s
	perS      float64 // of a plain number, for messages
	first     mapping.Moment
}

// fieldBreak parts the date from the time in the field of a row.
const fieldBreak = 0

func (tr *rowTranslator) addTime() {
	t, h := tr.c.m.Time, tr.header
	name := "time"
	if tr.c.clock.Plain() {
		name = "time_s"
	}
	def, key, _ := match(name)
	c := newColumn(h.names[h.time], h.line)
	c.use(def, key)
	k := &rowClock{clock: tr.c.clock, fromFirst: t.Zero == "first-row", want: "a time written as " + t.Format}
	if t.DateFormat != "" {
		k.want += " and a date written as " + t.DateFormat
	}
	if tr.c.clock.Plain() {
		k.want = "a number of " + orElse(t.Format, "s") + " written as the mapping says"
		mul, div, _, _ := mapping.Convert(orElse(t.Format, "s"), "s")
		k.perS = div / mul
	}
	k.zoneS, k.zoned = tr.c.m.ZoneSeconds()
	c.clock = k
	tr.add(c, h.time, nil)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// timeField joins date and time.
func (tr *rowTranslator) timeField(rec *record, raw []byte) {
	date := bytes.TrimSpace(tr.dateField(rec.fields))
	if tr.header.date < 0 {
		tr.out.fields[0] = raw
		return
	}
	b := append(tr.field[0][:0], date...)
	b = append(b, fieldBreak)
	tr.field[0] = append(b, raw...)
	tr.out.fields[0] = tr.field[0]
	tr.out.raw[0] = bytes.ReplaceAll(tr.field[0], []byte{fieldBreak}, []byte{' '})
}

// seconds is the time of a row.
func (k *rowClock) seconds(field []byte) (tS float64, decimals int, ok bool) {
	date, clock, both := bytes.Cut(field, []byte{fieldBreak})
	if !both {
		date, clock = nil, field
	}
	m, ok := k.clock.Parse(date, clock)
	if !ok {
		return 0, 0, false
	}
	if !k.begun {
		k.begin(m)
	}
	tS = m.S
	if m.Dated {
		tS += float64(m.Day-k.day) * secondsPerDay
	}
	if m.Zoned {
		tS -= float64(m.ZoneS - k.zoneS)
	}
	return tS - k.zeroS, m.Decimals, true
}

// begin settles from where the dive's times count.
func (k *rowClock) begin(m mapping.Moment) {
	k.begun, k.day, k.first = true, m.Day, m
	if m.Zoned {
		k.zoneS, k.zoned = m.ZoneS, true
	}
	if k.fromFirst {
		k.zeroS = m.S
	}
}

// start is the moment at 0 s as RFC 3339, empty where date or zone is not known.
func (k *rowClock) start() string {
	if !k.begun || !k.first.Dated || !k.zoned {
		return ""
	}
	zone := time.FixedZone("", k.zoneS)
	t := time.Date(1970, 1, 1+int(k.day), 0, 0, 0, 0, zone).Add(time.Duration(math.Round(k.zeroS * 1e9)))
	if t.Nanosecond() != 0 {
		return t.Format(time.RFC3339Nano)
	}
	return t.Format(time.RFC3339)
}

// text is a time as the file has it, without its date.
func (k *rowClock) text(tS float64, decimals int) string {
	tS += k.zeroS
	if k.perS > 0 {
		return formatFixed(tS*k.perS, decimals)
	}
	if tS < 0 {
		tS += math.Ceil(-tS/secondsPerDay) * secondsPerDay
	}
	return clockText(tS, decimals)
}

// dated is true for times that carry their date: midnight is no question then.
func (c *column) dated() bool { return c.clock != nil && c.clock.clock.Dated() }

// wantNumber says what would be a number.
func (c *column) wantNumber() string {
	if c.foreign == nil {
		return "a plain decimal with a point, such as 1.28, or an empty field"
	}
	n := c.foreign.numbers
	s := fmt.Sprintf("a number such as 1%c28", n.Decimal)
	if n.Thousands != 0 {
		s = fmt.Sprintf("a number such as 1%c234%c5", n.Thousands, n.Decimal)
	}
	if n.Units {
		s += " " + c.unit()
	}
	return s + ", an empty field, or a word that file.missing lists"
}

// wantWord says which words would be understood.
func (c *column) wantWord() string {
	if c.foreign == nil {
		return "one of " + strings.Join(c.def.words[1:], ", ")
	}
	return "a line for it in words, or one of " + strings.Join(c.def.words[1:], ", ")
}

// localized puts the file's decimal mark into a number.
func (c *column) localized(text string) string {
	if c.foreign == nil || c.foreign.numbers.Decimal == '.' {
		return text
	}
	return string(bytes.Replace([]byte(text), []byte{'.'}, []byte{c.foreign.numbers.Decimal}, 1))
}

// wantOneDive is what a file should hold where the time starts again.
func (rd *reader) wantOneDive() string {
	if rd.foreign != nil {
		return "what tells its dives apart, as dives.split in the mapping"
	}
	return "one dive in a file, its time increasing: split it here"
}
