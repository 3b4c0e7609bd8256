// Package paper makes static pages and text for a terminal out of one set of
// parts: the frame of a page with its policy, safety, findings, checks and
// record ("paper-…" templates), drawings in SVG, figures with intervals, lines
// and tables of text. The pages of the house but the debrief's own are made of it
// (report/bench and its like); it computes nothing that a verdict depends on.
//
// Its drawings are SVG made here rather than charts drawn by a script: one or two
// curves, so that a page stays a few dozen kilobytes, prints as it is shown and
// needs no script at all.
package paper

import (
	"bufio"
	"embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"math"
	"strings"
	"sync"

	"afterloop/report"
)

//go:embed assets/*.html assets/paper.css
var assets embed.FS

// NaN stands for "not known" in a drawing.
var NaN = math.NaN()

var ownStyles = sync.OnceValue(func() string {
	b, err := assets.ReadFile("assets/paper.css")
	if err != nil {
		panic("paper: missing asset")
	}
	return string(b)
})

// Templates are the parts and the pages of a package of its own (its
// assets/*.html), with further functions of its own or nil. Its text is in English
// and written into the templates. It panics on a template that does not parse.
func Templates(own fs.FS, funcs template.FuncMap) *template.Template {
	t := template.Must(report.Fragments().Funcs(functions()).ParseFS(assets, "assets/*.html"))
	return template.Must(t.Funcs(funcs).ParseFS(own, "assets/*.html"))
}

// Frame is what every page has.
type Frame struct {
	Policy      string
	CSS, OwnCSS template.CSS
	// Title is the page's heading, Kind the line above it.
	Title, Kind     string
	Safety, Caution string
	// By, ByVersion and SchemaID say what wrote the page.
	By, ByVersion, SchemaID string
}

// NewFrame is a frame with the house's styles and what a page adds to them. The
// style sheets are constants of the program: nothing of a log may be in them.
func NewFrame(title, kind string, css ...string) Frame {
	own := ownStyles() + strings.Join(css, "")
	return Frame{Policy: report.Policy(report.Styles(), own), CSS: template.CSS(report.Styles()), OwnCSS: template.CSS(own), Title: title, Kind: kind}
}

// Write executes the template of a page.
func Write(w io.Writer, t *template.Template, name string, page any) error {
	out := bufio.NewWriterSize(w, 1<<16)
	if err := t.ExecuteTemplate(out, name, page); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return out.Flush()
}
