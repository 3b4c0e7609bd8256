package ingest

import (
	"strconv"
	"strings"
)

// match finds the definition of a header name; exact is false where the name
// differs in case or spaces.
func match(name string) (def *columnDef, key columnKey, exact bool) {
	for _, form := range []string{name, squeeze(name, ""), squeeze(name, "_")} {
		for i := range columnDefs {
			d := &columnDefs[i]
			if number, letter, ok := matchPattern(d.name, form); ok {
				same := fill(d.name, number, letter) == name
				return d, columnKey{d.quantity, number, letter}, same
			}
		}
	}
	return nil, columnKey{}, false
}

// squeeze takes the outer spaces off and puts by in the place of inner ones.
func squeeze(name, by string) string { return strings.Join(strings.Fields(name), by) }

// matchPattern compares without regard to case and reads the number or letter.
func matchPattern(pattern, name string) (number int, letter string, ok bool) {
	at := strings.IndexAny(pattern, "#@")
	if at < 0 {
		return 0, "", strings.EqualFold(pattern, name)
	}
	tail := pattern[at+1:]
	part := len(name) - at - len(tail)
	if part < 1 || !strings.EqualFold(name[:at], pattern[:at]) || !strings.EqualFold(name[at+part:], tail) {
		return 0, "", false
	}
	inner := name[at : at+part]
	if pattern[at] == '@' {
		return 0, inner, isLetter(inner)
	}
	number, ok = parseNumber(inner)
	return number, "", ok
}

func isLetter(s string) bool {
	return len(s) == 1 && (s[0]|0x20 >= 'a' && s[0]|0x20 <= 'z')
}

// parseNumber reads the number of a part: 1 to 9999 without leading zeros.
func parseNumber(s string) (int, bool) {
	if len(s) > 4 || s == "" || s[0] == '0' || countDigits([]byte(s)) != len(s) {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

// fill puts a number and a letter into a pattern.
func fill(pattern string, number int, letter string) string {
	if number > 0 {
		pattern = strings.Replace(pattern, "#", strconv.Itoa(number), 1)
	}
	if letter != "" {
		pattern = strings.Replace(pattern, "@", letter, 1)
	}
	return pattern
}
