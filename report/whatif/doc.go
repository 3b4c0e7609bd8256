// Package whatif prints a recorded dive that was run again (analysis/whatif): a page
// (HTML), text for a terminal, columns (CSV) and the JSON Schema. It shares the debrief's
// style sheet, palette and marks (packages report and paper) and computes nothing that a
// figure depends on.
//
// What comes from a simulation is marked everywhere: on the page above everything that is
// shown, on each printed page, inside each drawing, in each column's name.
package whatif

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"reflect"
	"sync"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/analysis/wording"
	"afterloop/report"
	"afterloop/report/paper"
)

//go:embed assets/*.html assets/whatif.css
var assets embed.FS

var templates = sync.OnceValue(func() *template.Template { return paper.Templates(assets, functions()) })

var ownCSS = sync.OnceValue(func() string {
	b, err := assets.ReadFile("assets/whatif.css")
	if err != nil {
		panic("whatif: missing asset")
	}
	return string(b)
})

// page is what the template sees.
type page struct {
	paper.Frame
	*whatif.Report
	// Kind and Safety stand in both parts above.
	Kind, Safety string
	// Mark stands above everything where there is a simulation.
	Mark  string
	Rows  []row
	Plots []*drawing
	// SimPlots are the drawings of the simulation.
	SimPlots []*drawing
	Clock    clock
}

// WritePage writes the page.
func WritePage(w io.Writer, r *whatif.Report) error {
	title := r.Dive.Name
	if title == "" {
		title = "A dive without a name"
	}
	p := page{Frame: paper.NewFrame(title, "What if: a recorded dive run again", ownCSS()), Report: r, Clock: clock{float64(r.Dive.FirstS)}}
	p.Kind, p.Safety, p.By, p.ByVersion, p.SchemaID = p.Frame.Kind, r.Safety, r.Tool.Name, r.Tool.Version, r.Schema
	if r.Simulation != nil {
		p.Mark = whatif.Mark
	}
	p.Rows = rows(r)
	p.Plots, p.SimPlots = replayPlots(r), simulationPlots(r)
	return paper.Write(w, templates(), "whatif.html", p)
}

// clock prints moments.
type clock struct{ firstS float64 }

// At is h:mm:ss since the first row, or a dash.
func (c clock) At(v analysis.Float) string {
	if !v.Known() {
		return "–"
	}
	return wording.Clock(float64(v) - c.firstS)
}

func functions() template.FuncMap {
	return template.FuncMap{"ranged": ranged, "sub": func(a, b int) int { return a - b }, "float": func(v float64) analysis.Float { return analysis.Float(v) },
		"deref": func(v *whatif.Vote) whatif.Vote { return *v },
		"vote":  func(v whatif.Vote, c clock) voteView { return voteView{v, c} }, "params": params}
}

// voteView is a vote with the clock that prints its moments.
type voteView struct {
	Vote  whatif.Vote
	Clock clock
}

// params are the names and values of the parameters, as in the JSON.
func params(p whatif.Params) [][2]string {
	v := reflect.ValueOf(p)
	out := make([][2]string, v.NumField())
	for i := range out {
		out[i] = [2]string{v.Type().Field(i).Tag.Get("json"), fmt.Sprint(v.Field(i).Interface())}
	}
	return out
}

// TextOptions choose how text for a terminal is set.
type TextOptions = report.TextOptions
