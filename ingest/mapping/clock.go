package mapping

import (
	"bytes"
	"strings"
	"time"
)

const (
	secondsPerDay = 86400
	maxDigits     = 9 // of a part of a clock
)

// Clock reads the time of a row.
type Clock struct {
	perS          float64 // seconds in one of a plain number; 0 for a clock
	date, clock   []token
	numbers       Numbers
	dated, twelve bool
}

// Moment is a time as read. Its seconds count from midnight of Day, or from
// zero where it is no clock.
type Moment struct {
	// S is seconds, with Decimals digits behind the point.
	S        float64
	Decimals int
	// Day counts days since 1970-01-01, in the clock's own zone; only where Dated.
	Day   int64
	Dated bool
	// ZoneS is the offset from UTC in seconds; only where Zoned.
	ZoneS int
	Zoned bool
}

// kinds of tokens.
const (
	literal = iota
	year4
	year2
	month
	monthName
	day
	hour
	minute
	second
	half
	zone
)

type token struct {
	kind int
	text string // of a literal
	wide bool   // exactly two digits
}

var letters = []struct {
	text string
	kind int
}{{"YYYY", year4}, {"YY", year2}, {"MMM", monthName}, {"MM", month}, {"M", month}, {"DD", day}, {"D", day},
	{"hh", hour}, {"h", hour}, {"mm", minute}, {"ss", second}, {"AM", half}, {"Z", zone}}

// Clock is the clock of the mapping's files.
func (m *Mapping) Clock() (*Clock, error) {
	c := &Clock{numbers: m.Numbers()}
	if m.Time.Zone != "" {
		if _, ok := zoneSeconds(m.Time.Zone); !ok {
			return nil, m.Fail("time.zone", `give an offset from UTC such as "+02:00" or "Z"`)
		}
	}
	switch m.Time.Format {
	case "s", "":
		c.perS = 1
	case "ms":
		c.perS = 1e-3
	case "min":
		c.perS = 60
	case "h":
		c.perS = 3600
	default:
		c.clock = tokens(m.Time.Format)
	}
	c.date = tokens(m.Time.DateFormat)
	return c, c.check(m)
}

// NewClock reads dates and clocks of one format, as in metadata.start.
func NewClock(format string) (*Clock, bool) {
	c := &Clock{clock: tokens(format)}
	n := c.count()
	c.dated, c.twelve = n[month]+n[monthName] > 0, n[half] > 0
	return c, (n[year4] == 1 || n[year2] == 1) && n[month]+n[monthName] == 1 && n[day] == 1
}

// count counts the tokens of each kind in the date and the clock.
func (c *Clock) count() map[int]int {
	n := map[int]int{}
	for _, t := range append(append([]token{}, c.date...), c.clock...) {
		n[t.kind]++
	}
	return n
}

func (c *Clock) check(m *Mapping) error {
	n := c.count()
	years, months := n[year4]+n[year2], n[month]+n[monthName]
	c.dated, c.twelve = years > 0, n[half] > 0
	for kind, times := range n {
		if kind != literal && times > 1 {
			return m.Fail("time.format", "it has one part twice")
		}
	}
	switch {
	case (years > 0) != (months > 0) || (years > 0) != (n[day] > 0):
		return m.Fail("time.format", "a date needs year, month and day")
	case c.perS > 0 && c.dated:
		return m.Fail("time.format", "a date goes with a clock, not with a number; give the letters of the clock, such as hh:mm:ss")
	case c.perS == 0 && n[minute] == 0:
		return m.Fail("time.format", "give s, ms, min or h, or letters with mm, such as hh:mm:ss or mm:ss")
	case c.dated && n[hour] == 0:
		return m.Fail("time.format", "a date needs a clock with hours")
	case c.twelve && n[hour] == 0:
		return m.Fail("time.format", "AM needs hours")
	}
	return nil
}

// Dated is true where a time carries its date, so that midnight is no question.
func (c *Clock) Dated() bool { return c.dated }

// Plain is true for times that are numbers.
func (c *Clock) Plain() bool { return c.perS > 0 }

// tokens cuts a format. Numbers without anything between have their full width.
func tokens(format string) []token {
	var out []token
next:
	for format != "" {
		for _, l := range letters {
			if strings.HasPrefix(format, l.text) {
				out = append(out, token{kind: l.kind, wide: len(l.text) == 2})
				format = format[len(l.text):]
				continue next
			}
		}
		out = append(out, token{kind: literal, text: format[:1]})
		format = format[1:]
	}
	for i := range out {
		out[i].wide = out[i].wide && (i+1 < len(out) && out[i+1].isNumber() || i > 0 && out[i-1].isNumber())
	}
	return out
}

func (t token) isNumber() bool {
	return t.kind != literal && t.kind != monthName && t.kind != half && t.kind != zone
}

// Parse reads the fields of a row; date is empty where the time's own field has it.
func (c *Clock) Parse(date, clock []byte) (Moment, bool) {
	if c.perS > 0 {
		return c.number(clock)
	}
	p := parts{}
	if len(c.date) > 0 && !p.read(c.date, bytes.TrimSpace(date)) || !p.read(c.clock, bytes.TrimSpace(clock)) {
		return Moment{}, false
	}
	return p.moment(c)
}

func (c *Clock) number(b []byte) (Moment, bool) {
	plain, unit, ok := c.numbers.Plain(make([]byte, 0, 24), bytes.TrimSpace(b))
	if !ok || len(unit) > 0 && Dimension(string(unit)) != "time" {
		return Moment{}, false
	}
	v, decimals, ok := decimal(plain)
	if c.perS < 1 {
		return Moment{S: v / 1000, Decimals: decimals + 3}, ok
	}
	return Moment{S: v * c.perS, Decimals: decimals}, ok
}

// parts is what has been read of one time.
type parts struct {
	year, month, day, hour, minute int
	s                              float64
	decimals                       int
	pm, hasHour, zoned             bool
	zoneS                          int
}

// moment puts the parts together; ok is false for a time that no clock shows.
func (p *parts) moment(c *Clock) (m Moment, ok bool) {
	switch {
	case p.hasHour && p.minute >= 60 || p.s >= 60:
		return m, false
	case c.twelve && (p.hour < 1 || p.hour > 12):
		return m, false
	case c.dated && p.hour > 23:
		return m, false
	}
	if c.twelve {
		p.hour %= 12
		if p.pm {
			p.hour += 12
		}
	}
	m = Moment{S: float64(p.hour)*3600 + float64(p.minute)*60 + p.s, Decimals: p.decimals, ZoneS: p.zoneS, Zoned: p.zoned, Dated: c.dated}
	if c.dated {
		t := time.Date(p.year, time.Month(p.month), p.day, 0, 0, 0, 0, time.UTC)
		if t.Day() != p.day || int(t.Month()) != p.month {
			return m, false
		}
		m.Day = t.Unix() / secondsPerDay
		if t.Unix() < 0 {
			return m, false
		}
	}
	return m, true
}

// ZoneSeconds is the offset of time.zone; ok is false where none is given.
func (m *Mapping) ZoneSeconds() (s int, ok bool) { return zoneSeconds(m.Time.Zone) }
