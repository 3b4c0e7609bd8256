// Package compare prints a comparison of dives: a page (HTML), text for a
// terminal, JSON and a table (CSV). It shares the debrief's style sheet, palette
// and marks (packages report and paper) and computes nothing that a figure
// depends on. Its drawings and its matrix serve the page of a course too.
package compare

import (
	"embed"
	"html/template"
	"sync"

	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/paper"
)

//go:embed assets/*.html assets/*.css
var assets embed.FS

// Parts are the templates that other pages share ("cmp-…"), CSS what they need.
var Parts = sync.OnceValue(func() string { return text("assets/parts.html") })

// CSS is the style sheet of the parts.
func CSS() string { return text("assets/compare.css") }

func text(name string) string {
	b, err := assets.ReadFile(name)
	if err != nil {
		panic("compare: missing asset")
	}
	return string(b)
}

var templates = sync.OnceValue(func() *template.Template { return paper.Templates(assets, Functions()) })

// Functions are what the parts print with.
func Functions() template.FuncMap {
	return template.FuncMap{"number": Number, "measure": Measure, "labels": Labels, "learning": learning, "stateClass": stateClass, "unitText": compare.UnitText}
}

// TextOptions choose how text for a terminal is set.
type TextOptions = report.TextOptions
