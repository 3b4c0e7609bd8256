package score

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
	"afterloop/analysis/scenario"
)

// fewDives are options for a few dives on which the diagnosis was developed.
func fewDives(groups ...Group) Options {
	return Options{Groups: groups, Seed: 500001, Parameters: analysis.DefaultParameters(), Tool: analysis.Tool{Name: "afterloop", Version: "test"}}
}

func run(t *testing.T, o Options) Result {
	t.Helper()
	r, err := Run(o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The number of workers and the run never change a byte; progress is told once a dive.
func TestRunIsDeterministic(t *testing.T) {
	var text [2]bytes.Buffer
	for i, workers := range []int{1, 3} {
		o := fewDives(Group{"plain/slow", 2}, Group{"hard-healthy/coarse", 1}, Group{"plain/valve-leak", 1})
		told := 0
		o.Workers, o.Progress = workers, func() { told++ }
		if err := run(t, o).WriteJSON(&text[i]); err != nil {
			t.Fatal(err)
		}
		if told != 4 {
			t.Errorf("progress was told %d times of 4", told)
		}
	}
	if diff := cmp.Diff(text[0].String(), text[1].String()); diff != "" {
		t.Errorf("1 and 3 workers differ: %s", diff)
	}
}

// Seeds count on through the families, and each dive is that of its seed.
func TestSeedsCountOn(t *testing.T) {
	r := run(t, fewDives(Group{"plain/slow", 2}, Group{"plain/none", 1}))
	for i, l := range r.Logs {
		if l.Seed != 500001+uint64(i) {
			t.Errorf("dive %d has seed %d", i, l.Seed)
		}
	}
	if f := r.Families[1]; f.Family != "plain/none" || f.FirstSeed != 500003 || f.Dives != 1 {
		t.Errorf("second family: %s from seed %d, %d dives", f.Family, f.FirstSeed, f.Dives)
	}
	spec, err := scenario.Draw("plain/slow", 500002)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := r.Logs[1].Faults[0].Cell, spec.Faults[0].Cell; got != want {
		t.Errorf("the fault is expected on cell %d, drawn on %d", got, want)
	}
}

// What the truth says is what is expected, and without a diagnosis all is missed.
func TestWithoutADiagnosisAllIsMissed(t *testing.T) {
	o := fewDives(Group{"difficult/slow+gain", 1})
	o.Parameters.SkipDiagnosis = true
	r := run(t, o)
	if k := r.Families[0].All; k.Faults != 2 || k.Detected.Right != 0 || k.NotAssessed != 2 {
		t.Errorf("%d faults, %d detected, %d not assessed", k.Faults, k.Detected.Right, k.NotAssessed)
	}
	if e := r.Families[0].Estimate; e.RMSBar.Missing != 1 || e.Coverage.Mean != 0 || e.VoteRMSBar.Missing != 0 {
		t.Errorf("an estimate without a diagnosis: %+v", e)
	}
}

func TestOptionsAreChecked(t *testing.T) {
	for name, o := range map[string]Options{
		"no family":      fewDives(),
		"unknown family": fewDives(Group{"calm", 3}),
		"no dives":       fewDives(Group{"plain", 0}),
		"twice":          fewDives(Group{"plain", 1}, Group{"plain", 1}),
		"no seed":        {Groups: []Group{{"plain", 1}}},
	} {
		if _, err := Run(o); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// A dive that can't be debriefed keeps its faults as missed and ends nothing.
func TestAFailedDiveIsCounted(t *testing.T) {
	spec, err := scenario.Draw("plain/slow", 500001)
	if err != nil {
		t.Fatal(err)
	}
	log, truth, err := scenario.Run(spec)
	if err != nil {
		t.Fatal(err)
	}
	log.Columns = log.Columns[:1] // a log without cells
	if _, err := debrief(log, analysis.DefaultParameters()); err == nil {
		t.Error("a log without cells was debriefed")
	}
	l := failedLog(describe("plain", spec, truth), errorText("no cells"))
	f := summarize("plain", []Log{l})
	if f.Failed != 1 || f.All.Faults != 1 || f.All.Detected.Right != 0 || f.Estimate.RMSBar.N != 0 {
		t.Errorf("%+v", f)
	}
	if !strings.HasPrefix(l.Line(), "FAILED") {
		t.Error(l.Line())
	}
	d, err := debrief(scenario.Log{}, analysis.DefaultParameters())
	if err == nil {
		t.Errorf("an empty log was debriefed: %v", d)
	}
}

// A table says nothing of a later version of a check: then it must be made anew.
func TestTheTableIsOfTheseChecks(t *testing.T) {
	table := calibration.Current()
	diff := cmp.Diff(table.Checks, faultChecks())
	switch {
	case diff == "":
	case table.Set == calibration.Sealed:
		t.Errorf("the sealed table was made with other versions of the checks; measure again: %s", diff)
	default:
		t.Logf("the development table is stale: %s", diff)
	}
}

// reproduceEnv names the variable that asks for the slow test.
const reproduceEnv = "AFTERLOOP_CALIBRATE"

// TestTheTableReproduces measures again what the committed table says, dive by
// dive. It takes minutes, so it runs only when asked.
func TestTheTableReproduces(t *testing.T) {
	if testing.Short() || os.Getenv(reproduceEnv) == "" {
		t.Skip("NOT RUN: the committed table was not measured again; set " + reproduceEnv + "=1 and leave out -short to do so (minutes)")
	}
	table := calibration.Current()
	for i, f := range table.Families {
		o := fewDives(Group{f.Family, f.Dives})
		o.Seed, o.Tool.Version = f.FirstSeed, table.Version
		got := run(t, o).Table(table.Set)
		// Counts must agree; figures may differ in the last digits between processors.
		if diff := cmp.Diff(table.Families[i:i+1], got.Families, nearlyEqual()); diff != "" {
			t.Errorf("%s (a dive at the edge of a limit may fall the other way on another processor): %s", f.Family, diff)
		}
	}
}

// nearlyEqual compares figures of the table to half a per cent; unknown ones are equal.
func nearlyEqual() cmp.Option {
	return cmp.Comparer(func(a, b calibration.Figure) bool {
		return !a.Known() && !b.Known() || math.Abs(float64(a-b)) <= 0.005*math.Abs(float64(b))
	})
}

// TestNotWorseThanTheTable is the gate for every change: on some development
// dives no share may fall below the table's beyond chance, and no more may be
// sure and wrong. It never looks at sealed dives.
func TestNotWorseThanTheTable(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN: no dives were measured with -short")
	}
	r := run(t, fewDives(Group{"plain", 24}, Group{"hard-healthy", 14}, Group{"difficult", 18}))
	for _, f := range r.Families {
		want, ok := calibration.Current().FamilyOf(f.Family)
		if !ok {
			t.Errorf("the table has no family %s", f.Family)
			continue
		}
		if f.All.RightKind.High < Float(want.RightKind.Low) {
			t.Errorf("%s: right kind %d/%d, at most %.3f; the table has at least %.3f", f.Family, f.All.RightKind.Right, f.All.RightKind.Of, f.All.RightKind.High, want.RightKind.Low)
		}
		if float64(f.FalseAlarms.All.Count) > 1+float64(want.FalseAlarms.High)*float64(f.Dives) {
			t.Errorf("%s: %d false alarms in %d dives; the table has at most %.3f a dive", f.Family, f.FalseAlarms.All.Count, f.Dives, want.FalseAlarms.High)
		}
		if f.Failed > 0 || f.FalseAlarms.SureAndWrong > want.SureAndWrong {
			t.Errorf("%s: %d failed, %d sure and wrong", f.Family, f.Failed, f.FalseAlarms.SureAndWrong)
		}
	}
	for i := range r.Logs {
		if l := &r.Logs[i]; l.mark() != "ok" {
			t.Log(l.Line())
		}
	}
}

// BenchmarkDive is one dive from the draw to the verdicts.
func BenchmarkDive(b *testing.B) {
	p := analysis.DefaultParameters()
	for i := range b.N {
		if l := measure("difficult", 500001+uint64(i%18), p); l.Failed != "" {
			b.Fatal(l.Failed)
		}
	}
}
