package compare

import (
	"fmt"
	"io"
	"strings"

	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/paper"
)

// WriteText writes a comparison for a terminal.
func WriteText(w io.Writer, c *compare.Comparison, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head(title(c))
	t.Para(lead(c))
	t.Para(compare.Safety)
	for _, r := range c.Remarks {
		t.Item("- ", r)
	}
	dives(t, c)
	if len(c.Dives) > fewLines {
		countsText(t, c)
	} else {
		for _, a := range c.Findings.Against {
			againstText(t, c, a)
		}
	}
	if c.Versions != nil {
		versionsText(t, c.Versions)
		return t.Flush()
	}
	t.Title("Figures")
	t.Para(c.Matching.Text)
	if len(c.Dives) > 2 {
		t.Para("Within the others: " + c.Reference + ", the reference, lies within the range of the other dives, and their spread can't tell it from them.")
	}
	figures(t, c)
	t.Title("Drawings")
	t.Para(c.Alignment.Text)
	return t.Flush()
}

func dives(t *paper.Text, c *compare.Comparison) {
	t.Title("Dives")
	for _, d := range c.Dives {
		s := fmt.Sprintf("%s: %s; unit %s; %s min, deepest %s m; %s, %s, %s; %d of %d checks ran", d.Label, d.File, paper.OrElse(d.Unit, "not stated"),
			Number(d.DurationS/60, 0), Number(d.Depth, 1), report.Plural(d.Warnings, "warning", "warnings"), report.Plural(d.Cautions, "caution", "cautions"), report.Plural(d.Notes, "note", "notes"), d.ChecksRun, d.ChecksTotal)
		if d.Label == c.Reference {
			s += " (reference)"
		}
		if d.LeftOut != "" {
			s += "; left out: " + d.LeftOut
		}
		t.Item("", s+".")
	}
}

// countsText is for many dives; the page has the findings themselves.
func countsText(t *paper.Text, c *compare.Comparison) {
	t.Title("Findings against " + c.Reference)
	for _, a := range c.Findings.Against {
		t.Item("- ", fmt.Sprintf("%s: %d new, %d gone, %d changed, %d can't be told, %d as before.", a.Dive, len(a.New), len(a.Gone), len(a.Changed), len(a.Unsettled), len(a.Same)))
	}
	t.Para("What they are stands on the page (-o) and in the JSON.")
}

func againstText(t *paper.Text, c *compare.Comparison, a compare.Against) {
	t.Title("Findings of " + a.Dive + " against " + c.Reference)
	n := 0
	for _, l := range []struct {
		word string
		list []compare.Change
	}{{"NEW ", a.New}, {"GONE ", a.Gone}, {"CHANGED ", a.Changed}, {"CAN'T BE TOLD ", a.Unsettled}} {
		for _, x := range l.list {
			s := x.Here
			if s.Count == 0 {
				s = x.There
			}
			t.Item("- ", l.word+string(s.Severity)+": "+named(x.Title, x.Part)+"; "+x.Text)
			n++
		}
	}
	if n == 0 {
		t.Para("No finding is new, gone or changed.")
	}
	if len(a.Same) > 0 {
		var names []string
		for _, x := range a.Same {
			names = append(names, named(x.Title, x.Part))
		}
		t.Para("As before: " + strings.Join(names, "; ") + ".")
	}
}

func figures(t *paper.Text, c *compare.Comparison) {
	var reasons []string
	refused := map[string][]string{}
	for _, f := range c.Figures {
		name := named(f.Name, f.Part)
		if !f.Comparable {
			if f.Unit != "" {
				name += " (" + compare.UnitText(f.Unit) + ")"
			}
			if refused[f.Reason] == nil {
				reasons = append(reasons, f.Reason)
			}
			refused[f.Reason] = append(refused[f.Reason], name)
			continue
		}
		s := name
		if f.Unit != "" {
			s += ", " + compare.UnitText(f.Unit)
		}
		if len(c.Dives) > fewLines {
			s += fmt.Sprintf(": n %d, median %s, range %s to %s. ", f.N, Number(f.Median, f.Digits), Number(f.Min, f.Digits), Number(f.Max, f.Digits))
		} else {
			s += ": "
			for i, v := range f.Values {
				if i > 0 {
					s += ", "
				}
				s += c.Dives[i].Label + " " + Measure(v, f.Digits)
			}
			s += ". "
		}
		t.Item("- ", s+f.Reading)
	}
	if len(reasons) > 0 {
		t.Title("Not comparable")
	}
	for _, r := range reasons {
		t.Item("- ", strings.Join(refused[r], ", ")+": "+r+".")
	}
}

func versionsText(t *paper.Text, v *compare.Versions) {
	t.Title("Checks that differ")
	for _, k := range v.Checks {
		t.Item("- ", k.Title+" ("+k.ID+"): "+k.Text)
	}
	if len(v.Checks) == 0 {
		t.Para("None.")
	}
	values(t, "Parameters that differ", v.Parameters)
	values(t, fmt.Sprintf("Figures that differ beyond rounding, of %d", v.FiguresCompared), v.Figures)
}

func values(t *paper.Text, title string, list []compare.ValueChange) {
	const most = 40
	t.Title(title)
	if len(list) == 0 {
		t.Para("None.")
	}
	for i, c := range list {
		if i == most {
			t.Para(fmt.Sprintf("And %d more: see the page, the JSON or the table.", len(list)-most))
			return
		}
		t.Item("- ", c.Path+": "+c.New+", was "+c.Old)
	}
}
