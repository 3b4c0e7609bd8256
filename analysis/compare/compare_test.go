package compare

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
)

// TestPair: one unit before and after its second cell was replaced.
func TestPair(t *testing.T) {
	before := take(t, "before.csv", demo(1, nil)) // its cell 2 has a ceiling
	after := take(t, "after.csv", demo(1, func(s *scenario.Spec) {
		s.Seed, s.Faults, s.Meta.Start = 99, nil, "2026-05-16T09:10:00+02:00"
		s.Meta.Serials = []string{"KD-04", "KD-31", "KD-06"}
		s.Faults = []scenario.Fault{{Kind: scenario.Gain, Cell: 3, Gain: 0.83}}
	}))
	c, err := Compare([]*Subject{before, after}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if c.Mode != ModeDives || c.Reference != "A" || c.Dives[0].File != "before.csv" {
		t.Fatalf("%s, reference %s, first %s", c.Mode, c.Reference, c.Dives[0].File)
	}
	if c.Matching.By != "serial" {
		t.Errorf("cells matched by %s: %s", c.Matching.By, c.Matching.Text)
	}
	a := c.Findings.Against[0]
	if !has(a.Unsettled, "current-limited-cell", "cell KD-05") || has(a.Gone, "current-limited-cell", "") {
		t.Errorf("the ceiling of a cell that was taken out: gone %v, can't be told %v", kinds(a.Gone), kinds(a.Unsettled))
	}
	if !has(a.New, "miscalibrated-cell", "cell KD-06") {
		t.Errorf("new: %v", kinds(a.New))
	}
	if len(a.Same)+len(a.Changed) == 0 {
		t.Error("nothing is in both, though both records are coarse")
	}
	for _, part := range []string{"cell KD-05", "cell KD-31"} {
		if f := figure(t, c, "cell_gain", part); f.Comparable || !strings.Contains(f.Reason, "not in this dive") {
			t.Errorf("%s is in one dive only: %v %q", part, f.Comparable, f.Reason)
		}
	}
	f := figure(t, c, "cell_gain", "cell KD-06")
	if !f.Comparable || f.Median.Known() || f.Min.Known() || !strings.Contains(f.Reading, "do not overlap") {
		t.Errorf("two values: %v %q", f.Spread, f.Reading)
	}
}

func has(cs []Change, kind, part string) bool {
	for _, c := range cs {
		if c.Kind == kind && (part == "" || c.Part == part) {
			return true
		}
	}
	return false
}

func kinds(cs []Change) []string {
	var out []string
	for _, c := range cs {
		out = append(out, c.Kind+" "+c.Part)
	}
	return out
}

// made is a debrief made by hand.
func made(sha byte, checks []analysis.Check, findings ...analysis.Finding) *analysis.Debrief {
	return &analysis.Debrief{Schema: analysis.SchemaID, Tool: analysis.Tool{Name: "afterloop", Version: "1"}, Sources: []analysis.Source{{File: string(sha), SHA256: strings.Repeat(string(sha), 64)}},
		Assessable: analysis.Assessable{TimeFraction: 1}, Checks: checks, Findings: findings}
}

// TestFindingStates: new and gone only where the check ran in both, in one version.
func TestFindingStates(t *testing.T) {
	check := func(o analysis.Outcome, version int) []analysis.Check {
		return []analysis.Check{{ID: "k", Version: version, Outcome: o, Reason: "why not"}}
	}
	f := analysis.Finding{Kind: "kind", Title: "Kind", Check: "k", CheckVersion: 1, Severity: analysis.Caution, Confidence: analysis.Likely}
	grave := f
	grave.Severity = analysis.Warning
	for _, c := range []struct {
		name             string
		reference, other *analysis.Debrief
		want             string
	}{
		{"new", made('1', check(analysis.NotFound, 1)), made('2', check(analysis.Found, 1), f), "new"},
		{"new where it was borderline", made('1', check(analysis.Borderline, 1)), made('2', check(analysis.Found, 1), f), "new"},
		{"gone", made('1', check(analysis.Found, 1), f), made('2', check(analysis.NotFound, 1)), "gone"},
		{"not assessed is not gone", made('1', check(analysis.Found, 1), f), made('2', check(analysis.NotAssessed, 1)), "unsettled"},
		{"nor new", made('1', check(analysis.NotAssessed, 1)), made('2', check(analysis.Found, 1), f), "unsettled"},
		{"nor where it does not apply", made('1', check(analysis.DoesNotApply, 1)), made('2', check(analysis.Found, 1), f), "unsettled"},
		{"no such check", made('1', nil), made('2', check(analysis.Found, 1), f), "unsettled"},
		{"another version of the check", made('1', check(analysis.NotFound, 2)), made('2', check(analysis.Found, 1), f), "unsettled"},
		{"graver", made('1', check(analysis.Found, 1), f), made('2', check(analysis.Found, 1), grave), "changed"},
		{"twice", made('1', check(analysis.Found, 1), f), made('2', check(analysis.Found, 1), f, f), "changed"},
		{"the same", made('1', check(analysis.Found, 1), f), made('2', check(analysis.Found, 1), f), "same"},
	} {
		r, err := Compare([]*Subject{Take(c.reference, Source{}), Take(c.other, Source{})}, Options{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		a := r.Findings.Against[0]
		got := map[string]int{"new": len(a.New), "gone": len(a.Gone), "unsettled": len(a.Unsettled), "changed": len(a.Changed), "same": len(a.Same)}
		for k, n := range got {
			if n != map[bool]int{true: 1}[k == c.want] {
				t.Errorf("%s: %v", c.name, got)
				break
			}
		}
	}
}

// TestNotForThisCell: a check that ran, but could not tell about that very cell,
// makes nothing new or gone.
func TestNotForThisCell(t *testing.T) {
	one := 1
	slow := analysis.Finding{Kind: "slow-cell", Title: "Slow", Check: "slow-cell", CheckVersion: 1, Severity: analysis.Warning, Confidence: analysis.Sure, Cell: &one}
	with := func(sha byte, t90 analysis.Float, serial string, fs ...analysis.Finding) *Subject {
		d := made(sha, []analysis.Check{{ID: "slow-cell", Version: 1, Outcome: analysis.NotFound}}, fs...)
		for n := 1; n <= 2; n++ {
			d.Cells = append(d.Cells, analysis.Cell{Cell: n, Serial: []string{serial, "other"}[n-1], T90S: analysis.Interval{Value: t90, Low: unknown, High: unknown, Reason: "no usable step"}})
		}
		return Take(d, Source{})
	}
	for _, c := range []struct {
		name  string
		other *Subject
		gone  bool
		why   string
	}{
		{"its T90 was known", with('2', 6, "S"), true, "ended not found"},
		{"its T90 was not", with('2', unknown, "S"), false, "of that cell: no usable step"},
		{"it was taken out", with('2', 6, "T"), false, "not in this dive"},
	} {
		r, err := Compare([]*Subject{with('1', 30, "S", slow), c.other}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		a := r.Findings.Against[0]
		if c.gone != (len(a.Gone) == 1) || c.gone == (len(a.Unsettled) == 1) {
			t.Errorf("%s: gone %v, can't be told %v", c.name, kinds(a.Gone), kinds(a.Unsettled))
		}
		for _, x := range append(a.Gone, a.Unsettled...) {
			if !strings.Contains(x.Text, c.why) || x.Part != "cell S" {
				t.Errorf("%s: %q %q", c.name, x.Part, x.Text)
			}
		}
	}
}

// TestRefusedWhole: what can't be compared at all, with the reason.
func TestRefusedWhole(t *testing.T) {
	one := debrief(t, "one.csv", demo(0, nil))
	two := debrief(t, "two.csv", demo(1, nil))
	none := made('3', nil)
	none.Assessable.TimeFraction = 0
	copied := *one
	copied.Sources = []analysis.Source{{File: "copy.csv", SHA256: one.Sources[0].SHA256}}
	packed := *one
	packed.Sources = []analysis.Source{{File: "one.csv.gz", SHA256: strings.Repeat("c", 64)}}
	many := make([]*Subject, MaxDives+1)
	for i := range many {
		many[i] = Take(made('1', nil), Source{})
		many[i].SHA256 = fmt.Sprint(i)
	}
	for _, c := range []struct {
		name string
		of   []*Subject
		want string
	}{
		{"one dive", []*Subject{Take(one, Source{})}, "2 to 50 dives, not 1"},
		{"too many", many, "2 to 50 dives, not 51"},
		{"the same log under another name", []*Subject{Take(one, Source{}), Take(&copied, Source{})}, "the same log"},
		{"the same among three", []*Subject{Take(one, Source{}), Take(two, Source{}), Take(&copied, Source{})}, "the same log"},
		{"the same rows in another file", []*Subject{Take(one, Source{}), Take(&packed, Source{})}, "the same rows"},
		{"no PO2 in one of two", []*Subject{Take(one, Source{}), Take(none, Source{})}, "fewer than two dives can be compared: 3: no PO2"},
	} {
		if _, err := Compare(c.of, Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := Compare(many[:MaxDives], Options{}); err != nil {
		t.Errorf("fifty: %v", err)
	}
	if _, err := Compare([]*Subject{Take(one, Source{}), Take(two, Source{}), Take(none, Source{})}, Options{Reference: 2}); err == nil || !strings.Contains(err.Error(), "can't be the reference") {
		t.Errorf("a reference without PO2: %v", err)
	}
	c, err := Compare([]*Subject{Take(one, Source{}), Take(two, Source{}), Take(none, Source{})}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f := figure(t, c, "max_depth_m", ""); f.N != 2 || !strings.Contains(strings.Join(c.Remarks, " "), "Left out of all figures") {
		t.Errorf("a dive without PO2 is counted: n %d, %v", f.N, c.Remarks)
	}
}

// TestRefusedFigures: each figure that configuration makes meaningless says so;
// the others stay.
func TestRefusedFigures(t *testing.T) {
	plain := func(s *scenario.Spec) { s.Faults, s.Events, s.Recording.Gaps = nil, nil, nil }
	base := take(t, "base.csv", demo(0, plain))
	with := func(k int, f func(*scenario.Spec)) *Comparison {
		c, err := Compare([]*Subject{base, take(t, "other.csv", demo(k, func(s *scenario.Spec) { plain(s); f(s) }))}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	refused := func(c *Comparison, id, part, want string) {
		t.Helper()
		if f := figure(t, c, id, part); f.Comparable || !strings.Contains(f.Reason, want) {
			t.Errorf("%s: comparable %v, %q, want %q", id, f.Comparable, f.Reason, want)
		}
	}
	stays := func(c *Comparison, id, part string) {
		t.Helper()
		if f := figure(t, c, id, part); !f.Comparable {
			t.Errorf("%s is refused: %s", id, f.Reason)
		}
	}
	c := with(1, func(s *scenario.Spec) { s.SetPoint.HighBar = 1.0 })
	refused(c, "mean_po2_bar", "", "set points differ: 0.70/1.00 bar as in B, 0.70/1.20 bar as in A")
	refused(c, "estimate_mean_bar", "", "set points differ")
	stays(c, "mae_bar", "")
	stays(c, "max_po2_bar", "")
	stays(c, "cell_gain", "cell 1")
	if c.Matching.By != "position" || !strings.Contains(c.Matching.Text, "no serial number occurs in two dives") {
		t.Errorf("%+v", c.Matching)
	}
	c = with(1, func(s *scenario.Spec) {
		s.Cells, s.Meta.Serials, s.Meta.Installed = append(s.Cells, s.Cells[0]), nil, nil
	})
	refused(c, "cell_gain", "", "3 cells in A and 4 in B")
	stays(c, "mae_bar", "")
	c = with(1, func(s *scenario.Spec) { s.Valves = append(s.Valves, s.Valves[0]) })
	refused(c, "valve_delay_s", "", "valves are recorded: 1 in A, 2 in B")
}

// TestNoSetPoint: without a recorded set point no figure against it is given, and
// the others stay.
func TestNoSetPoint(t *testing.T) {
	a, b := debrief(t, "a.csv", demo(0, nil)), debrief(t, "b.csv", demo(1, nil))
	b.Tracking, b.TrackingEstimate, b.Dive.SetPointsBar = nil, nil, nil
	c, err := Compare([]*Subject{Take(a, Source{}), Take(b, Source{})}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"mae_bar", "within_0_05_percent", "estimate_mae_bar"} {
		if f := figure(t, c, id, ""); f.Comparable || f.N != 1 || !strings.Contains(f.Reason, "no set point recorded") {
			t.Errorf("%s: n %d, %q", id, f.N, f.Reason)
		}
	}
	if f := figure(t, c, "mean_po2_bar", ""); f.Comparable || !strings.Contains(f.Reason, "no set point is recorded") {
		t.Errorf("mean PO2: %q", f.Reason)
	}
	if f := figure(t, c, "max_po2_bar", ""); !f.Comparable {
		t.Error(f.Reason)
	}
}

// TestOrder: the order of the arguments plays no part but for the reference.
func TestOrder(t *testing.T) {
	var ds []*analysis.Debrief
	for k := range 4 {
		ds = append(ds, debrief(t, fmt.Sprintf("%d.csv", k), demo(k, nil)))
	}
	ds[2].Dive.Start = "" // one of them states no start
	want := ""
	rapid.Check(t, func(rt *rapid.T) {
		perm := rapid.Permutation([]int{0, 1, 2, 3}).Draw(rt, "order")
		var ss []*Subject
		ref := 0
		for i, k := range perm {
			if ss = append(ss, Take(ds[k], Source{})); k == 1 {
				ref = i
			}
		}
		c, err := Compare(ss, Options{Reference: ref})
		if err != nil {
			rt.Fatal(err)
		}
		got := text(t, c)
		if want == "" {
			want = got
		}
		if got != want {
			rt.Fatal("the order plays a part")
		}
	})
	if !strings.Contains(want, `"reference":"B"`) {
		t.Errorf("%.400s", want)
	}
}

// TestReading: of several, where the reference lies among the others, in words.
func TestReading(t *testing.T) {
	k := kind{id: "x", group: groupTracking, digits: 2}
	for _, c := range []struct {
		of   []float64
		want string
	}{
		{[]float64{1, 2}, "B less A: +1.00."},
		{[]float64{3, 1, 2}, "A is the highest of 3; one always is."},
		{[]float64{1, 3, 2}, "A is the lowest of 3; one always is."},
		{[]float64{2, 1, 3}, "Within the others."},
		{[]float64{3.004, 3, 2}, "Within the others."}, // no more than is printed
		{[]float64{1.1, 1, 2, 3, 4, 5, 6}, "Within the others, outside the middle half."},
		{[]float64{math.NaN(), 1, 2}, "Not known in the reference, A."},
	} {
		var ss []*Subject
		var vs []Measure
		for i, v := range c.of {
			ss, vs = append(ss, &Subject{Dive: Dive{Label: Label(i)}}), append(vs, measure(analysis.Float(v), "why"))
		}
		if got := k.row(ss, 0, "", vs, "").Reading; got != c.want {
			t.Errorf("%v: %q, want %q", c.of, got, c.want)
		}
	}
}

// TestLowerBounds: a difference from a lower bound is a bound, between two it is not known.
func TestLowerBounds(t *testing.T) {
	k := kind{id: "x", group: groupPO2}
	for _, c := range []struct {
		a, b bool
		want string
	}{{false, true, "B less A: at least +5."}, {true, false, "B less A: at most +5."}, {true, true, "Both are lower bounds: what the difference is, is not known."}} {
		vs := []Measure{measure(10, ""), measure(15, "")}
		vs[0].IsLowerBound, vs[1].IsLowerBound = c.a, c.b
		if got := k.row([]*Subject{{Dive: Dive{Label: "A"}}, {Dive: Dive{Label: "B"}}}, 0, "", vs, "").Reading; got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestLabel(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 49: "AX", 52: "BA"} {
		if got := Label(i); got != want {
			t.Errorf("%d: %s", i, got)
		}
	}
}
