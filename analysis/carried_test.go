package analysis

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"afterloop/analysis/scenario"
	"afterloop/analysis/supply"
	"afterloop/ingest"
)

// simulate debriefs a drawn dive of a kind with cylinders and, where edit asks for
// it, with something else wrong.
func simulate(t testing.TB, kind string, seed uint64, edit func(*scenario.Spec), editLog func(*scenario.Log)) *Debrief {
	t.Helper()
	s, err := scenario.Draw(kind, seed)
	if err != nil {
		t.Fatal(err)
	}
	s.Meta.LoopFacts = true
	s.Supply = &scenario.Supply{OxygenCylinderL: 3, DiluentCylinderL: 3, RecordTemp: true}
	if edit != nil {
		edit(&s)
	}
	l, _, err := scenario.Run(s)
	if err != nil {
		t.Fatal(err)
	}
	if editLog != nil {
		editLog(&l)
	}
	var b bytes.Buffer
	if err := l.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	d, err := ingest.Read(&b, "simulated.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Analyze(d, DefaultParameters())
}

func outcomeOf(d *Debrief, id string) Check {
	for _, c := range d.Checks {
		if c.ID == id {
			return c
		}
	}
	return Check{}
}

// Healthy dives never lie apart, whatever makes them awkward.
func TestHealthyBalance(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates two dozen dives")
	}
	agree := 0
	for seed := uint64(1); seed <= 8; seed++ {
		for _, kind := range []string{"plain/none", "hard-healthy", "difficult/none"} {
			d := simulate(t, kind, seed, func(s *scenario.Spec) {
				c := s.Supply // a warm cylinder in water with a thermocline, which it follows slowly
				c.RecordTemp, c.CylinderTempC, c.WaterTempC, c.BottomTempC, c.ThermoclineM, c.TempTauS = seed%2 == 0, 26, 18, 6, 10, 100+60*float64(seed)
			}, nil)
			for _, id := range []string{"oxygen-balance", "diluent-falls"} {
				c := outcomeOf(d, id)
				if c.Outcome == Found {
					t.Errorf("%s %d: %s found, cylinder %+v, given %+v", kind, seed, id, d.Supply.Balance.Cylinder, d.Supply.Balance.Given)
				}
				if id == "oxygen-balance" && c.Outcome == NotFound {
					agree++
				}
			}
		}
	}
	if agree < 8 { // the rest can't be told
		t.Errorf("only %d of 24 healthy dives agree", agree)
	}
}

// A figure that is stated wrong, a loss to the outside, and a cylinder that is not
// that of the log lie apart; what is behind it stays a list.
func TestUnbalanced(t *testing.T) {
	meta := func(key, value string) func(*scenario.Log) {
		return func(l *scenario.Log) {
			for i := range l.Meta {
				if l.Meta[i].Key == key {
					l.Meta[i].Value = value
				}
			}
		}
	}
	for name, d := range map[string]*Debrief{
		"flow stated at half":        simulate(t, "plain/none", 6, nil, meta("oxygen_flow_l_min", "4")),
		"cylinder stated at twice":   simulate(t, "plain/none", 6, nil, meta("oxygen_cylinder_l", "6")),
		"a loss of 2 L/min":          simulate(t, "plain/none", 6, func(s *scenario.Spec) { s.Supply.OxygenLossLMin = 2 }, nil),
		"a leak into the loop":       simulate(t, "plain/valve-leak", 4, nil, nil),
		"cylinder of a third stated": simulate(t, "plain/none", 6, nil, meta("oxygen_cylinder_l", "1")),
	} {
		fs := ofKind(d, "oxygen-balance")
		if len(fs) != 1 || len(fs[0].Alternatives) < 3 || fs[0].Cell != nil || fs[0].Valve != nil {
			t.Errorf("%s: %d findings, %+v against %+v", name, len(fs), d.Supply.Balance.Cylinder, d.Supply.Balance.Given)
		}
	}
}

// Without the cylinder's volume there are bars and no litres, and the check says so.
func TestNoVolume(t *testing.T) {
	d := simulate(t, "plain/none", 6, nil, func(l *scenario.Log) {
		for i := range l.Meta {
			if l.Meta[i].Key == "oxygen_cylinder_l" {
				l.Meta[i].Key = "x"
			}
		}
	})
	c := outcomeOf(d, "oxygen-balance")
	if c.Outcome != NotAssessed || !strings.Contains(c.Reason, "volume is not stated: only that it lost 33 bar") {
		t.Errorf("%s: %s", c.Outcome, c.Reason)
	}
	if d.Supply.Oxygen.UsedL.Value.Known() || !d.Supply.Oxygen.UsedBar.Value.Known() || d.Injection.CylinderUsedL.Known() {
		t.Errorf("%+v", d.Supply.Oxygen)
	}
}

// A loss of diluent to the outside is found at constant depth.
func TestDiluentLoss(t *testing.T) {
	d := simulate(t, "plain/none", 6, func(s *scenario.Spec) { s.Supply.DiluentLossLMin = 3 }, nil)
	if len(ofKind(d, "diluent-falls")) != 1 {
		t.Errorf("%+v", d.Supply.Level)
	}
}

// Each battery is held against the valve of its half, and against itself alone.
func TestBatteries(t *testing.T) {
	d := simulate(t, "plain/none", 6, func(s *scenario.Spec) {
		s.Supply.Batteries = []scenario.Battery{{StartV: 7.4, FallVH: 0.2, SagV: 0.15, Valves: []int{1}, NoiseV: 0.01}, {StartV: 7.3, FallVH: 0.2, SagV: 0.2, SagGrowH: 2.5, Valves: []int{2}, NoiseV: 0.01}}
		s.Meta.Halves = []string{"half_A: cells 1; valve 1; battery 1", "half_B: cells 2; valve 2; battery 2"}
	}, nil)
	fs := ofKind(d, "battery-sag")
	if len(fs) != 1 || !strings.HasPrefix(fs[0].Observed, "Battery 2:") {
		t.Errorf("%d findings: %+v", len(fs), d.Supply.Batteries)
	}
	if b := d.Supply.Batteries[0]; !b.Stated || len(b.Valves) != 1 || b.Valves[0] != 1 || math.Abs(float64(b.SagMedianV)-0.15) > 0.02 {
		t.Errorf("%+v", b)
	}
	if c := outcomeOf(d, "battery-low"); c.Outcome != NotAssessed || !strings.Contains(c.Reason, "manual") {
		t.Errorf("no limit was given: %s, %s", c.Outcome, c.Reason)
	}
}

// The extra logs hold no cylinders: their truth knows flow, faults and so what left
// one. With it written into them the healthy ones balance; a dead valve and a supply
// that was shut disagree with what was commanded, and agree without what the
// diagnosis takes out.
func TestBalanceOnLogs(t *testing.T) {
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("AFTERLOOP_LOGS is not set: the oxygen balance is not held to the extra logs")
	}
	if testing.Short() {
		t.Skip("SKIPPED: 86 debriefs take a while; run without -short")
	}
	files, _ := filepath.Glob(filepath.Join(dir, "0?0??.csv"))
	count := map[string]int{}
	for _, f := range files {
		fault, d := withCylinder(t, f)
		c := outcomeOf(d, "oxygen-balance")
		count[fault+" "+string(c.Outcome)]++
		b := d.Supply.Balance
		if c.Outcome == Found && fault != "valve-leak" && fault != "valve-dead" && fault != "oxygen-off" {
			t.Errorf("%s (%s): found, cylinder %+v, given %+v, hand %+v", f, fault, b.Cylinder, b.Given, b.Hand)
		}
		if fault == "valve-dead" || fault == "oxygen-off" || fault == "valve-leak" {
			t.Logf("%s %s: cylinder %.0f L, commanded %.0f, working %.0f: %s %s", filepath.Base(f), fault, b.Cylinder.Value, b.Valves.Value, b.Working.Value, c.Outcome, c.Reason)
		}
	}
	t.Log(count)
	if len(files) == 0 {
		t.Fatal("no logs in ", dir)
	}
}

// withCylinder debriefs a log into which the truth's cylinder of 3 L was written: 200
// bar at 15 C, a gauge of 1 bar.
func withCylinder(t *testing.T, path string) (fault string, d *Debrief) {
	t.Helper()
	var truth struct {
		Fault  string
		Flow   float64 `json:"flow_l_s"`
		Loop   float64 `json:"loop_l"`
		Faults []struct {
			Kind  string
			Valve int
			From  float64  `json:"from_s"`
			To    *float64 `json:"to_s"`
			Rate  float64  `json:"rate_l_min"`
		}
	}
	text, err := os.ReadFile(strings.TrimSuffix(path, ".csv") + ".truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &truth); err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	body := string(log)
	for strings.HasPrefix(body, "#") {
		line, rest, _ := strings.Cut(body, "\n")
		out.WriteString(line + "\n")
		body = rest
	}
	fmt.Fprintf(&out, "# oxygen_flow_l_min: %.4f\n# loop_volume_l: %.3f\n# oxygen_cylinder_l: 3\n", truth.Flow*60, truth.Loop)
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	left, before, bar := supply.Litres(3, 200, 15), 0.0, 200.0
	for i, r := range rows {
		if i == 0 {
			out.WriteString(strings.Join(r, ",") + ",o2_cyl_bar,temp_c\n")
			continue
		}
		now, _ := strconv.ParseFloat(r[0], 64)
		off, leak := false, 0.0
		given := 0.0
		for _, f := range truth.Faults {
			on := now > f.From && (f.To == nil || now <= *f.To)
			off = off || on && f.Kind == "oxygen-off"
			if on && f.Kind == "valve-leak" {
				leak = f.Rate / 60 * (now - before)
			}
		}
		for k, name := range rows[0] {
			if !strings.HasPrefix(name, "valve") || !strings.HasSuffix(name, "_open_s") {
				continue
			}
			open, _ := strconv.ParseFloat(r[k], 64)
			for _, f := range truth.Faults {
				if f.Kind == "valve-dead" && name == fmt.Sprintf("valve%d_open_s", f.Valve) && now > f.From && (f.To == nil || now <= *f.To) {
					open = 0
				}
			}
			given += open * truth.Flow
		}
		if i > 1 && !off {
			left -= given + leak
		}
		before = now
		for supply.Litres(3, bar, 15) > left {
			bar -= 0.01
		}
		quoted := make([]string, len(r))
		for k, v := range r {
			if quoted[k] = v; strings.ContainsAny(v, ",\"") {
				quoted[k] = strconv.Quote(v)
			}
		}
		fmt.Fprintf(&out, "%s,%.0f,15.0\n", strings.Join(quoted, ","), bar)
	}
	dive, err := ingest.Read(strings.NewReader(out.String()), path, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return truth.Fault, Analyze(dive, DefaultParameters())
}
