package mapping

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Decoded is a file as UTF-8.
type Decoded struct {
	Text []byte
	// Encoding is what the bytes were read as.
	Encoding string
	// Odd is true where a byte was left over that makes no character: the file was cut.
	Odd bool
	// Bad is the number of the first line with bytes that are no text in the encoding, 0 for none.
	Bad int
}

var (
	markUTF8    = []byte{0xef, 0xbb, 0xbf}
	markUTF16LE = []byte{0xff, 0xfe}
	markUTF16BE = []byte{0xfe, 0xff}
)

// Decode makes text of the bytes of a file; enc is file.encoding. A byte-order
// mark is taken off. Lone carriage returns become line ends where there are no
// others, so that a line of the text is a line of the file. It never fails:
// what is no character becomes a replacement character, and is said in Bad.
func Decode(b []byte, enc string) Decoded {
	d := Decoded{Encoding: enc}
	if enc == "" {
		d.Encoding = "utf-8"
	}
	d.Encoding, b = withoutMark(b, d.Encoding)
	var e encoding.Encoding
	switch d.Encoding {
	case "utf-16le":
		e = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	case "utf-16be":
		e = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	case "windows-1252":
		e = charmap.Windows1252
	}
	if e == nil {
		d.Text = b
	} else {
		if d.Encoding != "windows-1252" && len(b)%2 == 1 {
			d.Odd, b = true, b[:len(b)-1]
		}
		d.Text, _ = e.NewDecoder().Bytes(b) // a decoder of these replaces what is wrong and gives no error
	}
	d.Text = lineEnds(d.Text)
	d.Bad = badLine(d.Text)
	return d
}

// withoutMark takes a byte-order mark off and settles the order of utf-16.
func withoutMark(b []byte, enc string) (string, []byte) {
	switch {
	case bytes.HasPrefix(b, markUTF8) && enc == "utf-8":
		return enc, b[len(markUTF8):]
	case bytes.HasPrefix(b, markUTF16LE) && (enc == "utf-16" || enc == "utf-16le"):
		return "utf-16le", b[len(markUTF16LE):]
	case bytes.HasPrefix(b, markUTF16BE) && (enc == "utf-16" || enc == "utf-16be"):
		return "utf-16be", b[len(markUTF16BE):]
	case enc == "utf-16":
		return "utf-16le", b
	}
	return enc, b
}

func lineEnds(b []byte) []byte {
	if bytes.IndexByte(b, '\n') >= 0 || bytes.IndexByte(b, '\r') < 0 {
		return b
	}
	return bytes.ReplaceAll(b, []byte{'\r'}, []byte{'\n'})
}

// badLine is the first line with a replacement character or with bytes that are no UTF-8.
func badLine(b []byte) int {
	at := bytes.IndexRune(b, utf8.RuneError) // finds bytes that are no UTF-8 too
	if at < 0 {
		return 0
	}
	return 1 + bytes.Count(b[:at], []byte{'\n'})
}

// Guess is the encoding that the bytes show, and why: a byte-order mark, zeros
// in every second byte, valid UTF-8, or none of them.
func Guess(b []byte) (enc, why string) {
	even, odd := zeros(b)
	switch {
	case bytes.HasPrefix(b, markUTF16LE) || bytes.HasPrefix(b, markUTF16BE):
		return "utf-16", "the file begins with a byte-order mark"
	case odd > len(b)/4 && even*8 < odd:
		return "utf-16le", "every second byte is zero, and no byte-order mark"
	case even > len(b)/4 && odd*8 < even:
		return "utf-16be", "every second byte is zero, from the first, and no byte-order mark"
	case bytes.HasPrefix(b, markUTF8):
		return "utf-8", "the file begins with the mark of UTF-8"
	case utf8.Valid(b):
		return "utf-8", "every byte fits UTF-8"
	}
	return "windows-1252", "some bytes are no UTF-8; the commonest encoding of one byte for a character"
}

// Contradicts names the encoding that the bytes show where it can't be that of
// the mapping: two bytes for a character or one, and in which order. It is empty
// where they may be it.
func Contradicts(b []byte, enc string) (better, why string) {
	guess, why := Guess(b)
	if guess == "utf-16" {
		guess = "utf-16le"
		if bytes.HasPrefix(b, markUTF16BE) {
			guess = "utf-16be"
		}
	} else if enc == "utf-16" {
		enc = "utf-16le" // the order without a mark
	}
	shows, says := strings.HasPrefix(guess, "utf-16"), strings.HasPrefix(enc, "utf-16")
	switch {
	case shows && (!says || enc != "utf-16" && enc != guess):
		return guess, why
	case says && !shows && len(b) > 0 && bytes.IndexByte(b, 0) < 0:
		return guess, "no byte is zero; " + why
	}
	return "", ""
}

func zeros(b []byte) (even, odd int) {
	for i, c := range b {
		switch {
		case c != 0:
		case i%2 == 0:
			even++
		default:
			odd++
		}
	}
	return even, odd
}
