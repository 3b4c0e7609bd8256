package whatif

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"afterloop/analysis/whatif"
	"afterloop/report/paper"
)

// WriteText writes the result for a terminal. What comes from a simulation is marked on
// its own line above and below, and in each heading.
func WriteText(w io.Writer, r *whatif.Report, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("What if: " + paper.OrElse(r.Dive.Name, "a dive without a name"))
	if r.Simulation != nil {
		t.Head(whatif.Mark)
	}
	t.Para(r.Safety)
	t.Title("What was changed, and what came out")
	for _, s := range r.Words {
		t.Item("- ", prefix[s.Kind]+s.Text)
	}
	width := o.Width
	if width <= 0 {
		width = 100
	}
	textTable(t, r, width)
	if p := r.Replay; p != nil {
		t.Title("Replay of the recorded readings")
		t.Para(p.Mark + ".")
		c := clock{float64(r.Dive.FirstS)}
		if p.Assessed {
			for _, v := range p.Changed.VotedOut {
				t.Item("- ", fmt.Sprintf("cell %d out, %s to %s: %s", v.Cell, c.At(v.FromS), c.At(v.ToS), v.Reason))
			}
		} else {
			t.Para(p.Reason + ".")
		}
	}
	t.Title("What this can't tell")
	for _, s := range r.CannotTell {
		t.Item("- ", s)
	}
	if r.Simulation != nil {
		t.Blank()
		t.Head(whatif.Mark)
	}
	return t.Flush()
}

// prefix says before each of the first sentences what it is about.
var prefix = map[string]string{whatif.Closed: "[" + whatif.Mark + "] "}

// textTable prints the figures in two tables: of the loop, where a replay changes nothing and
// has no column, and of what the unit acts on.
func textTable(t *paper.Text, r *whatif.Report, width int) {
	sim := r.Simulation != nil && r.Simulation.Assessed
	t.Title("Figures")
	s := "A replay changes nothing in the loop and has no column there."
	if sim {
		t.Para("Columns set up and changed: " + whatif.Mark + ", with the recorded set-up and with the changes.")
		s += " Ranges: least and largest of all runs."
	}
	t.Para(s)
	parts := map[bool][]row{}
	for _, x := range rows(r) {
		loop := x.Replay == "as recorded"
		parts[loop] = append(parts[loop], x)
	}
	figureColumns(t, "PO2 at the cells", parts[true], false, sim, width)
	t.Blank()
	figureColumns(t, "What the unit acts on", parts[false], true, sim, width)
}

// figureColumns prints one table; where ranges do not fit beside their figures, they stand on a
// line below. The names of rules are too long for columns.
func figureColumns(t *paper.Text, name string, rs []row, replay, sim bool, width int) {
	cells := func(recorded, replayed, original, changed string) []string {
		out := []string{recorded}
		if replay {
			out = append(out, replayed)
		}
		if sim {
			out = append(out, original, changed)
		}
		for i := range out {
			out[i] = paper.OrElse(out[i], "–")
		}
		return out
	}
	head := cells("recorded", "replay", "set up", "changed")
	wide, narrow := [][]string{append([]string{name}, head...)}, [][]string{append([]string{name}, head...)}
	for _, x := range rs {
		line := cells(x.Recorded, x.Replay, x.Original, x.Changed)
		if x.Name == "rule" {
			for i := range line {
				line[i] = head[i] + ": " + line[i]
			}
			t.Item("- ", "Rule of the vote. "+strings.Join(line, "; ")+".")
			continue
		}
		full := x.Name
		if x.Unit != "" {
			full += ", " + x.Unit
		}
		wide = append(wide, append([]string{full}, line...))
		narrow = append(narrow, twoLines(x, line)...)
	}
	if tableWidth(wide) <= width {
		t.Table(wide)
		return
	}
	t.Table(narrow)
}

// twoLines parts figures and ranges; the unit goes to the second line if there is one.
func twoLines(x row, line []string) [][]string {
	first, second, ranges := []string{x.Name}, []string{""}, false
	for _, v := range line {
		figure, of, has := strings.Cut(v, " [")
		first, second, ranges = append(first, figure), append(second, strings.TrimSuffix(of, "]")), ranges || has
	}
	switch {
	case ranges:
		second[0] = "  " + x.Unit
		return [][]string{first, second}
	case x.Unit != "":
		first[0] += ", " + x.Unit
	}
	return [][]string{first}
}

func tableWidth(rs [][]string) int {
	total := 0
	for k := range rs[0] {
		w := 0
		for _, r := range rs {
			w = max(w, utf8.RuneCountInString(r[k]))
		}
		total += w + 2
	}
	return total - 2
}
