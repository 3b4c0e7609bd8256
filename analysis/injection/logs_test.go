package injection

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"afterloop/analysis/gas"
)

// truth is what the simulator knew: a flow in L/s and a volume in L at ambient.
type truth struct {
	Fault       string  `json:"fault"`
	FlowPerS    float64 `json:"flow_l_s"`
	LoopL       float64 `json:"loop_l"`
	VO2LMinMean float64 `json:"vo2_l_min_mean"`
}

// table reads a CSV with its metadata; text that is no number becomes NaN.
func table(t *testing.T, path string) (meta map[string]string, columns map[string][]float64) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	meta, columns = map[string]string{}, map[string][]float64{}
	body := string(text)
	for strings.HasPrefix(body, "#") {
		line, rest, _ := strings.Cut(body, "\n")
		key, val, _ := strings.Cut(strings.TrimSpace(line[1:]), ":")
		meta[key] = strings.TrimSpace(val)
		body = rest
	}
	r := csv.NewReader(strings.NewReader(body))
	header, err := r.Read()
	if err != nil {
		t.Fatal(err)
	}
	for row, err := r.Read(); err != io.EOF; row, err = r.Read() {
		if err != nil {
			t.Fatal(err)
		}
		for i, name := range header {
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil {
				v = math.NaN()
				if name == "breathing" && row[i] == "open" || name == "event" && row[i] != "" {
					v = 1
				}
			}
			columns[name] = append(columns[name], v)
		}
	}
	return meta, columns
}

// readLog turns a log into an Input.
func readLog(t *testing.T, path string) Input {
	t.Helper()
	meta, c := table(t, path)
	number := func(key string) float64 {
		v, err := strconv.ParseFloat(meta[key], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	nan := math.NaN()
	in := Input{TimeS: c["time_s"], DepthM: c["depth_m"], SetPointBar: c["setpoint_bar"], PO2Bar: c["po2_bar"],
		LoopVolumeL: nan, FlowLMin: nan, LoopTempC: nan, VapourBar: 0.03}
	o2, _, _ := strings.Cut(meta["diluent"], "/")
	dil, err := strconv.ParseFloat(o2, 64)
	if err != nil {
		t.Fatal(err)
	}
	n := len(in.TimeS)
	in.GapAfter, in.OnLoop, in.Masked = make([]bool, n), make([]bool, n), make([]bool, n)
	for i, d := range in.DepthM {
		in.AmbientBar = append(in.AmbientBar, gas.Ambient(number("surface_pressure_bar"), d, number("water_density_kg_m3")))
		in.FO2Diluent = append(in.FO2Diluent, dil/100)
		in.GapAfter[i] = i+1 < n && in.TimeS[i+1]-in.TimeS[i] > 30
		in.OnLoop[i] = !(value(c["breathing"], i) == 1)
		for k := i; k >= 0 && in.TimeS[i]-in.TimeS[k] < 90; k-- {
			in.Masked[i] = in.Masked[i] || value(c["event"], k) == 1
		}
	}
	for k := 1; c[fmt.Sprintf("cell%d_po2_bar", k)] != nil; k++ {
		in.CellsBar = append(in.CellsBar, c[fmt.Sprintf("cell%d_po2_bar", k)])
	}
	for k := 1; c[fmt.Sprintf("valve%d_open_s", k)] != nil; k++ {
		in.Valves = append(in.Valves, Valve{Number: k, OpenS: c[fmt.Sprintf("valve%d_open_s", k)]})
	}
	return in
}

// trueUse is VO2 in L/min over the windows used, from the simulator's own column.
func trueUse(t *testing.T, path string, ws []Window) float64 {
	t.Helper()
	_, c := table(t, path)
	var sum, n float64
	for _, w := range ws {
		for i, at := range c["time_s"] {
			if w.Used && at > w.FromS && at <= w.ToS {
				sum += c["vo2_l_min"][i]
				n++
			}
		}
	}
	return sum / n
}

func logPaths(t *testing.T) []string {
	t.Helper()
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("AFTERLOOP_LOGS is not set: the simulated logs were NOT read")
	}
	paths, err := filepath.Glob(filepath.Join(dir, "0[0-9][0-9][0-9][0-9].csv"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no logs in %s: %v", dir, err)
	}
	return paths
}

// On simulated logs without faults flow/V and VO2/V, where they are assessed,
// are near the simulator's. The simulator counts a litre as a bar litre at
// ambient; its figures are compared in those units.
func TestLogs(t *testing.T) {
	unit := gas.STPDToLoop(1, DefaultParams().AssumedLoopTempC)
	var assessed, healthy, inside int
	for _, path := range logPaths(t) {
		var tr truth
		text, err := os.ReadFile(strings.TrimSuffix(path, ".csv") + ".truth.json")
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, &tr); err != nil {
			t.Fatal(err)
		}
		r := Analyse(readLog(t, path), DefaultParams())
		name := filepath.Base(path)
		o := r.Oxygen
		flow := o.FlowPerVolume.times(tr.LoopL / tr.FlowPerS)
		use := unknownInterval("")
		if o.VO2PerVolume.known() {
			use = o.VO2PerVolume.times(unit * tr.LoopL * 60 / trueUse(t, strings.TrimSuffix(path, ".csv")+".truth.csv", o.Windows))
		}
		t.Logf("%s %-10s flow/V %.2f (%.2f-%.2f) %s; VO2/V %.2f (%.2f-%.2f); delay %.1f; shortest %.2f min; %s", name, tr.Fault,
			flow.Value, flow.Low, flow.High, o.FlowFrom, use.Value, use.Low, use.High, r.DelayS, r.Remaining.ShortestMin, o.FlowPerVolume.Reason)
		for _, v := range r.Valves {
			t.Logf("   %+v", v)
		}
		if !strings.HasPrefix(tr.Fault, "none") {
			continue
		}
		healthy++
		if !o.FlowPerVolume.known() {
			continue
		}
		assessed++
		if flow.Low <= 1 && 1 <= flow.High {
			inside++
		}
		if math.Abs(flow.Value-1) > 0.25 {
			t.Errorf("%s: flow/V is %.2f of the true one", name, flow.Value)
		}
		if o.VO2PerVolume.known() && math.Abs(use.Value-1) > 0.25 {
			t.Errorf("%s: VO2/V is %.2f of the true one", name, use.Value)
		}
	}
	t.Logf("%d of %d healthy logs assessed; the true flow/V lies in %d intervals", assessed, healthy, inside)
	if assessed < healthy/3 {
		t.Errorf("only %d of %d healthy logs assessed", assessed, healthy)
	}
}
