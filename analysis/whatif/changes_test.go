package whatif

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

func TestParseMoment(t *testing.T) {
	for s, want := range map[string]Moment{
		"0:31:00": {"0:31:00", 1860, true}, "12:00:05": {"12:00:05", 43205, true}, "1860": {"1860", 1860, false}, "-5.5": {"-5.5", -5.5, false},
	} {
		if got, err := ParseMoment(s); err != nil || got != want {
			t.Errorf("%q: %+v, %v", s, got, err)
		}
	}
	for _, s := range []string{"", "31:00", "0:60:00", "0:1:00", "0:31:", "a", "1:2:3:4", "NaN", "Inf", "0x10", "-0:01:00", "1e999", "0:+1:00"} {
		if _, err := ParseMoment(s); err == nil || !strings.Contains(err.Error(), "0:31:00") {
			t.Errorf("%q: %v", s, err)
		}
	}
}

func FuzzParseMoment(f *testing.F) {
	for _, s := range []string{"0:31:00", "1860", "-1", "::", "99999:59:59"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMoment(s)
		if err == nil && (math.IsNaN(m.S) || math.IsInf(m.S, 0) || m.SinceFirst != strings.Contains(s, ":") || m.Given != s) {
			t.Errorf("%q: %+v", s, m)
		}
	})
}

func ptr(v float64) *float64 { return &v }

// TestCheck: what is wrong is said with the flag, what was read and what would be right.
func TestCheck(t *testing.T) {
	for want, ch := range map[string]Changes{
		"nothing is changed: give at least one of --policy": {},
		"--kind: read \"half\"; give open":                  {Kind: "half", Policy: "mean"},
		"simulation alone":                                  {Kind: Open, NoOxygen: &Moment{}},
		"--policy: read \"best\"; give one of mid-value":    {Policy: "best"},
		"--vote-in at most --vote-out":                      {Vote: &vote.Params{OutBar: 0.1, InBar: 0.2}},
		"--set-point: read 3; give 0.2 to 2 bar":            {SetPoints: []SetPointAt{{Bar: 3}}},
		"--controller: read \"bang\"; give fixed-pulse":     {Controller: "bang"},
		"--interval: read 0.1; give 1 to 120 s":             {IntervalS: ptr(0.1)},
		"--pulse: read 100; give 0.1 to 60 s":               {PulseS: ptr(100), Controller: FixedPulse},
		"--pulse: it is the length of a fixed pulse":        {PulseS: ptr(1)},
		"--deadband: read 1; give 0 to 0.5 bar":             {DeadbandBar: ptr(1)},
	} {
		if err := ch.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
	for _, ch := range []Changes{{Policy: "mean"}, {Kind: Open, Cells: []int{1}}, {Kind: Closed, Controller: OnOff, IntervalS: ptr(6), DeadbandBar: ptr(0)}} {
		if err := ch.Check(); err != nil {
			t.Error(err)
		}
	}
}

// TestNames: parts that the log does not hold, and moments outside it.
func TestNames(t *testing.T) {
	d := demo(t, "ombrel-two-limited")
	late := Moment{"9:00:00", 32400, true}
	for want, ch := range map[string]Changes{
		"--cells: read 9; the log has cells 1, 2, 3, 4":                  {Cells: []int{1, 9}},
		"--lose-cell: read cell 7; the cells that vote are 1, 2, 3, 4":   {LoseCells: []At{{Number: 7}}},
		"--lose-cell: read cell 4; the cells that vote are 1, 2":         {Cells: []int{1, 2}, LoseCells: []At{{Number: 4}}},
		"--dead-valve: read valve 3; the log has valves 1, 2":            {DeadValves: []At{{Number: 3}}},
		"--lose-half: read \"A\"; the log names no halves":               {LoseHalves: []HalfAt{{Letter: "A"}}},
		"--no-oxygen: 9:00:00 is not within the record; give 0:00:00 to": {NoOxygen: &late},
	} {
		if _, err := Run(d, analysis.DefaultParameters(), DefaultParams(), ch); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
}

// TestHalf: a half takes its cells out of both kinds and its valves out of the simulation.
func TestHalf(t *testing.T) {
	d, _ := dive(t, spec(12))
	d.Meta.Halves = []ingest.Half{{Letter: "A", Cells: []int{1}, Valves: []int{1}}, {Letter: "B", Cells: []int{2, 3}, Valves: []int{2}}}
	half := mustRun(t, d, Changes{LoseHalves: []HalfAt{{"a", at(800)}}})
	parts := mustRun(t, d, Changes{LoseCells: []At{{1, at(800)}}, DeadValves: []At{{1, at(800)}}})
	if !same(half.Series.ChangedBar, parts.Series.ChangedBar) || !same(half.Series.SimChangedBar, parts.Series.SimChangedBar) {
		t.Error("a half is not its cells and valves")
	}
	_, err := Run(d, analysis.DefaultParameters(), DefaultParams(), Changes{LoseHalves: []HalfAt{{Letter: "C"}}})
	if err == nil || !strings.Contains(err.Error(), "halves A, B") {
		t.Error(err)
	}
}

// TestController: of each kind, with what was given.
func TestController(t *testing.T) {
	d, _ := dive(t, spec(13))
	for _, ch := range []Changes{{Controller: OnOff, IntervalS: ptr(4)}, {Controller: FixedPulse, PulseS: ptr(2)}, {Controller: ProportionalPulse, DeadbandBar: ptr(0.05)}, {IntervalS: ptr(20)}} {
		r := mustRun(t, d, ch)
		c := r.Simulation.Changed.Controller
		if ch.Controller != "" && c.Kind != ch.Controller || ch.IntervalS != nil && float64(c.IntervalS) != *ch.IntervalS ||
			ch.PulseS != nil && float64(c.PulseS) != *ch.PulseS || ch.DeadbandBar != nil && float64(c.DeadbandBar) != *ch.DeadbandBar {
			t.Errorf("%+v gives %+v", ch, c)
		}
		if r.Simulation.MaxDifference.Value == 0 {
			t.Errorf("%+v changes nothing", ch)
		}
	}
}
