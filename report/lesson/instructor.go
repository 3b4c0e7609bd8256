package lesson

import (
	"fmt"
	"io"
	"strings"

	"afterloop/analysis/lesson"
	"afterloop/analysis/scenario"
	"afterloop/analysis/wording"
	"afterloop/report"
	"afterloop/report/paper"
)

const caution = "For the instructor. Not for students before both stages were committed to."

func frame(title, kind, version string, schema ...string) paper.Frame {
	f := paper.NewFrame(title, kind, styles())
	f.Safety, f.Caution, f.By, f.ByVersion, f.SchemaID = lesson.Safety, caution, "afterloop", version, strings.Join(schema, "")
	return f
}

// keyPage is what the template of a sheet's key sees.
type keyPage struct {
	paper.Frame
	Sheet   lesson.Sheet
	Truth   []string
	Latent  []string
	Plot    *paper.Plot
	Debrief string
	Seen    []string
}

// Instructor is what the key of a sheet is printed from.
type Instructor struct {
	Key   lesson.Key
	Sheet lesson.Sheet
	Dive  *lesson.Dive
	// Found are the debrief's own findings, in words; Debrief is its page.
	Found       []string
	Debrief     string
	ToolVersion string
}

// WriteKey writes the key of one sheet: the truth, the right answers and why, and
// what afterloop's own debrief says, which is no part of the key.
func WriteKey(w io.Writer, in Instructor) error {
	p := keyPage{Frame: frame("Key, sheet "+in.Sheet.Sheet, in.Key.Title+", "+in.Sheet.Student, in.ToolVersion, lesson.KeySchema),
		Sheet: in.Sheet, Truth: faults(in.Dive, in.Sheet.Faults), Latent: faults(in.Dive, in.Sheet.Latent), Plot: truthPlot(in.Dive), Debrief: in.Debrief, Seen: in.Found}
	return paper.Write(w, templates(), "key.html", p)
}

// faults says in words what was wrong in truth.
func faults(d *lesson.Dive, fs []scenario.TrueFault) []string {
	var out []string
	for _, f := range fs {
		s := kindWords[f.Kind]
		switch {
		case f.Cell > 0:
			s = fmt.Sprintf("cell %d: %s", f.Cell, s)
		case f.Valve > 0:
			s = fmt.Sprintf("valve %d: %s", f.Valve, s)
		}
		for _, x := range []struct {
			v    float64
			text string
		}{{f.T90S, "T90 %.0f s"}, {f.CeilingBar, "at %.2f bar"}, {f.Gain, "%.3f"}, {100 * f.Change, "change of gain %.0f %%"}, {f.RateLMin, "%.2f L/min"}} {
			if x.v != 0 {
				s += ", " + fmt.Sprintf(x.text, x.v)
			}
		}
		s += ", from " + wording.Clock(f.FromS-d.FirstS())
		if f.ToS != nil {
			s += " to " + wording.Clock(*f.ToS-d.FirstS())
		}
		out = append(out, s)
	}
	return append(out, shared(d)...)
}

// shared are departures that are no single part's fault.
func shared(d *lesson.Dive) []string {
	var out []string
	for k, g := range d.Truth.Facts.Gain {
		if g < 0.97 || g > 1.03 {
			out = append(out, fmt.Sprintf("cell %d: gain %.3f in truth", k+1, g))
		}
	}
	return out
}

var kindWords = map[string]string{
	scenario.Slow: "answers late", scenario.Limited: "has a ceiling", scenario.Gain: "wrong gain", scenario.Drift: "drifts", scenario.Frozen: "stands still", scenario.Erratic: "jumps",
	scenario.ValveDead: "gives nothing", scenario.ValveLeak: "lets oxygen through while shut", scenario.OxygenOff: "no oxygen from any valve",
}

// truthPlot draws the true PO2 at the cells with what the cells read.
func truthPlot(d *lesson.Dive) *paper.Plot {
	tS, truth := d.Times(), d.TruePO2()
	x := make([]float64, len(tS))
	for i, t := range tS {
		x[i] = (t - tS[0]) / 60
	}
	cells := d.Readings()
	_, high := paper.Extent(append(cells, truth)...)
	p := paper.NewPlot("truth", "The truth and the readings", "Dark dashes: the true PO2 at the cells, which no log holds. In colours: what each cell read.", "minutes since the first row", "PO2, bar", [2]float64{0, x[len(x)-1]}, [2]float64{0, high * 1.05})
	for k, c := range cells {
		p.Line(fmt.Sprintf("cell %d", k+1), report.NumberedStroke(k), x, c)
	}
	p.Line("truth", report.StrongStroke(), x, truth)
	p.SpreadLabels()
	return p
}

// secondPage is the second look on paper.
type secondPage struct {
	paper.Frame
	Sheet     lesson.Sheet
	Tables    []table
	Questions []asked
}

// WriteSecond writes the second look as a static page, to be printed for a
// student whose page can't run scripts.
func WriteSecond(w io.Writer, s Student) error {
	p := secondPage{Frame: frame("Second look, sheet "+s.Sheet.Sheet, "For "+s.Sheet.Student+", after the first answers were handed in", s.ToolVersion), Sheet: s.Sheet, Tables: s.tables(), Questions: s.asked(2)}
	p.Caution = ""
	return paper.Write(w, templates(), "second.html", p)
}

// guidePage is the guide of a lesson.
type guidePage struct {
	paper.Frame
	Lesson lesson.Lesson
}

// WriteGuide writes what an instructor needs to run a lesson.
func WriteGuide(w io.Writer, l lesson.Lesson, version string) error {
	return paper.Write(w, templates(), "guide.html", guidePage{frame(l.Title, "Guide to the lesson "+l.Name, version), l})
}

// ClassLine is one student of the class list.
type ClassLine struct {
	Student, Sheet, Truth, Right string
	Found                        string
	Page, Key, Second            string
}

// classPage is the class list.
type classPage struct {
	paper.Frame
	Key   lesson.Key
	Lines []ClassLine
}

// NewClassLine sums a sheet up.
func NewClassLine(in Instructor) ClassLine {
	l := ClassLine{Student: in.Sheet.Student, Sheet: in.Sheet.Sheet, Truth: strings.Join(faults(in.Dive, in.Sheet.Faults), "; "), Found: strings.Join(counted(in.Found), "; ")}
	if l.Truth == "" {
		l.Truth = "nothing is wrong"
	}
	var right []string
	for _, q := range in.Sheet.Questions {
		if q.Topic == "cells-2" || q.Topic == "when" {
			right = append(right, q.RightWords())
		}
	}
	l.Right = strings.Join(right, "; ")
	return l
}

// counted says each text once, with how often it came.
func counted(texts []string) []string {
	n := map[string]int{}
	var out []string
	for _, t := range texts {
		if n[t]++; n[t] == 1 {
			out = append(out, t)
		}
	}
	for i, t := range out {
		if n[t] > 1 {
			out[i] = fmt.Sprintf("%s %d times", t, n[t])
		}
	}
	return out
}

// WriteClass writes the class list.
func WriteClass(w io.Writer, k lesson.Key, lines []ClassLine, version string) error {
	return paper.Write(w, templates(), "class.html", classPage{frame("Class list", k.Title+", seed "+fmt.Sprint(k.Seed), version, lesson.KeySchema), k, lines})
}
