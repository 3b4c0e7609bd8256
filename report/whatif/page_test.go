package whatif

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/ingest"
)

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
