package whatif

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"afterloop/analysis"
	"afterloop/analysis/loop"
	"afterloop/analysis/scenario"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// spec is a simulated dive: down to 24 m, level for long, up.
func spec(seed uint64) scenario.Spec {
	return scenario.Spec{
		Seed: seed, Diluent: "18/0",
		Profile:  scenario.Profile{Waypoints: []scenario.Waypoint{{TimeS: 0, DepthM: 1}, {TimeS: 60, DepthM: 1}, {TimeS: 180, DepthM: 24}, {TimeS: 1500, DepthM: 24}, {TimeS: 1700, DepthM: 6}, {TimeS: 2000, DepthM: 6}, {TimeS: 2060, DepthM: 0}}, WanderM: 0.2},
		SetPoint: scenario.SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 8, DownDepthM: 4},
		Work:     []scenario.Work{{FromS: 0, VO2LMin: 0.8}, {FromS: 700, VO2LMin: 1.2}},
		Cells:    []scenario.Cell{{T90S: 6, Gain: 1, NoiseBar: 0.002}, {T90S: 5, Gain: 1.01, NoiseBar: 0.002}, {T90S: 7, Gain: 0.99, NoiseBar: 0.002}},
		Valves:   []scenario.Valve{{FlowLMin: 10}, {FlowLMin: 10}},
	}
}

// dive simulates and reads a dive.
func dive(t testing.TB, s scenario.Spec) (*ingest.Dive, scenario.Truth) {
	t.Helper()
	log, truth, err := scenario.Run(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := log.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	d, err := ingest.Read(&b, "simulated.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d, truth
}

func demo(t testing.TB, name string) *ingest.Dive {
	t.Helper()
	d, err := ingest.ReadFile("../../testdata/"+name+".csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func mustRun(t testing.TB, d *ingest.Dive, ch Changes) *Report {
	t.Helper()
	r, err := Run(d, analysis.DefaultParameters(), DefaultParams(), ch)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func asJSON(t testing.TB, r *Report) string {
	t.Helper()
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func same(a, b []float64) bool {
	for i := range a {
		if math.Float64bits(a[i]) != math.Float64bits(b[i]) {
			return false
		}
	}
	return len(a) == len(b)
}

func at(s float64) Moment { return Moment{Given: "t", S: s} }

// TestReplayIsTheDebriefs: every policy, replayed here without another change, is the
// debrief's own replay to the last bit, with its spans and reasons.
func TestReplayIsTheDebriefs(t *testing.T) {
	d := demo(t, "ombrel-two-limited")
	_, ev := analysis.AnalyzeDeep(d, analysis.DefaultParameters())
	for _, p := range vote.Policies() {
		r := mustRun(t, d, Changes{Kind: Open, Policy: p.Name})
		for _, want := range ev.Replays {
			if want.Policy != p.Name {
				continue
			}
			if !same(want.PO2Bar, r.Series.ChangedBar) || !cmp.Equal(want.State, r.Series.ChangedState) {
				t.Errorf("%s: the replay is not the debrief's", p.Name)
			}
			if len(want.VotedOut) != len(r.Replay.Changed.VotedOut) || want.UndecidedS != float64(r.Replay.Changed.UndecidedS.Value) {
				t.Errorf("%s: %d out, %g s undecided; the debrief has %d, %g", p.Name, len(r.Replay.Changed.VotedOut), r.Replay.Changed.UndecidedS.Value, len(want.VotedOut), want.UndecidedS)
			}
		}
		if r.Simulation != nil {
			t.Errorf("%s: a simulation that was not asked for", p.Name)
		}
	}
	r := mustRun(t, d, Changes{Kind: Open, Policy: "leave-one-out"}) // the demo's own rule
	if r.Recorded.Policy != "leave-one-out" || r.Replay.FirstDiffersS.Known() || !same(r.Series.OriginalBar, r.Series.ChangedBar) {
		t.Errorf("the recorded rule, given as a change, changes something: %+v", r.Replay.FirstDiffersS)
	}
}

// TestTruthsOwnParameters: the loop with the parameters of the dive that was simulated,
// not fitted, gives that dive's true PO2: within 0.5 % O2 RMSE (ours; the saw-tooth's
// phase is left to chance), and uses the oxygen that it used within 2 %.
func TestTruthsOwnParameters(t *testing.T) {
	for _, style := range []string{"fixed", "variable"} {
		s := spec(11)
		s.Controller = scenario.Controller{Style: style, Vote: "mean", Turns: "alternate"}
		d, truth := dive(t, s)
		p := analysis.DefaultParameters()
		_, ev := analysis.AnalyzeDeep(d, p)
		p.Gas.VapourBar = 0 // the simulated gas is dry
		c := newCourse(d, ev, p)
		w := DefaultParams()
		ventilation := 6.5 / 6.8 // of the simulated loop of 6.8 L, in one of 6.5
		m := &model{corner: corner{mixing: ventilation, scale: 1}, p: w, flowLMin: 10 * w.NominalVolumeL / 6.8 * (298.15 / 303.15), shares: nil}
		for _, r := range truth.Rows {
			m.estBar = append(m.estBar, r.SensedBar)
			m.vo2LMin = append(m.vo2LMin, r.VO2LMin*w.NominalVolumeL/6.8*(298.15/303.15))
		}
		c.estBar = m.estBar
		pol, _ := vote.ByName("mean")
		inf := math.Inf(1)
		k := Controller{Kind: FixedPulse, IntervalS: 6, PulseS: 1.2, Turns: "alternate"}
		if style == "variable" {
			k = Controller{Kind: ProportionalPulse, IntervalS: 6, BaseS: 0.3, SPerBar: 12, MinS: 0.2, MaxS: 4, Turns: "alternate"}
		}
		x := simulate(c, m, ev, newSensors(c, ev, m), setup{policy: pol, params: vote.DefaultParams(), cells: []int{0, 1, 2}, loseAtS: []float64{inf, inf, inf},
			deadAtS: []float64{inf, inf}, noOxygenS: inf, noHandS: inf, setBar: c.setBar, controller: k})
		bar, pc := c.rmse(x.po2Bar, m.estBar)
		open, recorded := 0.0, 0.0
		for v := range c.valves {
			open += x.openS[v]
			for _, o := range c.openS[v] {
				recorded += o
			}
		}
		t.Logf("%s: %.4f bar, %.3f %% O2; open %.1f s, recorded %.1f s", style, bar, pc, open, recorded)
		if !(pc < 0.5) || math.Abs(open/recorded-1) > 0.02 {
			t.Errorf("%s: RMSE %.3f %% O2, open %.1f s against %.1f s", style, pc, open, recorded)
		}
	}
}

// TestBurnDown: without oxygen, at one depth and with the volume held by diluent, PO2 falls as
//
//	dp/dt = -(1 - F_dil) VO2/V
//
// (mass balance, METHODS, section 3): the time to 0.16 bar is that within the range of the runs.
func TestBurnDown(t *testing.T) {
	s := spec(5)
	s.Work = []scenario.Work{{FromS: 0, VO2LMin: 1.4}}
	s.Profile.Waypoints = []scenario.Waypoint{{TimeS: 0, DepthM: 1}, {TimeS: 60, DepthM: 1}, {TimeS: 180, DepthM: 24}, {TimeS: 2400, DepthM: 24}, {TimeS: 2600, DepthM: 0}}
	s.Profile.WanderM = 0
	d, truth := dive(t, s)
	from := at(1200)
	r := mustRun(t, d, Changes{NoOxygen: &from})
	if !r.Simulation.Assessed {
		t.Fatal(r.Simulation.Reason)
	}
	i := 0
	for truth.Rows[i].TimeS < 1200 {
		i++
	}
	const v = 6.8
	want := loop.BurnDownHeldS(truth.Rows[i].SensedBar, 0.16, 1.4*1.01325/60*298.15/273.15, v, 0.18)
	got := r.Simulation.Changed.ToHypoxiaS
	t.Logf("%.0f s expected, %.0f s [%.0f to %.0f] simulated", want, got.Value, got.Low, got.High)
	if !(float64(got.Low) <= want*1.05 && float64(got.High) >= want*0.95) || math.Abs(float64(got.Value)/want-1) > 0.2 {
		t.Errorf("%.0f s expected, %+v", want, got)
	}
	if r.Simulation.Original.HypoxicAtS.Value.Known() {
		t.Error("the recorded set-up runs out of oxygen")
	}
}

// TestMassBalance: whatever is changed, oxygen in the loop is what was there, came in,
// was used and vented; and PO2 stays within zero and the dry pressure.
func TestMassBalance(t *testing.T) {
	d, _ := dive(t, spec(6))
	p := analysis.DefaultParameters()
	_, ev := analysis.AnalyzeDeep(d, p)
	w := DefaultParams()
	c := newCourse(d, ev, p)
	m := fitModel(c, corner{flow: 0.03, mixing: 1, scale: 1}, w)
	sensors := newSensors(c, ev, m)
	first, last := d.TimeS[0], d.TimeS[d.Rows()-1]
	rapid.Check(t, func(rt *rapid.T) {
		moment := func(label string) float64 { return rapid.Float64Range(first, last+1000).Draw(rt, label) }
		k := Controller{Kind: ProportionalPulse, IntervalS: 6, BaseS: 0.3, SPerBar: 12, MinS: 0.2, MaxS: 4, Turns: "alternate"}
		set := append([]float64(nil), c.setBar...)
		bar := rapid.Float64Range(0.2, 2).Draw(rt, "set point")
		for i, from := 0, moment("from"); i < len(set); i++ {
			if c.tS[i] >= from {
				set[i] = bar
			}
		}
		x := simulate(c, m, ev, sensors, setup{policy: rapid.SampledFrom(vote.Policies()).Draw(rt, "policy"), params: vote.DefaultParams(), cells: []int{0, 1, 2},
			loseAtS: []float64{moment("cell 1"), moment("cell 2"), moment("cell 3")}, deadAtS: []float64{moment("valve 1"), moment("valve 2")},
			noOxygenS: moment("supply"), noHandS: moment("hand"), setBar: set,
			controller: ofKind(rapid.SampledFrom(Controllers()).Draw(rt, "controller")[0], k)})
		if off := x.endBarL - (x.balance.Start + x.balance.In - x.balance.Used - x.balance.Vented); !(math.Abs(off) < 1e-6) {
			rt.Errorf("oxygen is out of balance by %g bar L", off)
		}
		for i, v := range x.po2Bar {
			if !(v >= 0 && v <= c.dryBar[i]+1e-9) {
				rt.Fatalf("PO2 %g at a dry pressure of %g", v, c.dryBar[i])
			}
		}
	})
}

// TestVolumeDrops: only flow/V enters. Twice the stated volume with twice the flow is the
// same dive to the last bit, and twice the oxygen.
func TestVolumeDrops(t *testing.T) {
	d, _ := dive(t, spec(7))
	ch := Changes{SetPoints: []SetPointAt{{1.0, at(900)}}}
	d.Meta.LoopVolumeL, d.Meta.OxygenFlowLMin = 6, 8
	a := mustRun(t, d, ch)
	d.Meta.LoopVolumeL, d.Meta.OxygenFlowLMin = 12, 16
	b := mustRun(t, d, ch)
	if !same(a.Series.SimChangedBar, b.Series.SimChangedBar) {
		t.Error("the volume alone changes the PO2")
	}
	x, y := float64(a.Simulation.Changed.Loop.OxygenL.Value), float64(b.Simulation.Changed.Loop.OxygenL.Value)
	if math.Abs(y-2*x) > 1e-9*y || !(x > 0) {
		t.Errorf("oxygen %g and %g L", x, y)
	}
}

// TestSameBytes: the same log and changes give the same JSON.
func TestSameBytes(t *testing.T) {
	d := demo(t, "ombrel-two-limited")
	ch := Changes{Policy: "mid-value", LoseCells: []At{{2, Moment{}}}}
	if a, b := asJSON(t, mustRun(t, d, ch)), asJSON(t, mustRun(t, d, ch)); a != b {
		t.Error(cmp.Diff(a, b))
	}
}

// TestDirections: a lower set point gives less oxygen, a dead valve out of two leaves the
// other to do its work, none at all takes PO2 down.
func TestDirections(t *testing.T) {
	strong := spec(8)
	strong.Controller = scenario.Controller{Style: "variable"} // one valve alone can keep up
	d, _ := dive(t, strong)
	r := mustRun(t, d, Changes{SetPoints: []SetPointAt{{0.9, at(700)}}})
	if c, o := r.Simulation.Changed.Loop, r.Simulation.Original.Loop; !(c.CNSPercent.High < o.CNSPercent.Low) || !(c.OTU.High < o.OTU.Low) {
		t.Errorf("CNS %+v after a lower set point, %+v before", c.CNSPercent, o.CNSPercent)
	}
	one := mustRun(t, d, Changes{DeadValves: []At{{1, at(700)}}})
	both := mustRun(t, d, Changes{DeadValves: []At{{1, at(700)}, {2, at(700)}}})
	if one.Simulation.Changed.HypoxicAtS.Value.Known() || !both.Simulation.Changed.HypoxicAtS.Value.Known() {
		t.Errorf("hypoxic at %v with one valve dead, at %v with both", one.Simulation.Changed.HypoxicAtS, both.Simulation.Changed.HypoxicAtS)
	}
	if r := both.Simulation.Changed; !(r.Loop.GaveS.Value < r.Loop.OpenS.Value/2) {
		t.Errorf("oxygen flowed for %g of %g s", float64(r.Loop.GaveS.Value), float64(r.Loop.OpenS.Value))
	}
}

// TestRefused: a dive that the model can't be fitted to has a reason and no figures.
func TestRefused(t *testing.T) {
	for name, spoil := range map[string]func(*ingest.Dive){
		"valve":     func(d *ingest.Dive) { d.Valves = nil },
		"set point": func(d *ingest.Dive) { d.SetPointBar = nil },
		"diluent": func(d *ingest.Dive) {
			d.Meta.Diluent.Known = false
			for i := range d.Diluent {
				d.Diluent[i].Known = false
			}
		},
		"only 0 times": func(d *ingest.Dive) {
			for v := range d.Valves {
				clear(d.Valves[v].OpenS)
			}
		},
		"does not reproduce": func(d *ingest.Dive) { // the openings are those of another dive
			for v := range d.Valves {
				o := d.Valves[v].OpenS
				for i := range o {
					o[i] = 0
					if i > len(o)/2 && i%6 == 0 {
						o[i] = 5
					}
				}
			}
		},
	} {
		d, _ := dive(t, spec(9))
		spoil(d)
		r := mustRun(t, d, Changes{Policy: "mid-value"})
		s := r.Simulation
		if s.Assessed || !strings.Contains(s.Reason, name) || s.Original != nil || s.Changed != nil || r.Series.SimChangedBar != nil {
			t.Errorf("%s: assessed %v: %q", name, s.Assessed, s.Reason)
		}
		if s.Mark != Mark || !r.Replay.Assessed {
			t.Errorf("%s: mark %q, replay %v", name, s.Mark, r.Replay.Assessed)
		}
	}
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true
	d, _ := dive(t, spec(9))
	r, err := Run(d, p, DefaultParams(), Changes{Policy: "mid-value"})
	if err != nil || r.Simulation.Assessed || r.Replay.Changed.MeanDistanceBar.Value.Known() {
		t.Errorf("without a diagnosis: %v, %v", err, r)
	}
}

// TestShort: logs of any length and any hole come through.
func TestShort(t *testing.T) {
	for _, n := range []int{1, 2, 3, 40} {
		var b strings.Builder
		b.WriteString("# diluent: air\ntime_s,depth_m,cell1_po2_bar,cell2_po2_bar,setpoint_bar,po2_bar,valve1_open_s\n")
		for i := range n {
			fmt.Fprintf(&b, "%d,%s,0.7,,0.7,%s,%d\n", i, []string{"10", "", "12"}[i%3], []string{"0.7", ""}[i%2], i%2)
		}
		d, err := ingest.Read(strings.NewReader(b.String()), "short.csv", ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := mustRun(t, d, Changes{Policy: "mean", NoOxygen: &Moment{}})
		if asJSON(t, r) == "" {
			t.Error("no JSON")
		}
	}
}
