package analysis

import (
	"fmt"
	"strings"
	"testing"

	"afterloop/ingest"
)

// testLog builds small logs row by row: what a row holds stands in the test.
type testLog struct {
	meta    []string
	columns []string
	rows    []string
}

func newLog(columns string, meta ...string) *testLog {
	return &testLog{meta: append([]string{"loop-log: 1", "surface_pressure_bar: 1.0", "water_density_kg_m3: 1019.716"}, meta...),
		columns: strings.Split(columns, ",")}
}

// add appends n rows made by f.
func (l *testLog) add(n int, f func(i int) string) *testLog {
	for i := 0; i < n; i++ {
		l.rows = append(l.rows, f(i))
	}
	return l
}

func (l *testLog) text() string {
	var b strings.Builder
	for _, m := range l.meta {
		fmt.Fprintf(&b, "# %s\n", m)
	}
	fmt.Fprintln(&b, strings.Join(l.columns, ","))
	for _, r := range l.rows {
		fmt.Fprintln(&b, r)
	}
	return b.String()
}

func (l *testLog) dive(t testing.TB) *ingest.Dive {
	t.Helper()
	d, err := ingest.Read(strings.NewReader(l.text()), "test.csv", ingest.Options{})
	if err != nil {
		t.Fatalf("the test's own log can't be read: %v", err)
	}
	return d
}

// analyze runs the checks without the diagnosis: these logs are no physics.
func (l *testLog) analyze(t testing.TB) *Debrief {
	t.Helper()
	p := DefaultParameters()
	p.SkipDiagnosis = true
	return Analyze(l.dive(t), p)
}

// threeCells is a log of one PO2 that three cells share, at 20 m, once a second.
func threeCells(n int, po2 func(i int) float64, meta ...string) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar,setpoint_bar", meta...).
		add(n, func(i int) string {
			p := po2(i)
			return fmt.Sprintf("%d,20.0,%.3f,%.3f,%.3f,%.3f,1.30", i, p, p, p, p)
		})
}

// ofKind returns the findings of one kind.
func ofKind(d *Debrief, kind string) []Finding {
	var out []Finding
	for _, f := range d.Findings {
		if f.Kind == kind {
			out = append(out, f)
		}
	}
	return out
}

// one asserts that there is exactly one finding of the kind and returns it.
func one(t *testing.T, d *Debrief, kind string) Finding {
	t.Helper()
	fs := ofKind(d, kind)
	if len(fs) != 1 {
		t.Fatalf("%d findings of kind %s, want 1; all: %s", len(fs), kind, summary(d))
	}
	return fs[0]
}

// none asserts that there is no finding of the kind.
func none(t *testing.T, d *Debrief, kind string) {
	t.Helper()
	if fs := ofKind(d, kind); len(fs) > 0 {
		t.Fatalf("unexpected %s: %s", kind, fs[0].Observed)
	}
}

func outcome(d *Debrief, id string) Check {
	for _, c := range d.Checks {
		if c.ID == id {
			return c
		}
	}
	return Check{}
}

func summary(d *Debrief) string {
	var w []string
	for _, f := range d.Findings {
		w = append(w, fmt.Sprintf("%s %s %s: %s", f.Severity, f.Confidence, f.Kind, f.Observed))
	}
	return strings.Join(w, "\n")
}
