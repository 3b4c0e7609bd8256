package report

import (
	"fmt"
	"strings"

	"afterloop/analysis"
)

// supply prints cylinders and batteries; nothing where none was recorded.
func (t *textWriter) supply() {
	if !supplyRecorded(t.d) {
		return
	}
	s := t.d.Supply
	t.title("Cylinders and batteries")
	if c := s.Oxygen; c.StartBar.Value.Known() {
		t.para("", fmt.Sprintf("Oxygen cylinder: %s.", cylinderText(c)+usedLitres(c)))
		b := s.Balance
		t.para("", fmt.Sprintf("Between %s and %s: cylinder %s; valves and additions %s; diver and loop %s. %s", t.clock.since(b.FromS), t.clock.since(b.ToS), litresUnit(b.Cylinder), litresUnit(b.Given), litresUnit(b.Use), balanceText(b)))
	}
	if c := s.Diluent; c.StartBar.Value.Known() {
		t.para("", fmt.Sprintf("Diluent cylinder: %s.", cylinderText(c)))
	}
	for _, b := range s.Batteries {
		sag := b.SagReason
		if b.SagMedianV.Known() {
			sag = fmt.Sprintf("sag while a valve is open %s V, at most %s V", fixed(b.SagMedianV, 2), fixed(b.SagWorst.Value, 2))
		}
		t.para("", fmt.Sprintf("Battery %d: %s to %s V, lowest %s V; %s.%s", b.Battery, fixed(b.StartV, 2), fixed(b.EndV, 2), fixed(b.Min.Value, 2), sag, sentences(b.Notes)))
	}
}

// cylinderText is what a gauge showed and by how much it fell, where it can be told.
func cylinderText(c analysis.Cylinder) string {
	ends := fixed(c.StartBar.Value, 0) + " to " + fixed(c.EndBar.Value, 0) + " bar"
	if c.Reason != "" {
		return ends + "; what was used is not assessed: " + c.Reason
	}
	return ends + ", " + interval(withoutReason(c.UsedBar), 0) + " bar used"
}

// usedLitres is the same in litres; nothing where the cylinder's reason has been given.
func usedLitres(c analysis.Cylinder) string {
	if c.Reason != "" {
		return ""
	}
	return "; in litres: " + litresUnit(c.UsedL)
}

// sentences are notes, each as a sentence behind what stands before.
func sentences(notes []string) string {
	var b strings.Builder
	for _, n := range notes {
		b.WriteString(" " + sentence(upperFirst(n)))
	}
	return b.String()
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
