package whatif

import (
	"io"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/ingest"
	"afterloop/report/internal/reporttest"
)

// result runs a demo again; all its texts are hostile.
func result(t testing.TB, ch whatif.Changes) *whatif.Report {
	t.Helper()
	d, err := ingest.ReadFile("../../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d.Meta.Dive, d.Meta.Diver, d.Meta.Unit, d.Source.File, d.Meta.Start = reporttest.Hostile, reporttest.Hostile, reporttest.Hostile, reporttest.Hostile, reporttest.Hostile
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
	return string(reporttest.Bytes(t, write))
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
		reporttest.Bare(t, name, []byte(page))
		if strings.Contains(page, "Inf") {
			t.Errorf("%s: an infinity is shown", name)
		}
		reporttest.Terminal(t, name, []byte(written(t, func(w io.Writer) error { return WriteText(w, r, TextOptions{Width: 60}) })))
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
