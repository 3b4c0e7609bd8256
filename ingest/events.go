package ingest

import (
	"sort"
	"strings"
)

// eventKinds are the fixed words of the event column.
var eventKinds = [...]EventKind{DiluentFlush, OxygenFlush, ManualOxygen, ManualDiluent, Bailout, BackOnLoop, CalibrationRun}

// eventOf finds the kind that a word names; exact is false where the case differs.
func eventOf(word string) (kind EventKind, exact, ok bool) {
	for _, k := range eventKinds {
		if strings.EqualFold(string(k), word) {
			return k, string(k) == word, true
		}
	}
	return "", false, false
}

// setEvents reads the event column; words that it does not define become notes,
// ahead of the note column's own of the same row.
func (rd *reader) setEvents(d *Dive) {
	if c := rd.t.single(eventQuantity); c != nil {
		for _, m := range c.marks {
			for _, word := range strings.Split(m.text, ";") {
				rd.addEvent(d, c, m.row, strings.TrimSpace(word))
			}
		}
	}
	if c := rd.t.single(noteQuantity); c != nil {
		for _, m := range c.marks {
			d.Notes = append(d.Notes, Note{Row: m.row, Text: m.text})
		}
	}
	sort.SliceStable(d.Notes, func(i, j int) bool { return d.Notes[i].Row < d.Notes[j].Row })
	d.Notes = oncePerRow(d.Notes)
}

// oncePerRow leaves out a note that its row has already.
func oncePerRow(notes []Note) []Note {
	var once []Note
	for _, n := range notes {
		repeated := false
		for i := len(once) - 1; i >= 0 && i >= len(once)-comparedMarks && once[i].Row == n.Row; i-- {
			repeated = repeated || once[i].Text == n.Text
		}
		if !repeated {
			once = append(once, n)
		}
	}
	return once
}

func (rd *reader) addEvent(d *Dive, c *column, row int, word string) {
	if word == "" {
		return
	}
	kind, exact, ok := eventOf(word)
	p := Problem{Line: rd.t.line[row], Column: c.name, Read: word}
	switch {
	case !ok:
		d.Notes = append(d.Notes, Note{Row: row, Text: word})
		p.Severity, p.Code, p.Treatment, p.Want = Warning, "unknown-event", "a note", "one of "+eventWords()
		if rd.foreign != nil {
			p.Severity, p.Want = rd.foreign.c.unlistedEvent()
		}
		rd.problems.add(rd.indexOf(c), row, p)
		return
	case !exact:
		p.Severity, p.Code, p.Treatment, p.Want = Info, "word-spelling", string(kind), string(kind)
		rd.problems.add(rd.indexOf(c), row, p)
	}
	if !hasEvent(d.Events, row, kind) {
		d.Events = append(d.Events, Event{Row: row, Kind: kind})
	}
}

func hasEvent(events []Event, row int, kind EventKind) bool {
	for i := len(events) - 1; i >= 0 && events[i].Row == row; i-- {
		if events[i].Kind == kind {
			return true
		}
	}
	return false
}

func eventWords() string {
	words := make([]string, len(eventKinds))
	for i, k := range eventKinds {
		words[i] = string(k)
	}
	return strings.Join(words, ", ")
}

// breathing is what the diver breathed from in every row: by the column if it
// has any word, else by the events.
func (rd *reader) breathing(d *Dive) []Breathing {
	c := rd.t.single(breathingQuantity)
	if c == nil || c.filled() == 0 {
		return breathingByEvents(d.Rows(), d.Events)
	}
	all := make([]Breathing, d.Rows())
	now := BreathingNotRecorded
	for i, code := range c.codes {
		if code != 0 {
			now = Breathing(code)
		} else if now != BreathingNotRecorded {
			rd.problems.add(rd.indexOf(c), i, Problem{Line: d.Line[i], Column: c.name, Read: "", Severity: Info, Code: "breathing-stands",
				Treatment: "the word of the row before, which stands until another comes"})
		}
		all[i] = now
	}
	rd.sayOverruled(d, c, all)
	return all
}

// breathingByEvents: bailout goes to open circuit, on_loop comes back. Before
// the first bailout the diver was on the loop; before a first on_loop nothing is known.
func breathingByEvents(rows int, events []Event) []Breathing {
	all := make([]Breathing, rows)
	now, from := BreathingNotRecorded, 0
	for _, e := range events {
		if e.Kind != Bailout && e.Kind != BackOnLoop {
			continue
		}
		if now == BreathingNotRecorded && e.Kind == Bailout {
			now = OnLoop
		}
		fillBreathing(all[from:e.Row], now)
		from, now = e.Row, breathingAfter(e.Kind)
	}
	fillBreathing(all[from:], now)
	return all
}

func fillBreathing(b []Breathing, v Breathing) {
	for i := range b {
		b[i] = v
	}
}

func breathingAfter(k EventKind) Breathing {
	if k == Bailout {
		return OpenCircuit
	}
	return OnLoop
}

// sayOverruled lists events that the breathing column contradicts: it neither
// has the new state on the event's row nor on the row after.
func (rd *reader) sayOverruled(d *Dive, c *column, all []Breathing) {
	for _, e := range d.Events {
		if e.Kind != Bailout && e.Kind != BackOnLoop {
			continue
		}
		want := breathingAfter(e.Kind)
		if all[e.Row] != want && all[min(e.Row+1, len(all)-1)] != want {
			rd.problems.add(rd.indexOf(c), e.Row, Problem{Line: d.Line[e.Row], Column: c.name, Read: c.def.words[all[e.Row]], Severity: Info,
				Code: "event-overruled", Treatment: "what the diver breathes, against the event " + string(e.Kind)})
		}
	}
}
