// Package course prints what the logs of a course have in common: a page (HTML),
// text for a terminal, JSON and a table (CSV). Tone: what can be learned, never
// who did badly. It computes nothing that a figure depends on.
package course

import (
	"embed"
	"html/template"
	"io"
	"strings"
	"sync"

	"afterloop/analysis/course"
	"afterloop/report"
	"afterloop/report/compare"
	"afterloop/report/paper"
)

//go:embed assets/*.html
var assets embed.FS

var templates = sync.OnceValue(func() *template.Template {
	t := paper.Templates(assets, compare.Functions())
	return template.Must(t.New("shared").Parse(compare.Parts()))
})

// page is what the template of a course sees.
type page struct {
	paper.Frame
	*course.Course
	Groups   []compare.Group
	Drawings compare.Drawings
	Matrix   compare.Matrix
	Lead     string
}

// firstTopics are told in full, the others in a list.
const firstTopics = 6

// First are the topics that are told in full.
func (p page) First() []course.Topic { return p.Topics[:min(firstTopics, len(p.Topics))] }

// Rest are the others.
func (p page) Rest() []course.Topic { return p.Topics[len(p.First()):] }

// Write writes the page of a course.
func Write(w io.Writer, c *course.Course) error {
	p := page{Frame: paper.NewFrame("What this group can talk about", "Logs of a course", compare.CSS()), Course: c, Groups: compare.GroupsOf(c.Figures, -1, true), Matrix: matrixOf(c), Lead: lead(c)}
	p.Safety, p.By, p.ByVersion, p.SchemaID = course.Safety, c.Tool.Name, c.Tool.Version, c.Schema
	lines, zero := linesOf(c)
	p.Drawings = compare.Draw(lines, false, zero)
	return paper.Write(w, templates(), "course.html", p)
}

func lead(c *course.Course) string {
	logs := 0
	for _, s := range c.Students {
		logs += len(s.Logs)
	}
	s := report.Plural(len(c.Students), "student", "students") + ", " + report.Plural(logs, "log", "logs") + ", " + report.Plural(len(c.Kinds), "kind of finding", "kinds of finding") + "."
	if n := len(c.Unreadable); n > 0 {
		s += " " + report.Plural(n, "log", "logs") + " could not be read: see below."
	}
	return s
}

// linesOf are the courses of all logs, from leaving the surface where every one
// has it, else from the first row.
func linesOf(c *course.Course) (lines []compare.Line, zero string) {
	zero = "leaving the surface"
	moment := "leaving-surface"
	for _, g := range c.Subjects() {
		for _, s := range g {
			if !s.Moment(moment).AtS.Known() {
				moment, zero = "first-row", "the first row of each record"
			}
		}
	}
	for i, g := range c.Subjects() {
		for k, s := range g {
			l := compare.Line{Label: s.Label, Name: s.Label, Course: s.Course, Subject: s, ZeroS: float64(s.Moment(moment).AtS)}
			if n := c.Students[i].Name; n != "" {
				l.Name += " " + n
			}
			if len(g) > 1 {
				l.Label += paper.Itoa(k + 1)
				l.Name += ", log " + paper.Itoa(k+1)
			}
			if s.Course != nil && s.Moment(moment).AtS.Known() {
				lines = append(lines, l)
			}
		}
	}
	return lines, zero
}

func matrixOf(c *course.Course) compare.Matrix {
	m := compare.Matrix{}
	for _, k := range c.Kinds {
		m.Kinds = append(m.Kinds, compare.MatrixKind{Kind: k.Kind, Title: k.Title})
	}
	for i, s := range c.Students {
		row := compare.MatrixRow{Label: s.Label, Name: s.Name}
		for _, k := range c.Kinds {
			x := k.Students[i]
			cell := compare.MatrixCell{Outcome: x.Outcome, Severity: x.Severity, Count: x.Count, Parts: strings.Join(x.Parts, ", "), Page: x.Page}
			if x.Logs > 1 && x.Ran < x.Logs {
				cell.Open = "judged in " + paper.Itoa(x.Ran) + " of " + paper.Itoa(x.Logs) + " logs"
			}
			row.Cells = append(row.Cells, cell)
		}
		m.Rows = append(m.Rows, row)
	}
	return m
}

// Minutes prints seconds as minutes.
func (p page) Minutes(l course.Log) string { return compare.Number(l.DurationS/60, 0) }

// Who names a student in lists.
func (p page) Who(label string) string {
	for _, s := range p.Students {
		if s.Label == label && s.Name != "" {
			return s.Name
		}
	}
	return label
}
