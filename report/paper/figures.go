package paper

import (
	"html/template"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// functions are what the templates print with, beside those of package report.
func functions() template.FuncMap {
	return template.FuncMap{"value": Value, "range95": Range95, "outcomeWord": OutcomeWord, "inc": func(i int) int { return i + 1 }}
}

// Value prints a figure with n decimals, or a dash.
func Value(v analysis.Float, n int) string { return wording.Figure(float64(v), n) }

// Range95 prints an estimate with its interval, or why there is none.
func Range95(v analysis.Interval, n int) string {
	if !v.Value.Known() {
		if v.Reason == "" {
			return "–"
		}
		return "– " + v.Reason
	}
	s := Value(v.Value, n)
	if v.Low.Known() && v.High.Known() {
		s += " [" + Value(v.Low, n) + " to " + Value(v.High, n) + "]"
	}
	return s
}

// OutcomeWord is an outcome in words for the terminal.
func OutcomeWord(o analysis.Outcome) string {
	switch o {
	case analysis.Found:
		return "OUTSIDE"
	case analysis.Borderline:
		return "borderline"
	case analysis.NotFound:
		return "within"
	case analysis.NotAssessed:
		return "NOT ASSESSED"
	}
	return "does not apply"
}
