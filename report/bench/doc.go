// Package bench prints what the tests on the bench and the register of cells
// tell: pages (HTML), text for a terminal, JSON and tables (CSV). It shares the
// debrief's style sheet, palette and marks (packages report and paper) and
// computes nothing that a verdict depends on.
package bench

import (
	"embed"
	"html/template"
	"io"
	"sync"

	"afterloop/report"
	"afterloop/report/paper"
)

//go:embed assets/*.html
var assets embed.FS

var templates = sync.OnceValue(func() *template.Template { return paper.Templates(assets, nil) })

// TextOptions choose how text for a terminal is set.
type TextOptions = report.TextOptions

func write(w io.Writer, name string, page any) error { return paper.Write(w, templates(), name, page) }
