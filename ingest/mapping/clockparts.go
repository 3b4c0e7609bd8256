package mapping

import (
	"bytes"
	"strconv"
	"strings"
)

var monthNames = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// read takes the tokens off b, all of it.
func (p *parts) read(ts []token, b []byte) bool {
	for _, t := range ts {
		var ok bool
		if b, ok = p.take(t, b); !ok {
			return false
		}
	}
	return len(b) == 0
}

// take takes one token off b.
func (p *parts) take(t token, b []byte) (rest []byte, ok bool) {
	switch t.kind {
	case literal:
		if t.text == " " {
			rest = bytes.TrimLeft(b, " \t\u00a0\u202f")
			return rest, true
		}
		return cut(b, t.text)
	case half:
		return p.takeHalf(b)
	case zone:
		return p.takeZone(b)
	case monthName:
		return p.takeMonth(b)
	case second:
		return p.takeSeconds(b, t.wide)
	}
	n := 0
	most := maxDigits
	switch {
	case t.kind == year4:
		most = 4
	case t.wide || t.kind == year2 || t.kind == month || t.kind == day:
		most = 2
	}
	n, rest, ok = takeDigits(b, most)
	if used := len(b) - len(rest); !ok || t.wide && used != 2 || t.kind == year4 && used != 4 || t.kind == year2 && used != 2 {
		return b, false
	}
	p.set(t.kind, n)
	return rest, true
}

func (p *parts) set(kind, n int) {
	switch kind {
	case year4:
		p.year = n
	case year2:
		p.year = 2000 + n
	case month:
		p.month = n
	case day:
		p.day = n
	case hour:
		p.hour, p.hasHour = n, true
	case minute:
		p.minute = n
	}
}

func cut(b []byte, text string) ([]byte, bool) { return bytes.CutPrefix(b, []byte(text)) }

// takeDigits takes 1 to most digits.
func takeDigits(b []byte, most int) (n int, rest []byte, ok bool) {
	i := 0
	for i < len(b) && i < most && b[i]-'0' <= 9 {
		n = n*10 + int(b[i]-'0')
		i++
	}
	return n, b[i:], i > 0
}

// takeSeconds takes one or two digits and decimals behind a point or a comma.
func (p *parts) takeSeconds(b []byte, wide bool) (rest []byte, ok bool) {
	_, rest, ok = takeDigits(b, 2)
	if !ok || wide && len(b)-len(rest) != 2 {
		return b, false
	}
	text := append(make([]byte, 0, 16), b[:len(b)-len(rest)]...)
	if len(rest) > 1 && (rest[0] == '.' || rest[0] == ',') && rest[1]-'0' <= 9 {
		_, after, _ := takeDigits(rest[1:], maxDigits)
		text = append(append(text, '.'), rest[1:len(rest)-len(after)]...)
		rest = after
	}
	p.s, p.decimals, ok = decimal(text)
	return rest, ok
}

// takeHalf takes AM or PM, with points or without.
func (p *parts) takeHalf(b []byte) (rest []byte, ok bool) {
	for _, w := range []string{"am", "pm", "a.m.", "p.m."} {
		if len(b) >= len(w) && strings.EqualFold(string(b[:len(w)]), w) {
			p.pm = w[0] == 'p'
			return b[len(w):], true
		}
	}
	return b, false
}

func (p *parts) takeMonth(b []byte) (rest []byte, ok bool) {
	if len(b) < 3 {
		return b, false
	}
	for i, name := range monthNames {
		if strings.EqualFold(string(b[:3]), name) {
			p.month = i + 1
			return b[3:], true
		}
	}
	return b, false
}

// takeZone takes Z, +hh:mm, +hhmm or +hh, at the end.
func (p *parts) takeZone(b []byte) (rest []byte, ok bool) {
	p.zoneS, p.zoned = zoneSeconds(string(b))
	return nil, p.zoned
}

func zoneSeconds(s string) (int, bool) {
	if s == "Z" || s == "z" || s == "UTC" {
		return 0, true
	}
	digits := strings.Replace(strings.TrimLeft(s, "+-"), ":", "", 1)
	if len(s) < 3 || s[0] != '+' && s[0] != '-' || len(digits) != 2 && len(digits) != 4 {
		return 0, false
	}
	for len(digits) < 4 {
		digits += "0"
	}
	n, err := strconv.Atoi(digits)
	if err != nil || n < 0 || n > 1500 || n%100 > 59 {
		return 0, false
	}
	seconds := n/100*3600 + n%100*60
	if s[0] == '-' {
		seconds = -seconds
	}
	return seconds, true
}

// decimal reads a plain decimal of few digits and counts those behind the point.
func decimal(b []byte) (v float64, decimals int, ok bool) {
	v, err := strconv.ParseFloat(string(b), 64)
	if at := bytes.IndexByte(b, '.'); at >= 0 {
		decimals = len(b) - at - 1
	}
	return v, decimals, err == nil && v > -1e15 && v < 1e15
}
