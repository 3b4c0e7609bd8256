package analysis

import (
	"math"
	"sort"
	"strings"

	"afterloop/ingest"
)

// sameEventS is how near in time an event of one kind counts as the same in both logs.
const sameEventS = 30

// marks joins events and notes; a note says whose it is, unless it is a fixed
// word. An event that both recorded stands once.
func (m *join) marks() {
	first, second := &m.j.half[0], &m.j.half[1]
	at := map[int]int{}
	for i, r := range m.rows {
		if r.first >= 0 {
			at[r.first] = i
		}
	}
	for _, e := range m.a.Events {
		e.Row = at[e.Row]
		m.out.Events, first.events = append(m.out.Events, e), append(first.events, e)
	}
	for _, e := range m.b.Events {
		e.Row = m.nearestRow(m.c.tA[e.Row])
		second.events = append(second.events, e)
		same := false
		for _, f := range first.events {
			same = same || f.Kind == e.Kind && math.Abs(m.tS[f.Row]-m.tS[e.Row]) <= sameEventS
		}
		if !same {
			m.out.Events = append(m.out.Events, e)
		}
	}
	sort.SliceStable(m.out.Events, func(i, k int) bool { return m.out.Events[i].Row < m.out.Events[k].Row })
	for _, n := range m.a.Notes {
		m.out.Notes = append(m.out.Notes, ingest.Note{Row: at[n.Row], Text: noteOf(first.letter, n.Text)})
	}
	for _, n := range m.b.Notes {
		m.out.Notes = append(m.out.Notes, ingest.Note{Row: m.nearestRow(m.c.tA[n.Row]), Text: noteOf(second.letter, n.Text)})
	}
	sort.SliceStable(m.out.Notes, func(i, k int) bool { return m.out.Notes[i].Row < m.out.Notes[k].Row })
}

func noteOf(letter, text string) string {
	if _, ok := fixedWord(text); ok {
		return text
	}
	return "half " + letter + ": " + text
}

// fixedWord tells whether a text is one of the words of events.
func fixedWord(text string) (ingest.EventKind, bool) {
	switch k := ingest.EventKind(strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), " ", "_")); k {
	case ingest.DiluentFlush, ingest.OxygenFlush, ingest.ManualOxygen, ingest.ManualDiluent, ingest.Bailout, ingest.BackOnLoop, ingest.CalibrationRun:
		return k, true
	}
	return "", false
}

// nearestRow is the joined row nearest in time.
func (m *join) nearestRow(s float64) int {
	i := min(sort.SearchFloat64s(m.tS, s), len(m.tS)-1)
	if i > 0 && s-m.tS[i-1] < m.tS[i]-s {
		return i - 1
	}
	return i
}
