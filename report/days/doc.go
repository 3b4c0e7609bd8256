// Package days prints what a series of dives tells: one page (HTML), text for a
// terminal, JSON, its schema, and tables (CSV) of dives and of days. It shares
// style sheet, palette and parts with the other static pages (report/paper) and
// computes nothing that a verdict depends on.
package days

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"sync"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/report"
	"afterloop/report/paper"
)

//go:embed assets/*.html assets/days.css
var assets embed.FS

var templates = sync.OnceValue(func() *template.Template {
	return paper.Templates(assets, template.FuncMap{"figure": figure, "otu": otu, "lowhigh": between, "length": length, "when": when, "clock": clock, "short": short, "source": source})
})

var ownStyles = sync.OnceValue(func() string {
	b, err := assets.ReadFile("assets/days.css")
	if err != nil {
		panic("days: missing asset")
	}
	return string(b)
})

// WriteJSON writes a report as JSON.
func WriteJSON(w io.Writer, r *days.Report) error { return report.EncodeJSON(w, r) }

// WithoutNames is a copy without what names people and things: diver, dives, unit
// and files. Starts stay, since the figures rest on them.
func WithoutNames(r *days.Report) *days.Report {
	c := *r
	c.Diver, c.Parameters.Diver = "", ""
	c.Dives = append([]days.Dive{}, r.Dives...)
	for i := range c.Dives {
		c.Dives[i].File, c.Dives[i].Name, c.Dives[i].Unit = fmt.Sprintf("log %d", i+1), "", ""
	}
	c.LeftOut = append([]days.LeftOut{}, r.LeftOut...)
	for i := range c.LeftOut {
		c.LeftOut[i].File = fmt.Sprintf("log %d", len(c.Dives)+i+1)
		if c.LeftOut[i].Kind == "unreadable" {
			c.LeftOut[i].Reason = "it could not be read"
		}
	}
	c.Findings = append([]analysis.Finding{}, r.Findings...)
	for i := range c.Findings {
		if c.Findings[i].Kind == "series-incomplete" { // a reason may hold a name
			c.Findings[i].Evidence = []string{}
		}
	}
	return &c
}
