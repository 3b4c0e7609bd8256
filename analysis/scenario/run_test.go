package scenario

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// small is a short dive with nothing wrong.
func small() Spec {
	return Spec{
		Seed: 7, Diluent: "21/0",
		Profile:  Profile{Waypoints: []Waypoint{{0, 0}, {30, 0}, {120, 15}, {420, 15}, {540, 0}, {570, 0}}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 8, DownDepthM: 4},
		Work:     []Work{{0, 0.9}},
		Cells:    []Cell{{6, 1, 0.003, 0}, {5, 1.01, 0.003, 0}, {7, 0.99, 0.003, 0}},
		Valves:   []Valve{{12}, {12}},
	}
}

// withoutInjection keeps the unit from opening a valve.
func withoutInjection(s Spec) Spec {
	s.SetPoint.LowBar, s.SetPoint.HighBar, s.Loop.StartPO2Bar = 0.2, 0.2, 0.7
	s.Work = []Work{{0, 0.3}}
	return s
}

func mustRun(t *testing.T, s Spec) (Log, Truth) {
	t.Helper()
	log, truth, err := Run(s)
	if err != nil {
		t.Fatal(err)
	}
	return log, truth
}

func csvText(t *testing.T, l Log) string {
	t.Helper()
	var b bytes.Buffer
	if err := l.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A spec that went through JSON makes the same bytes.
func TestRunIsDeterministicAndSpecSurvivesJSON(t *testing.T) {
	for _, s := range []Spec{small(), healthyDemo(), limitedDemo()} {
		text, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadSpec(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := mustRun(t, s)
		b, _ := mustRun(t, again)
		if diff := cmp.Diff(csvText(t, a), csvText(t, b)); diff != "" {
			t.Errorf("seed %d: %.500s", s.Seed, diff)
		}
	}
}

func TestReadSpecRefusesUnknownField(t *testing.T) {
	_, err := ReadSpec(strings.NewReader(`{"sed": 4}`))
	if err == nil || !strings.Contains(err.Error(), "sed") {
		t.Errorf("error is %v; want one that names the field", err)
	}
}

// Rows come at the interval, with the columns of FORMAT.md and as many decimals
// as the steps have.
func TestLogForm(t *testing.T) {
	s := small()
	s.Recording = Recording{IntervalS: 5, PO2StepBar: 0.001, DepthStepM: 0.1}
	log, truth := mustRun(t, s)
	if log.Rows() != 114 || len(truth.Rows) != 114 {
		t.Errorf("%d rows and %d of truth; want 114 (570 s at 5 s)", log.Rows(), len(truth.Rows))
	}
	r := csv.NewReader(strings.NewReader(csvText(t, log)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"time_s", "depth_m", "cell1_po2_bar", "cell2_po2_bar", "cell3_po2_bar", "setpoint_bar", "po2_bar", "valve1_open_s", "valve2_open_s"}
	if diff := cmp.Diff(want, rows[0]); diff != "" {
		t.Error(diff)
	}
	if got := rows[1]; got[0] != "5" || len(got[1]) != 3 || len(got[2]) != 5 {
		t.Errorf("first row %v; want time 5, one decimal of depth, three of PO2", got)
	}
}

// Every line that FORMAT.md knows of and the spec fills is written.
func TestMetaLines(t *testing.T) {
	s := small()
	s.OpenCircuitGas = "32/0"
	s.Helium = &Helium{Basis: "wet", StatedSigma: 0.004}
	s.Meta = Meta{Dive: "d", Diver: "e", Unit: "u", LoopFacts: true, Serials: []string{"a", "b", "c"},
		Calibration: &Calibration{GasO2: 1, PressureBar: 1.01, TempC: 20, Humid: true},
		Halves:      []string{"half_A: cells 1,2; valve 1"}}
	log, _ := mustRun(t, s)
	want := "# loop-log: 1\n# dive: d\n# diver: e\n# unit: u\n# surface_pressure_bar: 1.013\n# water_density_kg_m3: 1025\n" +
		"# diluent: 21/0\n# open_circuit_gas: 32/0\n# loop_volume_l: 6.8\n# oxygen_flow_l_min: 12\n" +
		"# cell1_serial: a\n# cell2_serial: b\n# cell3_serial: c\n" +
		"# cal_gas_o2: 1\n# cal_pressure_bar: 1.01\n# cal_temp_c: 20\n# cal_gas_humid: yes\n" +
		"# loop_he_basis: wet\n# loop_he_sigma: 0.004\n# half_A: cells 1,2; valve 1\ntime_s,"
	got := csvText(t, log)
	if diff := cmp.Diff(want, got[:min(len(want), len(got))]); diff != "" {
		t.Error(diff)
	}
}

// Openings recorded are those commanded, even of a valve that gives nothing,
// and what is commanded in a gap adds up to the row after it.
func TestCommandedOpeningsAreLogged(t *testing.T) {
	s := small()
	s.Recording.Openings = true
	s.Faults = []Fault{{Kind: ValveDead, Valve: 1}, {Kind: ValveDead, Valve: 2}}
	s.Recording.Gaps = []Span{{200, 260}}
	log, truth := mustRun(t, s)
	var open, count float64
	for _, v := range []string{"1", "2"} {
		for i, x := range log.Column("valve" + v + "_open_s").Values {
			open, count = open+x, count+log.Column("valve" + v + "_openings").Values[i]
		}
	}
	if count < 60 || math.Abs(open-1.2*count) > 1.2+1e-6 {
		t.Errorf("%g openings, %g s; want over 60 of 1.2 s each", count, open)
	}
	if last := truth.Rows[len(truth.Rows)-1].SensedBar; last > 0.5 {
		t.Errorf("with both valves dead PO2 ends at %.2f bar", last)
	}
	at := slices.Index(log.Column("time_s").Values, 260)
	if dt := log.Column("time_s").Values[at] - log.Column("time_s").Values[at-1]; dt != 60 {
		t.Errorf("the gap is %g s; want 60", dt)
	}
	if got := log.Column("valve1_open_s").Values[at] + log.Column("valve2_open_s").Values[at]; got < 11 {
		t.Errorf("over the gap %g s of opening; want ten pulses of 1.2 s", got)
	}
}

// A change to one part leaves the random numbers of the others alone. The unit
// opens no valve here, so nothing else couples them.
func TestStreamsAreIndependent(t *testing.T) {
	s := small()
	s = withoutInjection(s)
	s.Profile.WanderM = 0.2
	s.Helium = &Helium{Basis: "dry", NoiseSigma: 0.003}
	a, _ := mustRun(t, s)
	s.Cells = slices.Clone(s.Cells)
	s.Cells[1] = Cell{T90S: 9, Gain: 0.8, NoiseBar: 0.02, WanderBar: 0.01}
	s.Recording.Gaps = []Span{{300, 301.5}}
	b, _ := mustRun(t, s)
	for _, name := range []string{"depth_m", "cell1_po2_bar", "cell3_po2_bar", "loop_he"} {
		x := slices.Delete(slices.Clone(a.Column(name).Values), 300, 301)
		if diff := cmp.Diff(x, b.Column(name).Values); diff != "" {
			t.Errorf("%s changed with cell 2:\n%.300s", name, diff)
		}
	}
}

// On open circuit the loop's oxygen is not used and the truth's inhaled PO2 is
// that of the open-circuit gas. The compartments still even out a little.
func TestBailout(t *testing.T) {
	s := small()
	s.OpenCircuitGas = "32/0"
	s.Recording.BreathingColumn = true
	s.Events = []Event{{Kind: "bailout", AtS: 200}, {Kind: "on_loop", AtS: 300}}
	log, truth := mustRun(t, s)
	words := log.Column("breathing").Text
	if words[198] != "loop" || words[210] != "open" || words[305] != "loop" {
		t.Errorf("breathing is %s, %s, %s; want loop, open, loop", words[198], words[210], words[305])
	}
	row := truth.Rows[249]
	if want := 0.32 * (1.013 + 15*9.80665*1025/1e5); math.Abs(row.InhaledBar-want) > 0.02 {
		t.Errorf("inhaled PO2 on open circuit %.3f; want %.3f", row.InhaledBar, want)
	}
	if d := truth.Rows[299].SensedBar - truth.Rows[250].SensedBar; d < -0.02 {
		t.Errorf("PO2 fell by %.3f bar while nobody breathed from the loop", -d)
	}
}

// A diluent flush takes PO2 to F_dil Pd (METHODS.md, "The loop").
func TestDiluentFlush(t *testing.T) {
	s := small()
	s.Loop.HumidBar = 0.05
	s = withoutInjection(s)
	s.Events = []Event{{Kind: "diluent_flush", AtS: 250, ForS: 30, VolumeL: 60}}
	log, truth := mustRun(t, s)
	want := 0.21 * (1.013 + 15*9.80665*1025/1e5 - 0.05)
	if got := truth.Rows[279].SensedBar; math.Abs(got-want) > 0.01 {
		t.Errorf("after the flush PO2 is %.3f bar; want %.3f", got, want)
	}
	if got := log.Column("event").Text[249]; got != "diluent_flush" {
		t.Errorf("the row at 250 s has event %q", got)
	}
}

// A humid calibration taken as dry makes every cell read high alike.
func TestHumidCalibration(t *testing.T) {
	s := small()
	s.Meta.Calibration = &Calibration{GasO2: 1, PressureBar: 1, HumidBar: 0.05}
	_, truth := mustRun(t, s)
	for k, g := range truth.Facts.Gain {
		if want := s.Cells[k].Gain / 0.95; math.Abs(g-want) > 1e-12 {
			t.Errorf("cell %d has gain %.4f; want %.4f", k+1, g, want)
		}
	}
}

func TestFaultsComeOut(t *testing.T) {
	s := small()
	s.Faults = []Fault{
		{Kind: Frozen, Cell: 1, FromS: 100, ToS: 300},
		{Kind: Limited, Cell: 2, CeilingBar: 1.0, Slope: 0.1},
		{Kind: Limited, Cell: 3, CeilingBar: 1.9},
	}
	log, truth := mustRun(t, s)
	frozen := log.Column("cell1_po2_bar").Values
	if slices.Min(frozen[100:298]) != slices.Max(frozen[100:298]) {
		t.Error("the frozen cell moved")
	}
	f := truth.Facts
	if len(f.Faults) != 2 || len(f.Latent) != 1 || f.Latent[0].Cell != 3 {
		t.Fatalf("faults %+v, latent %+v; want the ceiling of 1.9 bar latent", f.Faults, f.Latent)
	}
	from := f.Faults[1].FromS
	if got := truth.Rows[int(from)-1].SensedBar; got < 0.99 || got > 1.2 {
		t.Errorf("the ceiling of 1.0 is passed at %g s, where PO2 is %.2f bar", from, got)
	}
	if f.Faults[0].ToS == nil || *f.Faults[0].ToS != 300 {
		t.Error("the end of the freeze is not in the truth")
	}
}

func TestValidateSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		path string
		mess func(*Spec)
	}{
		{"diluent", func(s *Spec) { s.Diluent = "90/20" }},
		{"cells", func(s *Spec) { s.Cells = nil }},
		{"cells[1].t90_s", func(s *Spec) { s.Cells[1].T90S = 0 }},
		{"valves", func(s *Spec) { s.Valves = nil }},
		{"work", func(s *Spec) { s.Work = nil }},
		{"work[1].from_s", func(s *Spec) { s.Work = []Work{{10, 1}, {5, 1}} }},
		{"profile.kind", func(s *Spec) { s.Profile.Kind = "wreck" }},
		{"profile.waypoints", func(s *Spec) { s.Profile.Waypoints = nil }},
		{"profile.waypoints[1].time_s", func(s *Spec) { s.Profile.Waypoints = []Waypoint{{0, 0}, {0, 3}} }},
		{"recording.interval_s", func(s *Spec) { s.Recording.IntervalS = 0.5 }},
		{"recording.gaps[0]", func(s *Spec) { s.Recording.Gaps = []Span{{5, 5}} }},
		{"controller.style", func(s *Spec) { s.Controller.Style = "clever" }},
		{"helium.basis", func(s *Spec) { s.Helium = &Helium{} }},
		{"events[0].kind", func(s *Spec) { s.Events = []Event{{Kind: "sneeze"}} }},
		{"faults[0].kind", func(s *Spec) { s.Faults = []Fault{{Kind: "tired"}} }},
		{"faults[0].cell", func(s *Spec) { s.Faults = []Fault{{Kind: Slow, Cell: 4, T90S: 20}} }},
		{"faults[0].valve", func(s *Spec) { s.Faults = []Fault{{Kind: ValveDead}} }},
		{"faults[0].to_s", func(s *Spec) { s.Faults = []Fault{{Kind: OxygenOff, FromS: 9, ToS: 8}} }},
		{"loop.volume_l", func(s *Spec) { s.Loop.VolumeL = math.NaN() }},
		{"meta.start", func(s *Spec) { s.Meta.Start = "yesterday" }},
	} {
		s := small()
		c.mess(&s)
		_, _, err := Run(s)
		if err == nil || !strings.Contains(err.Error(), c.path) || !strings.Contains(err.Error(), "want") && !strings.Contains(err.Error(), "right would be") {
			t.Errorf("%s: error is %v; want one that names the field and says what would be right", c.path, err)
		}
	}
}
