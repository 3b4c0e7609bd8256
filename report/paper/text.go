package paper

import (
	"bufio"
	"io"
	"strings"
	"unicode/utf8"

	"afterloop/analysis"
	"afterloop/report"
)

// Text sets lines for a terminal; all that comes from a file is cleaned.
type Text struct {
	w     *bufio.Writer
	color bool
	width int
}

// NewText sets lines on w; they are written by [Text.Flush].
func NewText(w io.Writer, o report.TextOptions) *Text {
	width := o.Width
	if width <= 0 {
		width = 80
	}
	return &Text{bufio.NewWriter(w), o.Color, max(width, 40)}
}

// Bold marks s where colours are wanted; clean it first.
func (t *Text) Bold(s string) string {
	if !t.color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// Title sets an underlined heading.
func (t *Text) Title(s string) {
	t.w.WriteString("\n" + t.Bold(report.Clean(s)) + "\n" + strings.Repeat("-", min(utf8.RuneCountInString(s), t.width)) + "\n")
}

// Para sets a paragraph.
func (t *Text) Para(s string) { t.Item("", s) }

// Item is a paragraph whose first line has a sign before it.
func (t *Text) Item(sign, s string) {
	for i, l := range report.Wrap(report.Clean(s), t.width-len(sign)) {
		if i > 0 {
			sign = strings.Repeat(" ", len(sign))
		}
		t.w.WriteString(strings.TrimRight(sign+l, " ") + "\n")
	}
}

// Table sets columns; a table that is too wide becomes a list.
func (t *Text) Table(rows [][]string) {
	widths := make([]int, len(rows[0]))
	total := 0
	for k := range widths {
		for i := range rows {
			rows[i][k] = report.Clean(rows[i][k])
			widths[k] = max(widths[k], utf8.RuneCountInString(rows[i][k]))
		}
		total += widths[k] + 2
	}
	if total-2 > t.width {
		for _, r := range rows[1:] {
			s := r[0]
			for k := 1; k < len(r); k++ {
				s += "; " + rows[0][k] + " " + r[k]
			}
			t.Item("- ", s)
		}
		return
	}
	for _, r := range rows {
		line := ""
		for k, c := range r {
			line += c + strings.Repeat(" ", widths[k]-utf8.RuneCountInString(c)+2)
		}
		t.w.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// Findings lists findings, each with its observation and the technician's advice.
func (t *Text) Findings(fs []analysis.Finding) {
	t.Title("Findings: " + Itoa(len(fs)))
	if len(fs) == 0 {
		t.Para("No finding was made by the checks that ran. See below for what was not assessed.")
	}
	sign := map[analysis.Severity]string{analysis.Warning: "!! ", analysis.Caution: "! ", analysis.Note: "· "}
	for _, x := range fs {
		what := strings.ToUpper(string(x.Severity)) + " " + x.Title
		if x.Cell != nil {
			what += ", cell " + Itoa(*x.Cell)
		}
		t.Item(sign[x.Severity], what+" ("+string(x.Confidence)+")")
		t.Item("   ", x.Observed)
		t.Item("   ", "Technician: "+x.Advice.Technician)
	}
}

// Unassessed lists the checks that did not run, or did not settle.
func (t *Text) Unassessed(cs []analysis.Check) {
	t.Title("Not assessed, or borderline")
	n := 0
	for _, c := range cs {
		if c.Outcome == analysis.NotAssessed || c.Outcome == analysis.Borderline {
			n++
			t.Item("- ", c.Title+": "+OutcomeWord(c.Outcome)+": "+c.Reason)
		}
	}
	if n == 0 {
		t.Para("Every check that applies ran and settled.")
	}
}

// Itoa writes a count.
func Itoa(n int) string { return Value(analysis.Float(n), 0) }

// Short leaves the reason to the page.
func Short(v analysis.Interval) analysis.Interval { v.Reason = ""; return v }

// OrElse is s, or other where s is empty.
func OrElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// Head sets the first line, in bold.
func (t *Text) Head(s string) { t.w.WriteString(t.Bold(report.Clean(s)) + "\n") }

// Blank sets an empty line.
func (t *Text) Blank() { t.w.WriteString("\n") }

// Flush writes what is still held back.
func (t *Text) Flush() error { return t.w.Flush() }
