package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Clean makes text from a log safe to print on one line of a terminal. Control
// characters (C0, DEL, C1, and with them every escape sequence), line and
// paragraph separators, and the characters that change the direction of text
// are written as visible escapes; bytes that are no UTF-8 as \xNN. Everything
// else stays.
func Clean(s string) string {
	if printable(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case !harmful(r):
			b.WriteRune(r)
		case r < 0x10000:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			fmt.Fprintf(&b, `\U%08x`, r)
		}
		i += size
	}
	return b.String()
}

func printable(s string) bool {
	return utf8.ValidString(s) && strings.IndexFunc(s, harmful) < 0
}

// harmful runes are controls, format characters (direction, zero width), and
// the separators U+2028 and U+2029.
func harmful(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029'
}
