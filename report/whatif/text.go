package whatif

import (
	"fmt"
	"io"

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
	textTable(t, r)
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

// textTable is the table of all four; one line in each heading says what a simulation is.
func textTable(t *paper.Text, r *whatif.Report) {
	sim := r.Simulation != nil && r.Simulation.Assessed
	title := "Figures: recorded, replay"
	head := []string{"figure", "recorded", "replay"}
	if sim {
		title += ", simulation as set up and with the changes (" + whatif.Mark + ")"
		head = append(head, "sim. as set up", "sim. changed")
	}
	t.Title(title)
	table := [][]string{head}
	for _, x := range rows(r) {
		name := x.Name
		if x.Unit != "" {
			name += ", " + x.Unit
		}
		line := []string{name, paper.OrElse(x.Recorded, "–"), paper.OrElse(x.Replay, "–")}
		if sim {
			line = append(line, paper.OrElse(x.Original, "–"), paper.OrElse(x.Changed, "–"))
		}
		table = append(table, line)
	}
	t.Table(table)
}
