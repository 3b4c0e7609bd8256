package report

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

const hostileNote = `<script>x</script> Ann\u001b[31m "quoted"`

// carried is a simulated dive with a dead valve, two cylinders and two batteries,
// and a note of the diver's.
func carried(t *testing.T) *analysis.Debrief {
	t.Helper()
	s, err := scenario.Draw("plain/valve-dead", 4)
	if err != nil {
		t.Fatal(err)
	}
	s.Meta.LoopFacts, s.Recording.Votes = true, true
	s.Meta.Halves = []string{"half_A: cells 1; valve 1; battery 1", "half_B: cells 2,3; valve 2; battery 2"}
	s.Recording.Notes = []scenario.Note{{TimeS: 1650, Text: strings.ReplaceAll(hostileNote, `\u001b`, "\x1b")}}
	s.Supply = &scenario.Supply{OxygenCylinderL: 3, DiluentCylinderL: 2, RecordTemp: true,
		Batteries: []scenario.Battery{{StartV: 7.4, SagV: 0.15, Valves: []int{1}}, {StartV: 7.3, SagV: 0.2, SagGrowH: 2.5, Valves: []int{2}}}}
	l, _, err := scenario.Run(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := l.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	dive, err := ingest.Read(&b, "carried.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return analysis.Analyze(dive, analysis.DefaultParameters())
}

// sectionOf cuts one section out of the page.
func sectionOf(t *testing.T, page, id string) string {
	t.Helper()
	a := strings.Index(page, `<section id="`+id+`">`)
	if a < 0 {
		t.Fatalf("no section %s", id)
	}
	return page[a : a+strings.Index(page[a:], "</section>")]
}

func TestSupplySection(t *testing.T) {
	var b bytes.Buffer
	if err := WriteHTML(&b, carried(t), Options{}); err != nil {
		t.Fatal(err)
	}
	s := sectionOf(t, b.String(), "supply")
	for _, want := range []string{"oxygen", "diluent", "left the cylinder", "valves and additions gave", "diver and loop explain", "they agree", `id="chart-supply"`, `href="#def-oxygen-balance"`, `href="#def-battery-sag"`, "is judged to have given nothing", "bar per hour"} {
		if !strings.Contains(s, want) {
			t.Errorf("the section lacks %q", want)
		}
	}
	s = regexp.MustCompile(`(?s)<noscript>.*?</noscript>`).ReplaceAllString(s, "") // no elements where scripts run
	if n := strings.Count(s, "<") - strings.Count(s, "</"); n > 150 {
		t.Errorf("%d elements with everything recorded", n)
	}
	if m := regexp.MustCompile(`<th(?: class="[a-z]*")?>`).FindString(s); m != "" {
		t.Errorf("a heading without scope: %s", m)
	}
}

// A log without gauges gets one sentence, and no chart.
func TestNothingCarried(t *testing.T) {
	d := small.debrief()
	d.Supply = &analysis.Supply{Oxygen: analysis.Cylinder{StartBar: analysis.Value{Value: analysis.Float(nan)}}, Diluent: analysis.Cylinder{StartBar: analysis.Value{Value: analysis.Float(nan)}}}
	var b bytes.Buffer
	if err := WriteHTML(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	if s := sectionOf(t, b.String(), "supply"); !strings.Contains(s, "NOT ASSESSED") || strings.Contains(s, "<table") || strings.Contains(s, "<figure") {
		t.Errorf("%s", s)
	}
}

// judging are words that the table of responses never uses; see package analysis.
var judging = regexp.MustCompile(`(?i)\b(failed|failure|errors?|late|should have|mistakes?|blame|missed|ignored|forgot)\b`)

func TestResponsesSection(t *testing.T) {
	d := carried(t)
	var page, text bytes.Buffer
	if err := WriteHTML(&page, d, Options{}); err != nil {
		t.Fatal(err)
	}
	if err := WriteText(&text, d, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	s := sectionOf(t, page.String(), "responses")
	for _, want := range []string{"It judges nobody", `class="goto"`, "&lt;script&gt;x&lt;/script&gt; Ann", `href="#def-visible"`, `href="#def-response"`} {
		if !strings.Contains(s, want) {
			t.Errorf("the section lacks %q", want)
		}
	}
	if w := judging.FindString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(s, " ")); w != "" {
		t.Errorf("the section says %q", w)
	}
	part := text.String()
	part = part[strings.Index(part, "What could be seen"):strings.Index(part, "Cylinders and batteries")]
	if w := judging.FindString(part); w != "" || strings.ContainsRune(text.String(), 0x1b) {
		t.Errorf("the terminal says %q in %s", w, part)
	}
	rows := len(d.Responses.Events)
	if n := strings.Count(s, "<") - strings.Count(s, "</"); n > 30+12*rows {
		t.Errorf("%d elements for %d rows", n, rows)
	}
}

// Notes may name people.
func TestAnonymousResponses(t *testing.T) {
	d := carried(t)
	var b bytes.Buffer
	if err := WriteJSON(&b, d, Options{Anonymous: true}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "Ann") {
		t.Error("a note's text is in the anonymous form")
	}
	noted := false
	for _, e := range d.Responses.Events {
		noted = noted || strings.Contains(e.Noted.What, "Ann")
	}
	if !noted {
		t.Error("the debrief itself has lost the note")
	}
}

// Of many events twelve rows are shown, and the rest is said to be there.
func TestManyResponses(t *testing.T) {
	d := carried(t)
	for len(d.Responses.Events) < 30 {
		d.Responses.Events = append(d.Responses.Events, d.Responses.Events[0])
	}
	var b bytes.Buffer
	if err := WriteHTML(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	s := sectionOf(t, b.String(), "responses")
	if n := strings.Count(s, "<tr>"); n != 1+mostResponses || !strings.Contains(s, "18 more") {
		t.Errorf("%d rows: %s", n, s[len(s)-300:])
	}
}
