package report

import (
	"bufio"
	"strings"
	"unicode/utf8"

	"afterloop/analysis"
)

// textWriter sets lines for a terminal. Errors of the writer surface at Flush.
type textWriter struct {
	w     *bufio.Writer
	d     *analysis.Debrief
	clock clock
	color bool
	width int
}

func (t *textWriter) line(s string) {
	t.w.WriteString(strings.TrimRight(s, " "))
	t.w.WriteByte('\n')
}

func (t *textWriter) title(s string) {
	t.line("")
	t.line(t.bold(s))
	t.line(strings.Repeat("-", utf8.RuneCountInString(s)))
}

// para cleans and wraps a text, each line after the indent.
func (t *textWriter) para(indent, s string) { t.wrap(indent, indent, s) }

func (t *textWriter) bullet(s string) { t.wrap("- ", "  ", s) }

// pair prints a named fact.
func (t *textWriter) pair(name, value string) {
	t.wrap(name+strings.Repeat(" ", max(8-len(name), 1)), "        ", value)
}

func (t *textWriter) wrap(first, rest, s string) {
	for i, l := range wrap(Clean(s), t.width-len(first)) {
		if i == 0 {
			t.line(first + l)
		} else {
			t.line(rest + l)
		}
	}
}

// table sets columns side by side; the last one is wrapped into the room left.
// Where that leaves too little room, each row becomes a list of its own.
func (t *textWriter) table(rows [][]string) {
	widths := make([]int, len(rows[0])-1)
	for _, r := range rows {
		for k := range widths {
			widths[k] = max(widths[k], utf8.RuneCountInString(r[k]))
		}
	}
	total := 0
	for _, w := range widths {
		total += w + 2
	}
	if t.width-total < 20 {
		t.rowByRow(rows)
		return
	}
	for _, r := range rows {
		first := ""
		for k, w := range widths {
			first += r[k] + strings.Repeat(" ", w-utf8.RuneCountInString(r[k])+2)
		}
		used := utf8.RuneCountInString(first)
		for i, l := range wrap(r[len(widths)], t.width-used) {
			if i > 0 {
				first = strings.Repeat(" ", used)
			}
			t.line(first + l)
		}
	}
}

// rowByRow prints each row as its name and "heading: value" pairs.
func (t *textWriter) rowByRow(rows [][]string) {
	for _, r := range rows[1:] {
		s := r[0]
		for k := 1; k < len(r); k++ {
			s += "; " + rows[0][k] + ": " + r[k]
		}
		t.bullet(s)
	}
}

func (t *textWriter) bold(s string) string { return t.paint("1", s) }

// paint adds an escape sequence of our own, if asked.
func (t *textWriter) paint(code, s string) string {
	if !t.color {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// wrap breaks s at spaces into lines of at most width runes; a longer word is cut.
func wrap(s string, width int) []string {
	width = max(width, 10)
	var lines []string
	line, n := "", 0
	for _, word := range strings.Fields(s) {
		for {
			k := utf8.RuneCountInString(word)
			if n > 0 && n+1+k <= width {
				line, n = line+" "+word, n+1+k
				break
			}
			if n > 0 {
				lines, line, n = append(lines, line), "", 0
			}
			if k <= width {
				line, n = word, k
				break
			}
			cut := byteOffset(word, width)
			lines, word = append(lines, word[:cut]), word[cut:]
		}
	}
	if n > 0 || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// byteOffset is where the n-th rune of s begins.
func byteOffset(s string, n int) int {
	for i := range s {
		if n == 0 {
			return i
		}
		n--
	}
	return len(s)
}
