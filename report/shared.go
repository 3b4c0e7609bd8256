package report

import (
	"bufio"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
)

// This file is what other pages of the house share with the debrief's: its style
// sheet, palette, marks and ways of writing. They live in packages of their own
// (report/bench), since they show other things.

// Stroke is how a line is drawn: Class, DashArray and Width.
type Stroke = stroke

// NumberedStroke is the stroke of the k-th of several like lines, from 0.
func NumberedStroke(k int) Stroke { return numbered(k) }

// LimitStroke is that of a limit.
func LimitStroke() Stroke { return strokeSetPoint }

// MutedStroke is that of a zero line.
func MutedStroke() Stroke { return stroke{inkGrey, "solid", 1.4} }

// FullStroke is that of a limit that must stand apart from a broken one.
func FullStroke() Stroke { return stroke{inkStrong, "solid", 2} }

// StrongStroke is that of a fitted line.
func StrongStroke() Stroke { return strokeEstimate }

// Styles is the house's style sheet.
func Styles() string { return styles() }

// Policy is the content security policy of a page with these style sheets and no script.
func Policy(styleSheets ...string) string {
	var styles string
	for _, s := range styleSheets {
		styles += digest(s)
	}
	return policy(styles, "")
}

// Fragments are the house's templates, to be added to: the marks "severity" and
// "outcome" and the functions that print figures.
func Fragments() *template.Template {
	return template.Must(template.New("").Funcs(words()).ParseFS(assets, "assets/*.html"))
}

// EncodeJSON writes v as WriteJSON writes a debrief.
func EncodeJSON(w io.Writer, v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	out := bufio.NewWriter(w)
	if err := escapeControls(out, append(b, '\n')); err != nil {
		return err
	}
	return out.Flush()
}

// Wrap breaks s at spaces into lines of at most width runes.
func Wrap(s string, width int) []string { return wrap(s, width) }

// NoFormula guards a text of a CSV against being read as a formula.
func NoFormula(s string) string { return noFormula(s) }

// Plural counts things: "1 row", "2 rows".
func Plural(n int, one, many string) string { return plural(n, one, many) }
