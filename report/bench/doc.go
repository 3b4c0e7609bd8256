// Package bench prints what the tests on the bench and the register of cells
// tell: pages (HTML), text for a terminal, JSON and tables (CSV). It shares the
// debrief's style sheet, palette and marks (package report) and computes nothing
// that a verdict depends on.
//
// Its drawings are SVG made here rather than charts drawn by a script: a test has
// one or two curves, so that the page stays a few dozen kilobytes, prints as it
// is shown and needs no script at all.
package bench

import (
	"bufio"
	"embed"
	"fmt"
	"html/template"
	"io"
	"sync"

	"afterloop/report"
)

//go:embed assets/*.html assets/bench.css
var assets embed.FS

var ownStyles = sync.OnceValue(func() string {
	b, err := assets.ReadFile("assets/bench.css")
	if err != nil {
		panic("bench: missing asset")
	}
	return string(b)
})

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(report.Fragments().Funcs(functions()).ParseFS(assets, "assets/*.html"))
})

// frame is what every page has.
type frame struct {
	Policy          string
	CSS, OwnCSS     template.CSS
	Title, Kind     string
	Safety, Caution string
	// By, ByVersion and SchemaID say what wrote the page.
	By, ByVersion, SchemaID string
}

func newFrame(title, kind string) frame {
	return frame{Policy: report.Policy(report.Styles(), ownStyles()), CSS: template.CSS(report.Styles()), OwnCSS: template.CSS(ownStyles()), Title: title, Kind: kind}
}

// write executes a page's template.
func write(w io.Writer, name string, page any) error {
	out := bufio.NewWriterSize(w, 1<<16)
	if err := templates().ExecuteTemplate(out, name, page); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return out.Flush()
}
