package whatif

import (
	"encoding/json"
	"io"
	"strings"
	"testing"

	"afterloop/analysis/whatif"
	"afterloop/report"
)

// TestMarked: whatever comes from a simulation is marked, each in its place.
func TestMarked(t *testing.T) {
	r := result(t, both())
	if err := unmarked(t, r); len(err) > 0 {
		t.Error(err)
	}
	// The test sees what is missing.
	for name, spoil := range map[string]func(*whatif.Report){
		"the simulation": func(r *whatif.Report) { r.Simulation.Mark = "" },
		"one run":        func(r *whatif.Report) { r.Simulation.Changed.Mark = "" },
		"a corner":       func(r *whatif.Report) { r.Simulation.Corners[3].Mark = "" },
		"a sentence":     func(r *whatif.Report) { r.Words[len(r.Words)-1].Mark = "" },
	} {
		bad := result(t, both())
		spoil(bad)
		if len(unmarked(t, bad)) == 0 {
			t.Errorf("nobody sees that %s is not marked", name)
		}
	}
}

// unmarked lists what of a simulation lacks its mark.
func unmarked(t *testing.T, r *whatif.Report) (missing []string) {
	lacks := func(what string) { missing = append(missing, what) }
	page := pageOf(t, r)
	if !strings.Contains(page, `<thead><tr><td><section class="running" aria-label="What this page is"><p>`+whatif.Mark) {
		lacks("the running line of the page")
	}
	if !strings.Contains(page, ".sheet > thead { display: table-header-group; position: static; }") { // what repeats it on paper
		lacks("the head of each printed page")
	}
	if n := strings.Count(page, `<th scope="col" class="sim">`); n != 2 || strings.Count(page, "<small>"+whatif.Mark+"</small>") < n {
		lacks("a column of the table")
	}
	section := page[strings.Index(page, `<section id="simulation"`):]
	section = section[:strings.Index(section, "</section>")]
	if !strings.Contains(section, `<span class="kind-word">`+whatif.Mark) {
		lacks("the section")
	}
	svgs := strings.Split(section, `<svg viewBox="0 0 880`)[1:]
	for _, s := range svgs {
		if !strings.Contains(s[:strings.Index(s, "</svg>")], ">minutes since the first row — "+whatif.Mark+"<") {
			lacks("a drawing")
		}
	}
	if len(svgs) < 4 {
		lacks("drawings")
	}
	text := written(t, func(w io.Writer) error { return WriteText(w, r, TextOptions{Width: 200}) })
	if strings.Count(text, whatif.Mark) < 5 {
		lacks("the text")
	}
	csv := written(t, func(w io.Writer) error { return WriteSeries(w, r) })
	head := strings.SplitN(csv, "\n", 3)
	if head[0] != "# "+whatif.Mark {
		lacks("the comment of the columns")
	}
	for i, name := range strings.Split(head[1], ",") {
		if i >= 9 && !strings.HasPrefix(name, "simulation_not_a_plan_") {
			lacks("column " + name)
		}
	}
	var v map[string]any
	if err := json.Unmarshal([]byte(written(t, func(w io.Writer) error { return report.EncodeJSON(w, r) })), &v); err != nil {
		t.Fatal(err)
	}
	sim := v["closed_loop_simulation"].(map[string]any)
	objects := []any{sim, sim["recorded_set_up"], sim["with_the_changes"]}
	objects = append(objects, sim["corners"].([]any)...)
	for _, w := range v["words"].([]any) {
		if w.(map[string]any)["kind"] == "closed" || strings.HasPrefix(w.(map[string]any)["text"].(string), "Simulation") {
			objects = append(objects, w)
		}
	}
	for _, o := range objects {
		if o.(map[string]any)["mark"] != whatif.Mark {
			lacks("an object of the JSON")
		}
	}
	return missing
}
