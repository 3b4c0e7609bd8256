package draft

import (
	"fmt"
	"strings"

	"afterloop/ingest/mapping"
)

// findColumns proposes what each column is and gathers its words.
func (w *writer) findColumns() {
	t := w.t
	dives := t.findDives(w.timing).column
	given := map[string]string{}
	var unused []string
	for i := range t.columns {
		c := &t.columns[i]
		if i == w.timing.at || i == w.timing.dateAt || c.name == "" || c.name == dives {
			continue
		}
		p := meaning(c)
		switch {
		case p.ours == "":
			unused = append(unused, q(c.name))
			continue
		case given[p.ours] != "":
			p.open = fmt.Sprintf("%q looks like %s too, which %q is already", c.name, p.ours, given[p.ours])
		case p.open == "":
			given[p.ours] = c.name
		}
		if p.open == "" && p.table != "" {
			w.gather(p.table, c)
		}
		w.column(c, p)
	}
	if len(unused) > 0 {
		fmt.Fprintf(&w.columns, "\n# Not used, kept as text in the report: %s\n", strings.Join(unused, ", "))
	}
	w.missingParts(given)
}

// column writes one column, as a comment where something is open.
func (w *writer) column(c *column, p proposal) {
	b, lead := &w.columns, ""
	b.WriteByte('\n')
	if p.open != "" {
		w.undecided = append(w.undecided, p.open)
		fmt.Fprintf(b, "# UNDECIDED: %s\n", oneLine(p.open))
		lead = "# "
	} else {
		fmt.Fprintf(b, "# %s\n", oneLine(p.why))
	}
	fmt.Fprintf(b, "%s[columns.%s]\n%sname = %s\n", lead, p.ours, lead, q(c.name))
	if p.unit != "" {
		fmt.Fprintf(b, "%sunit = %s\n", lead, q(p.unit))
	}
	if n := 0; p.open == "" {
		if _, err := fmt.Sscanf(p.ours, "cell%d_", &n); err == nil {
			w.cells[n] = true
		}
	}
}

// missingParts says what a log must have and the file does not show.
func (w *writer) missingParts(given map[string]string) {
	ask := func(text string) {
		w.undecided = append(w.undecided, text)
		fmt.Fprintf(&w.columns, "\n# UNDECIDED: %s\n", text)
	}
	if given["depth_m"] == "" && given["depth_msw"] == "" && given["ambient_bar"] == "" {
		ask("no column is certain to be depth or pressure; one is needed")
	}
	cells := false
	for n := range w.cells {
		cells = cells || given[fmt.Sprintf("cell%d_po2_bar", n)] != "" || given[fmt.Sprintf("cell%d_mv", n)] != ""
	}
	if !cells {
		ask("no column is certain to be a cell; cell1_po2_bar or cell1_mv is needed")
	}
}

func (w *writer) gather(table string, c *column) {
	words := c.distinct
	if table == "event" {
		words = splitWords(words, separatorOf(words))
	}
	for _, word := range words {
		seen := false
		for _, have := range w.words[table] {
			seen = seen || have == word
		}
		if !seen {
			w.words[table] = append(w.words[table], word)
		}
	}
}

// writeWords writes the tables of words; a word that nobody can tell is a comment.
func (w *writer) writeWords() {
	if len(w.words["event"]) > 0 {
		w.p("\n[events]\n")
		w.set("unlisted", `"note"`, "what words.event does not list is kept as a note")
		for i := range w.t.columns {
			c := &w.t.columns[i]
			if meaning(c).table != "event" {
				continue
			}
			if sep := separatorOf(c.distinct); sep != "" {
				w.set("separator", q(sep), "it stands between events in one field")
			}
		}
	}
	for _, table := range []string{"vote", "breathing", "event", "gas"} {
		if len(w.words[table]) > 0 {
			w.writeTable(table)
		}
	}
}

func (w *writer) writeTable(table string) {
	w.p("\n[words.%s]\n", table)
	var notes []string
	defer func() { w.askNotes(notes) }()
	for _, theirs := range w.words[table] {
		switch ours := wordFor(table, theirs); {
		case own(table, theirs):
		case ours != "":
			w.set(q(theirs), q(ours), "by its words")
		case table == "event" && eventLike(theirs) != "":
			w.ask(fmt.Sprintf("the event %q looks like %s: is it? Until you say so it is a note, and changes nothing", theirs, eventLike(theirs)))
			w.p("# %s = %s\n", q(theirs), q(firstWord(eventLike(theirs))))
		case table == "event":
			notes = append(notes, theirs)
			w.p("# %s = \"\"  # a note as it stands; an empty text leaves it out; or one of our events\n", q(theirs))
		default:
			w.ask(fmt.Sprintf("what does %q mean in a column of %s?", theirs, table))
			w.p("# %s = %s\n", q(theirs), q(map[string]string{"vote": "in", "breathing": "loop", "gas": "air"}[table]))
		}
	}
}

// isUnitOf tells whether a unit measures what a key of metadata is.
func isUnitOf(unit, base string) bool {
	return unit != "" && mapping.Dimension(unit) == mapping.Dimension(base)
}
