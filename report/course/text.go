package course

import (
	"fmt"
	"io"

	"github.com/gocarina/gocsv"

	"afterloop/analysis/course"
	"afterloop/report"
	"afterloop/report/compare"
	"afterloop/report/paper"
)

// WriteText writes a course for a terminal.
func WriteText(w io.Writer, c *course.Course, o report.TextOptions) error {
	t := paper.NewText(w, o)
	p := page{Course: c}
	t.Head("Logs of a course")
	t.Para(lead(c))
	t.Para(course.Safety)
	t.Title("What to talk about first")
	if len(c.Topics) > 0 {
		t.Para(c.TopicRule)
	}
	for i, k := range c.Topics {
		t.Item(paper.Itoa(i+1)+". ", fmt.Sprintf("%s (%s): %d of %d for whom it could be judged; %s; %s.", k.Title, k.Severity, len(k.Students), k.Judged, k.SeenText, report.Plural(k.Points, "point", "points")))
		if k.Instructor != "" && i < firstTopics {
			t.Item("   ", k.Instructor)
		}
	}
	if len(c.Topics) == 0 {
		t.Para("No finding was made by the checks that ran. See what was not assessed.")
	}
	t.Title("Students")
	t.Para(c.Rule)
	for i, s := range c.Students {
		text := paper.OrElse(s.Name, s.Label) + ": " + report.Plural(len(s.Logs), "log", "logs")
		for _, k := range c.Kinds {
			if x := k.Students[i]; x.Count > 0 {
				text += "; " + string(x.Severity) + ": " + k.Title
			}
		}
		t.Item("- ", text+".")
	}
	for _, r := range c.Remarks {
		t.Item("- ", r)
	}
	t.Title("Not assessed, and for whom")
	for _, n := range c.NotAssessed {
		t.Item("- ", n.Title+": "+n.Reason+" ("+compare.Labels(p.whos(n.Students))+").")
	}
	for _, u := range c.Unreadable {
		t.Item("- ", u.File+" could not be read: "+u.Why)
	}
	return t.Flush()
}

func (p page) whos(labels []string) []string {
	var out []string
	for _, l := range labels {
		out = append(out, p.Who(l))
	}
	return out
}

// WriteCSV writes the figures as a table, one row a figure and student.
func WriteCSV(w io.Writer, c *course.Course) error {
	labels, names := make([]string, len(c.Students)), make([]string, len(c.Students))
	for i, s := range c.Students {
		labels[i], names[i] = s.Label, s.Name
	}
	rows := []studentRow{}
	for _, r := range compare.FigureRows(c.Figures, labels, names) {
		rows = append(rows, studentRow{r.Figure, r.Unit, r.Dive, r.File, r.Value, r.LowerBound, r.Reason, r.Comparable, r.Refused, r.N, r.Median, r.Quartile1, r.Quartile3, r.Min, r.Max})
	}
	for _, k := range c.Kinds {
		for i, s := range k.Students {
			rows = append(rows, findingRow(k.Kind, labels[i], report.NoFormula(names[i]), s))
		}
	}
	if err := gocsv.Marshal(rows, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// studentRow is one figure, or the count of one kind of finding, of one student.
type studentRow struct {
	Figure     string          `csv:"figure"`
	Unit       string          `csv:"unit"`
	Student    string          `csv:"student"`
	Name       string          `csv:"name"`
	Value      compare.Decimal `csv:"value"`
	LowerBound string          `csv:"is_lower_bound"`
	Reason     string          `csv:"why_not_known"`
	Comparable string          `csv:"comparable"`
	Refused    string          `csv:"why_not_comparable"`
	N          int             `csv:"n"`
	Median     compare.Decimal `csv:"median"`
	Quartile1  compare.Decimal `csv:"quartile_1"`
	Quartile3  compare.Decimal `csv:"quartile_3"`
	Min        compare.Decimal `csv:"min"`
	Max        compare.Decimal `csv:"max"`
}

// findingRow counts a kind of finding; empty where its check did not run.
func findingRow(kind, label, name string, s course.State) studentRow {
	nan := compare.Decimal(paper.NaN)
	r := studentRow{Figure: "finding:" + kind, Student: label, Name: name, Value: nan, LowerBound: "no", Comparable: "yes", Median: nan, Quartile1: nan, Quartile3: nan, Min: nan, Max: nan}
	if s.Ran > 0 {
		r.Value = compare.Decimal(s.Count)
	} else {
		r.Reason = report.NoFormula(string(s.Outcome) + ": " + s.Reason)
	}
	return r
}
