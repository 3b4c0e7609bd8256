package report

import "fmt"

// supply prints cylinders and batteries; nothing where none was recorded.
func (t *textWriter) supply() {
	if !supplyRecorded(t.d) {
		return
	}
	s := t.d.Supply
	t.title("Cylinders and batteries")
	if c := s.Oxygen; c.StartBar.Value.Known() {
		t.para("", fmt.Sprintf("Oxygen cylinder: %s to %s bar, %s bar used; in litres: %s.", fixed(c.StartBar.Value, 0), fixed(c.EndBar.Value, 0), interval(withoutReason(c.UsedBar), 0), litresText(c.UsedL)))
		b := s.Balance
		t.para("", fmt.Sprintf("Between %s and %s: cylinder %s L; valves and additions %s; diver and loop %s. %s", t.clock.since(b.FromS), t.clock.since(b.ToS), litresText(b.Cylinder), litresText(b.Given), litresText(b.Use), balanceText(b)))
	}
	if c := s.Diluent; c.StartBar.Value.Known() {
		t.para("", fmt.Sprintf("Diluent cylinder: %s to %s bar, %s bar used.", fixed(c.StartBar.Value, 0), fixed(c.EndBar.Value, 0), interval(withoutReason(c.UsedBar), 0)))
	}
	for _, b := range s.Batteries {
		sag := b.SagReason
		if b.SagMedianV.Known() {
			sag = fmt.Sprintf("sag while a valve is open %s V, at most %s V", fixed(b.SagMedianV, 2), fixed(b.SagWorst.Value, 2))
		}
		t.para("", fmt.Sprintf("Battery %d: %s to %s V, lowest %s V; %s.", b.Battery, fixed(b.StartV, 2), fixed(b.EndV, 2), fixed(b.Min.Value, 2), sag))
	}
}

// mostTextResponses bounds the events that a terminal shows.
const mostTextResponses = 5

// responses prints what could be seen and what was recorded, in brief.
func (t *textWriter) responses() {
	r := t.d.Responses
	if r == nil || len(r.Events) == 0 {
		return
	}
	t.title("What could be seen, and what was done")
	t.para("", r.Note)
	for i, e := range r.Events {
		if i == mostTextResponses {
			t.para("", more(mostTextResponses, len(r.Events)))
			break
		}
		vote := ""
		if e.Recorded.AtS.Known() {
			vote = " Unit's vote: " + recordedText(t.clock, e.Recorded) + "."
		}
		t.bullet(fmt.Sprintf("%s %s: %s.%s Action: %s.", numberOf(t.d, e.Finding), e.Title, seenText(t.clock, e), vote, recordedText(t.clock, e.Action)))
	}
}
