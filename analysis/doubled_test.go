package analysis

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

// wholeDive is the demonstration's dive at a short interval, recorded by nobody yet.
func wholeDive(t testing.TB) (scenario.Log, [2]scenario.Half) {
	t.Helper()
	spec, logs := scenario.DoubledDemo()
	spec.Helium = &scenario.Helium{Basis: "dry", NoiseSigma: 0.002, LagS: 20, StatedSigma: 0.004}
	spec.Diluent = "18/30"
	spec.Recording.IntervalS = 1 // short enough for halves that record every 2 s and more
	whole, _, err := scenario.Run(spec)
	if err != nil {
		t.Fatal(err)
	}
	return whole, [2]scenario.Half{logs[0].Half, logs[1].Half}
}

func halfDive(t testing.TB, whole scenario.Log, h scenario.Half, file string) *ingest.Dive {
	t.Helper()
	var b bytes.Buffer
	if err := h.Record(whole).WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	d, err := ingest.Read(&b, file, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func joined(t testing.TB, a, b *ingest.Dive) *Doubled {
	t.Helper()
	j, err := JoinHalves(a, b, DefaultParameters())
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// What was joined is a sound log: it can be written, and reads the same.
func TestJoinedLogRoundTrip(t *testing.T) {
	whole, h := wholeDive(t)
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	d := joined(t, a, b).Dive
	var text bytes.Buffer
	if err := ingest.Write(&text, d); err != nil {
		t.Fatal(err)
	}
	again, err := ingest.Read(&text, "again.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	same := cmp.Options{cmpopts.EquateNaNs(), cmpopts.EquateEmpty(), cmpopts.EquateApprox(0, 1e-9),
		cmpopts.IgnoreFields(ingest.Dive{}, "Source", "Line", "Columns", "Problems", "DepthStepM"), cmpopts.IgnoreFields(ingest.Cell{}, "StepBar"),
		cmpopts.IgnoreFields(ingest.Meta{}, "Other")}
	if diff := cmp.Diff(d, again, same); diff != "" {
		t.Errorf("(-joined +read again):\n%.3000s", diff)
	}
	// One log that names its halves tells the same of PO2 as the two did.
	one, two := Analyze(again, DefaultParameters()).Halves, AnalyzeDoubled(joined(t, a, b), DefaultParameters()).Halves
	if one == nil || math.Abs(float64(one.Comparisons[0].Median-two.Comparisons[0].Median)) > 1e-9 || one.Clock != nil {
		t.Errorf("from one log %+v, from two %+v", one, two.Comparisons[0])
	}
}

func TestJoinedParts(t *testing.T) {
	whole, h := wholeDive(t)
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	j := joined(t, a, b)
	var serials []string
	for _, c := range j.Dive.Cells {
		serials = append(serials, fmt.Sprintf("%d %s", c.Number, c.Serial))
	}
	if diff := cmp.Diff([]string{"1 TA-31", "2 TA-32", "3 TA-40", "4 TA-11", "5 TA-12"}, serials); diff != "" {
		t.Error(diff)
	}
	d := AnalyzeDoubled(j, DefaultParameters())
	want := []HalfPart{{"cell", 1, 4}, {"cell", 2, 5}, {"valve", 1, 2}}
	if diff := cmp.Diff(want, d.Halves.Halves[1].Parts); diff != "" {
		t.Error(diff)
	}
	if len(d.Sources) != 2 || d.Sources[0].File != "a.csv" || d.Sources[1].File != "b.csv" || d.Sources[1].Rows != b.Rows() {
		t.Errorf("sources %+v", d.Sources)
	}
	var notes []string
	for _, n := range d.Recording.Notes {
		notes = append(notes, n.Text)
	}
	if !slices.Contains(notes, "half A: leaving the surface") || !slices.Contains(notes, "half B: one handset dark") || slices.Contains(notes, "half A: one handset dark") {
		t.Errorf("notes %q", notes)
	}
	flushes := 0
	for _, e := range j.Dive.Events {
		if e.Kind == ingest.DiluentFlush {
			flushes++
		}
	}
	if flushes != 1 || len(d.Halves.Halves[0].Events) != 2 || len(d.Halves.Halves[1].Events) != 1 {
		t.Errorf("%d flushes in the joined dive; by half %+v, %+v", flushes, d.Halves.Halves[0].Events, d.Halves.Halves[1].Events)
	}
}

// Whatever two recorders did: what the first read stands as read; what the second
// read lies within its rows around; no valve's second is lost or made; where the
// first was off the second's rows are there.
func TestJoinLaws(t *testing.T) {
	whole, h := wholeDive(t)
	rapid.Check(t, func(rt *rapid.T) {
		x, y := h[0], h[1]
		x.IntervalS = rapid.SampledFrom([]float64{2, 5}).Draw(rt, "interval")
		y.IntervalS = rapid.SampledFrom([]float64{3, 10}).Draw(rt, "other interval")
		y.OnS, y.DriftPPM = rapid.Float64Range(0, 200).Draw(rt, "on"), rapid.Float64Range(-400, 400).Draw(rt, "drift")
		from := rapid.Float64Range(300, 1500).Draw(rt, "off")
		x.Off = []scenario.Span{{FromS: from, ToS: from + rapid.Float64Range(0, 400).Draw(rt, "for")}}
		from = rapid.Float64Range(300, 1500).Draw(rt, "other off")
		y.Off = []scenario.Span{{FromS: from, ToS: from + rapid.Float64Range(0, 400).Draw(rt, "other for")}}
		a, b := halfDive(t, whole, x, "a.csv"), halfDive(t, whole, y, "b.csv")
		j, err := JoinHalves(a, b, DefaultParameters())
		if err != nil {
			rt.Fatal(err)
		}
		d := j.Dive
		row := 0
		for i := range a.TimeS {
			for d.TimeS[row] < a.TimeS[i] {
				row++
			}
			if d.TimeS[row] != a.TimeS[i] || d.Cells[0].PO2Bar[row] != a.Cells[0].PO2Bar[i] || d.DepthM[row] != a.DepthM[i] {
				rt.Fatalf("row %d of the first log did not stay as it was", i)
			}
		}
		for i, t := range d.TimeS {
			v := d.Cells[3].PO2Bar[i]
			k := j.nearestOf(i)
			if math.IsNaN(v) != (k < 0) {
				rt.Fatalf("at %.1f s the second half's cell is %v, its row %d", t, v, k)
			}
			if k < 0 {
				continue
			}
			lo, hi := v, v
			for n := max(0, k-1); n <= min(k+1, b.Rows()-1); n++ {
				lo, hi = math.Min(lo, b.Cells[0].PO2Bar[n]), math.Max(hi, b.Cells[0].PO2Bar[n])
			}
			if lo == v && hi == v && b.Cells[0].PO2Bar[k] != v || v < lo || v > hi {
				rt.Fatalf("at %.1f s %v lies outside the rows around, %v to %v", t, v, lo, hi)
			}
		}
		if x, y := total(d.Valves[1].OpenS), total(b.Valves[0].OpenS); math.Abs(x-y) > 1e-6 {
			rt.Fatalf("the second half's valve: %.3f s in its log, %.3f s joined", y, x)
		}
	})
}

// nearestOf is the row of the second log nearest to a joined row, recomputed.
func (j *Doubled) nearestOf(i int) int {
	return newCarrier(j.Dive.TimeS, j.logs[1], j.Clock.ToA).nearest(i)
}

func total(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += orZero(v)
	}
	return sum
}

// A spike of one row is not worn down on its way to other rows, a slope is not made steps.
func TestCarried(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar").add(4, func(i int) string {
		return fmt.Sprintf("%d,10,%.2f", 10*i, []float64{1.0, 1.1, 1.9, 1.1}[i])
	}).dive(t)
	tS := []float64{-2, 0, 5, 10, 14, 16, 22, 30, 33}
	c := newCarrier(tS, d, func(s float64) float64 { return s })
	nan := math.NaN()
	want := []float64{nan, 1.0, 1.05, 1.1, 1.1, 1.9, 1.9, 1.1, nan}
	if diff := cmp.Diff(want, c.line(d.Cells[0].PO2Bar, 0.2, nil), cmpopts.EquateNaNs(), cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestJoinRefuses(t *testing.T) {
	whole, h := wholeDive(t)
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	other, err := ingest.ReadFile("../testdata/ombrel-healthy.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	both := joined(t, a, b).Dive
	for _, c := range []struct {
		name string
		x, y *ingest.Dive
		want string
	}{
		{"another dive", a, other, "can't be aligned"},
		{"the same log", a, a, "are the same log"},
		{"halves within", both, b, "holds both halves already"},
		{"hardly any depth", a, threeCells(600, func(int) float64 { return 1 }).dive(t), "depth changes by"},
	} {
		if _, err := JoinHalves(c.x, c.y, DefaultParameters()); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A cell that both halves read is one cell.
func TestSharedCell(t *testing.T) {
	whole, h := wholeDive(t)
	h[1].Cells = []int{3, 4}
	j := joined(t, halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv"))
	if len(j.Dive.Cells) != 4 || !slices.Equal(j.half[1].cells, []int{3, 4}) || len(j.rules) != 1 {
		t.Errorf("%d cells, half B has %v, rules %q", len(j.Dive.Cells), j.half[1].cells, j.rules)
	}
	if n := countNaN(j.Dive.Cells[2].PO2Bar); n > 0 {
		t.Errorf("the shared cell lacks %d readings, although one half always recorded", n)
	}
}

func TestStartsAreCompared(t *testing.T) {
	whole, h := wholeDive(t)
	for start, want := range map[string]string{
		"2026-08-15T09:31:35+02:00": "agree with it",
		"2026-08-15T08:31:35+02:00": "a whole number of quarter hours",
		"2026-08-15T07:31:35Z":      "agree with it",
		"2026-08-15T09:41:00+02:00": "would lie 9 min",
		"2020-01-01T00:00:00Z":      "days earlier",
		"":                          "not both logs state a start",
	} {
		h[1].Start = start
		j := joined(t, halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv"))
		if !strings.Contains(j.startText, want) {
			t.Errorf("%q: %s", start, j.startText)
		}
	}
}

// Two divers who stayed together have one profile: that the names differ is said.
func TestOtherNamesAreSaid(t *testing.T) {
	whole, h := wholeDive(t)
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	b.Meta.Diver = "somebody else"
	for _, as := range AnalyzeDoubled(joined(t, a, b), DefaultParameters()).Assumptions {
		if as.ID == "halves-names" && strings.Contains(as.Text, "different divers.") {
			return
		}
	}
	t.Error("nothing is said of two divers")
}

// Joining makes no faults and hides none: of healthy dives, split into two logs
// with other clocks and intervals, no cell is judged; a slow cell of the second
// half is found with its T90.
func TestJoiningMakesNoFaults(t *testing.T) {
	const t90S = 30
	last := uint64(303)
	if testing.Short() {
		last = 301
	}
	for seed := uint64(301); seed <= last; seed++ {
		for _, intervals := range [][2]float64{{2, 3}, {1, 10}} {
			for _, slow := range []bool{false, true} {
				d := splitDebrief(t, seed, intervals, slow, t90S)
				found := 0
				for _, f := range d.Findings {
					switch {
					case f.Kind == "half-off" || f.Cell == nil || f.Severity == Note:
					case slow && f.Kind == "slow-cell" && *f.Cell == 4:
						found++
					default:
						t.Errorf("seed %d, intervals %v, slow %v: %s %s", seed, intervals, slow, f.Kind, f.Observed)
					}
				}
				if x := d.Cells[3].T90S; slow && (found != 1 || !(x.Low <= t90S) || !(x.High >= t90S)) {
					t.Errorf("seed %d, intervals %v: found %d, T90 %v", seed, intervals, found, x)
				}
			}
		}
	}
}

// splitDebrief is a drawn dive with five cells, recorded by two halves.
func splitDebrief(t *testing.T, seed uint64, intervals [2]float64, slow bool, t90S float64) *Debrief {
	t.Helper()
	spec, err := scenario.Draw("plain/none", seed)
	if err != nil {
		t.Fatal(err)
	}
	for len(spec.Cells) < 5 {
		spec.Cells = append(spec.Cells, scenario.Cell{T90S: 6.5, Gain: 1, NoiseBar: 0.003})
	}
	spec.Cells, spec.Meta.Serials, spec.Meta.Installed = spec.Cells[:5], nil, nil
	if slow {
		spec.Faults = []scenario.Fault{{Kind: scenario.Slow, Cell: 4, T90S: t90S}}
	}
	spec.Recording.IntervalS, spec.Recording.Gaps, spec.Recording.PO2StepBar = 0.2, nil, 0.001
	whole, _, err := scenario.Run(spec)
	if err != nil {
		t.Fatal(err)
	}
	a := scenario.Half{Cells: []int{1, 2, 3}, Valves: []int{1}, IntervalS: intervals[0], DepthStepM: 0.1, PO2StepBar: 0.01}
	b := scenario.Half{Cells: []int{4, 5}, IntervalS: intervals[1], DepthStepM: 0.1, PO2StepBar: 0.01, OnS: 13.4, DriftPPM: 240}
	return AnalyzeDoubled(joined(t, halfDive(t, whole, a, "a.csv"), halfDive(t, whole, b, "b.csv")), DefaultParameters())
}
