package whatif

import (
	"bytes"
	"encoding/json"
	"flag"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"golang.org/x/net/html"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/ingest"
	"afterloop/report"
)

var update = flag.Bool("update", false, "rewrite golden files")

const hostile = `"'><script>alert(1)</script><img src=http://example.invalid/x onerror=alert(2)>` + "\x1b[31m\u202e"

// result runs a demo again; all its texts are hostile.
func result(t testing.TB, ch whatif.Changes) *whatif.Report {
	t.Helper()
	d, err := ingest.ReadFile("../../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d.Meta.Dive, d.Meta.Diver, d.Meta.Unit, d.Source.File, d.Meta.Start = hostile, hostile, hostile, hostile, hostile
	r, err := whatif.Run(d, analysis.DefaultParameters(), whatif.DefaultParams(), ch)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func both() whatif.Changes {
	return whatif.Changes{Policy: "mid-value", NoOxygen: &whatif.Moment{Given: "0:30:00", S: 1800, SinceFirst: true}}
}

func written(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func pageOf(t testing.TB, r *whatif.Report) string {
	return written(t, func(w io.Writer) error { return WritePage(w, r) })
}

// TestPage: no text of a log becomes markup, nothing is loaded, nothing runs.
func TestPage(t *testing.T) {
	refused := result(t, both())
	refused.Simulation = &whatif.Simulation{Mark: whatif.Mark, Reason: "no reason", Reproduces: "no"}
	for name, r := range map[string]*whatif.Report{"both": result(t, both()), "open": result(t, whatif.Changes{Kind: whatif.Open, Policy: "mean"}), "refused": refused,
		"closed alone": result(t, whatif.Changes{Kind: whatif.Closed, Controller: whatif.OnOff})} {
		page := pageOf(t, r)
		root, err := html.Parse(strings.NewReader(page))
		if err != nil {
			t.Fatal(err)
		}
		for n := range root.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			switch n.Data {
			case "script", "img", "iframe", "object", "link", "form":
				t.Errorf("%s: element %s", name, n.Data)
			}
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "style" || a.Key == "href" && strings.Contains(a.Val, ":") {
					t.Errorf("%s: attribute %s=%q", name, a.Key, a.Val)
				}
			}
		}
		for want, has := range map[string]bool{"default-src &#39;none&#39;": true, "clears no equipment for use": true, "call emergency medical services": true, "NaN": false, "Inf": false, "%!": false, "&lt;nil": false} {
			if strings.Contains(page, want) != has {
				t.Errorf("%s: %q: %v", name, want, !has)
			}
		}
		text := written(t, func(w io.Writer) error { return WriteText(w, r, TextOptions{Width: 60}) })
		if strings.ContainsAny(text, "\x1b\u202e") || strings.Contains(text, "NaN") || strings.Contains(text, "%!") {
			t.Errorf("%s: control characters or NaN reach the terminal", name)
		}
	}
}

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
	if !strings.Contains(page, `<thead><tr><td><p class="running">`+whatif.Mark) {
		lacks("the running line of the page")
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

// TestReplayIsNoSimulation: a page of the replay alone shows nothing of a simulation.
func TestReplayIsNoSimulation(t *testing.T) {
	r := result(t, whatif.Changes{Kind: whatif.Open, Policy: "mean"})
	page := pageOf(t, r)
	for _, no := range []string{whatif.Mark, `class="sim"`, `id="simulation"`} {
		if strings.Contains(page, no) {
			t.Errorf("a replay's page has %q", no)
		}
	}
	if !strings.Contains(page, whatif.ReplayMark) {
		t.Error("a replay does not say that it changes nothing in the loop")
	}
	csv := written(t, func(w io.Writer) error { return WriteSeries(w, r) })
	if strings.Contains(csv, "simulation") || !strings.HasPrefix(csv, "time_s,") {
		t.Errorf("%.80s", csv)
	}
}

// TestSameBytes: two runs give the same page, text and columns.
func TestSameBytes(t *testing.T) {
	a, b := result(t, both()), result(t, both())
	if pageOf(t, a) != pageOf(t, b) {
		t.Error("the page differs")
	}
	series := func(r *whatif.Report) string { return written(t, func(w io.Writer) error { return WriteSeries(w, r) }) }
	if series(a) != series(b) {
		t.Error("the columns differ")
	}
}

// TestNoAdvice: no word of the page reads as advice to dive another way.
func TestNoAdvice(t *testing.T) {
	page := strings.ToLower(pageOf(t, result(t, both())))
	for _, no := range []string{"recommend", "you should", "should set", "safer", "better to", "next time", "next dive", "advisable", "optimal", "ideal"} {
		if strings.Contains(page, no) {
			t.Errorf("the page says %q", no)
		}
	}
}

// TestSchema: the schema is that of the repository, and results follow it.
func TestSchema(t *testing.T) {
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"../../analysis", "../../ingest"} {
		if err := r.AddGoComments("afterloop/report/whatif", dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	if _, err := schemaWith(func(key string) string {
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	}); err != nil {
		t.Fatal(err)
	}
	comments, err := json.MarshalIndent(used, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/comments.json", append(comments, '\n'))
	if *update {
		schemaComments = comments
	}
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/whatif.schema.json", text)
	follows(t, text)
}

func follows(t *testing.T, text []byte) {
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("whatif.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("whatif.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	for name, r := range map[string]*whatif.Report{"both": result(t, both()), "open": result(t, whatif.Changes{Kind: whatif.Open, Policy: "mean"})} {
		v, err := validator.UnmarshalJSON(strings.NewReader(written(t, func(w io.Writer) error { return report.EncodeJSON(w, r) })))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	bad := result(t, both())
	bad.Schema = "afterloop/whatif/0"
	v, _ := validator.UnmarshalJSON(strings.NewReader(written(t, func(w io.Writer) error { return report.EncodeJSON(w, bad) })))
	if s.Validate(v) == nil {
		t.Error("the schema lets another version pass")
	}
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update)", err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s differs (-want +got); if it should, run with -update:\n%s", file, d)
	}
}
