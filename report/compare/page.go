package compare

import (
	"fmt"
	"io"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/paper"
)

// page is what the template of a comparison sees.
type page struct {
	paper.Frame
	*compare.Comparison
	Lead     string
	Many     bool
	Groups   []Group
	Drawings Drawings
	Matrix   Matrix
}

// Group is a group of figures.
type Group struct {
	Name string
	Rows []Row
}

// Row is one figure with what is drawn of it.
type Row struct {
	compare.Figure
	Strip *Strip
	Ref   string // the reference's value
	Many  bool
	// Also are further figures that are refused for the same reason.
	Also []Row
}

// Write writes the page of a comparison.
func Write(w io.Writer, c *compare.Comparison) error {
	p := page{Frame: paper.NewFrame(title(c), kindLine(c), CSS()), Comparison: c, Lead: lead(c), Many: len(c.Dives) > fewLines}
	p.Safety, p.By, p.ByVersion, p.SchemaID = compare.Safety, c.Tool.Name, c.Tool.Version, c.Schema
	if c.Mode == compare.ModeVersions {
		return paper.Write(w, templates(), "versions.html", p)
	}
	p.Groups = GroupsOf(c.Figures, c.ReferenceIndex(), p.Many)
	zero := strings.TrimPrefix(c.Alignment.Text, "By start: zero is ")
	p.Drawings = Draw(linesOf(c), c.Alignment.By == "depth", zeroText(zero))
	p.Matrix = matrixOf(c)
	return paper.Write(w, templates(), "compare.html", p)
}

// zeroText is the first clause of how dives were aligned.
func zeroText(s string) string {
	s = strings.TrimPrefix(s, "By event: zero is ")
	if i := strings.IndexAny(s, ".,("); i > 0 {
		s = s[:i]
	}
	return strings.TrimSpace(s)
}

func title(c *compare.Comparison) string {
	if c.Mode == compare.ModeVersions {
		return "One log, two debriefs"
	}
	return fmt.Sprintf("%d dives compared", len(c.Dives))
}

func kindLine(c *compare.Comparison) string {
	if c.Mode == compare.ModeVersions {
		return "Comparison of two debriefs of one recorded dive"
	}
	return "Comparison of recorded dives"
}

// lead sums the comparison up in words, without a verdict.
func lead(c *compare.Comparison) string {
	var fresh, gone, changed, open int
	for _, a := range c.Findings.Against {
		fresh, gone, changed, open = fresh+len(a.New), gone+len(a.Gone), changed+len(a.Changed), open+len(a.Unsettled)
	}
	if v := c.Versions; v != nil {
		return fmt.Sprintf("%s, %s and %s; %s, %s and %s of %d.", report.Plural(fresh, "new finding", "new findings"), report.Plural(gone, "gone", "gone"), report.Plural(changed, "changed", "changed"),
			report.Plural(len(v.Checks), "check differs", "checks differ"), report.Plural(len(v.Parameters), "parameter", "parameters"), report.Plural(len(v.Figures), "figure", "figures"), v.FiguresCompared)
	}
	n := 0
	for _, f := range c.Figures {
		if f.Comparable {
			n++
		}
	}
	s := fmt.Sprintf("Against the reference, dive %s: %s, %s and %s; %s could not be settled. ", c.Reference, report.Plural(fresh, "new finding", "new findings"), report.Plural(gone, "gone", "gone"),
		report.Plural(changed, "changed", "changed"), report.Plural(open, "finding", "findings"))
	return s + fmt.Sprintf("%d of %d figures can be compared.", n, len(c.Figures))
}

// GroupsOf groups figures for a table; ref is -1 where there is no reference.
func GroupsOf(fs []compare.Figure, ref int, many bool) []Group {
	var out []Group
	for _, f := range fs {
		if len(out) == 0 || out[len(out)-1].Name != f.Group {
			out = append(out, Group{Name: f.Group})
		}
		r := Row{Figure: f, Many: many, Ref: "–"}
		if f.Comparable {
			r.Strip = stripOf(f, ref)
			if ref >= 0 {
				r.Ref = Measure(f.Values[ref], f.Digits)
			}
		}
		g := &out[len(out)-1]
		if n := len(g.Rows); n > 0 && !f.Comparable && !g.Rows[n-1].Comparable && g.Rows[n-1].Reason == f.Reason {
			g.Rows[n-1].Also = append(g.Rows[n-1].Also, r) // one reason, one row
			continue
		}
		g.Rows = append(g.Rows, r)
	}
	return out
}

// Number prints a figure, or a dash.
func Number(v analysis.Float, digits int) string { return compare.Number(v, digits) }

// Measure prints a figure of one dive with its interval.
func Measure(m compare.Measure, digits int) string {
	s := Number(m.Value, digits)
	if m.IsLowerBound && m.Value.Known() {
		s = "≥ " + s
	}
	if m.Value.Known() && m.Low.Known() && m.High.Known() {
		s += " [" + Number(m.Low, digits) + " to " + Number(m.High, digits) + "]"
	}
	return s
}

// Labels lists labels in words.
func Labels(l []string) string { return compare.Labels(l) }

// learning is the explanation of a kind of finding, or nil.
func learning(kind string) *report.Learning {
	if l, ok := report.LearningOf(kind); ok {
		return &l
	}
	return nil
}

// Severities are the counts of a dive's findings, gravest first.
func (p page) Severities(d compare.Dive) []Counted {
	var out []Counted
	for _, c := range []Counted{{d.Warnings, analysis.Warning}, {d.Cautions, analysis.Caution}, {d.Notes, analysis.Note}} {
		if c.N > 0 {
			out = append(out, c)
		}
	}
	return out
}

// Counted is how many findings of a severity there are.
type Counted struct {
	N        int
	Severity analysis.Severity
}

// SetPoints prints the set points of a dive.
func (p page) SetPoints(d compare.Dive) string {
	if len(d.SetPoints) == 0 {
		return "not recorded"
	}
	return compare.SetPointText(d.SetPoints)
}

// Matrix is who, or which dive, had which kinds of finding.
type Matrix struct {
	Kinds []MatrixKind
	Rows  []MatrixRow
}

// MatrixKind is a column.
type MatrixKind struct{ Kind, Title string }

// MatrixRow is a dive or a student.
type MatrixRow struct {
	Label, Name, Page string
	Cells             []MatrixCell
}

// MatrixCell is one kind of finding there.
type MatrixCell struct {
	Outcome  analysis.Outcome
	Severity analysis.Severity
	Count    int
	Parts    string
	Page     string
	// Open says how many of several logs were not judged.
	Open string
}

// matrixOf is the matrix of a comparison: one row a dive.
func matrixOf(c *compare.Comparison) Matrix {
	m := Matrix{}
	rows := compare.KindRows(c.Subjects())
	for _, r := range rows {
		m.Kinds = append(m.Kinds, MatrixKind{r.Kind, r.Title})
	}
	for i, d := range c.Dives {
		row := MatrixRow{Label: d.Label}
		for _, r := range rows {
			s := r.Dives[i]
			row.Cells = append(row.Cells, MatrixCell{Outcome: s.Outcome, Severity: s.Severity, Count: s.Count, Parts: strings.Join(s.Parts, ", ")})
		}
		m.Rows = append(m.Rows, row)
	}
	return m
}

// stateClass is the class of a cell of the matrix.
func stateClass(c MatrixCell) string {
	switch {
	case c.Count > 0:
		return "m " + string(c.Severity)
	case c.Outcome == analysis.NotAssessed || c.Outcome == "":
		return "m open"
	}
	return "m"
}

// Minutes prints seconds as minutes.
func (p page) Minutes(s analysis.Float) string { return Number(s/60, 0) }

// Span is how many columns follow the name of a figure, plus some.
func (p page) Span(more int) int {
	n := len(p.Dives) + 1
	if len(p.Dives) > 2 {
		n += 3
	}
	return n + more
}

// shownValues is a bounded list of values that differ.
type shownValues struct {
	What string
	List []compare.ValueChange
}

// Shown bounds a list for the page; the JSON and the table have all of it.
func (p page) Shown(what string, list []compare.ValueChange) shownValues {
	return shownValues{what, list[:min(300, len(list))]}
}
