package mapping

import (
	"bytes"
	"fmt"
	"strconv"
)

// Text is a constant as the field of a loop log has it; ok is false for a value
// that is neither a text nor a number.
func Text(v any) (text string, ok bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case int64:
		return strconv.FormatInt(v, 10), true
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64), true
	}
	return fmt.Sprint(v), false
}

// Numbers is how numbers are written.
type Numbers struct {
	Decimal   byte
	Thousands byte // 0 for none
	Units     bool // a unit may stand behind the number
}

// Numbers is how the mapping's files write numbers.
func (m *Mapping) Numbers() Numbers {
	n := Numbers{Decimal: m.decimal()[0], Units: m.File.UnitsInCells}
	if m.File.Thousands != "" {
		n.Thousands = m.File.Thousands[0]
	}
	return n
}

// Plain appends a field as a plain decimal with a point to dst. unit is what
// stands behind the number; ok is false for a field that is no number written
// this way. A thousands mark must part groups of three, so that "1.5" under a
// thousands point is no number rather than 15.
func (n Numbers) Plain(dst, field []byte) (plain, unit []byte, ok bool) {
	rest := field
	dst, rest = appendSign(dst, rest)
	if len(rest) > 1 && rest[0] == '0' {
		if size := n.thousandsMark(rest[1:]); size > 0 && len(rest) > 1+size && rest[1+size]-'0' <= 9 {
			return dst, nil, false // no group of thousands is 0: the mark is a decimal mark here
		}
	}
	digits, inGroup, grouped := 0, 0, false
	for len(rest) > 0 {
		size := n.thousandsMark(rest)
		switch {
		case rest[0]-'0' <= 9:
			dst = append(dst, rest[0])
			digits++
			inGroup++
			rest = rest[1:]
			continue
		case size > 0 && digits > 0 && len(rest) > size && rest[size]-'0' <= 9 && n.groupFits(inGroup, grouped):
			rest, inGroup, grouped = rest[size:], 0, true
			continue
		}
		break
	}
	if grouped && inGroup != 3 {
		return dst, nil, false
	}
	if len(rest) > 0 && rest[0] == n.Decimal {
		dst, rest = append(dst, '.'), rest[1:]
		for len(rest) > 0 && rest[0]-'0' <= 9 {
			dst, rest = append(dst, rest[0]), rest[1:]
			digits++
		}
	}
	if digits == 0 {
		return dst, nil, false
	}
	dst, rest = appendExponent(dst, rest)
	unit = bytes.TrimSpace(rest)
	return dst, unit, len(unit) == 0 || n.Units && (unit[0] > '9' || unit[0] == '%')
}

// groupFits tells whether a mark may stand behind so many digits.
func (n Numbers) groupFits(inGroup int, grouped bool) bool {
	return inGroup == 3 || !grouped && inGroup > 0 && inGroup < 3
}

// thousandsMark is the size of the mark at the start of b, 0 where there is none.
func (n Numbers) thousandsMark(b []byte) int {
	switch {
	case n.Thousands == 0:
	case b[0] == n.Thousands:
		return 1
	case n.Thousands == ' ' && bytes.HasPrefix(b, []byte("\u00a0")):
		return len("\u00a0")
	case n.Thousands == ' ' && bytes.HasPrefix(b, []byte("\u202f")):
		return len("\u202f")
	}
	return 0
}

// appendSign takes a sign, the minus of typographers too.
func appendSign(dst, b []byte) (plain, rest []byte) {
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		return append(dst, b[0]), b[1:]
	}
	if after, ok := bytes.CutPrefix(b, []byte("\u2212")); ok {
		return append(dst, '-'), after
	}
	return dst, b
}

// appendExponent takes an exponent where a whole one stands.
func appendExponent(dst, b []byte) (plain, rest []byte) {
	if len(b) < 2 || b[0]|0x20 != 'e' {
		return dst, b
	}
	i := 1
	if b[1] == '-' || b[1] == '+' {
		i++
	}
	from := i
	for i < len(b) && b[i]-'0' <= 9 {
		i++
	}
	if i == from {
		return dst, b
	}
	return append(dst, b[:i]...), b[i:]
}
