package loop_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/analysis/loop"
)

// simulated is a log with its truth, read without package ingest: this package
// knows no file format, only its tests do.
type simulated struct {
	name string
	rec  loop.Record
	truth
	truthTimeS, truthBar []float64
}

type truth struct {
	Fault           string       `json:"fault"`
	Hard            string       `json:"hard"`
	Faults          []truthFault `json:"faults"`
	HumidBar        float64      `json:"humid_bar"`
	T90S            []float64    `json:"t90_s"`
	Gain            []float64    `json:"gain"`
	Undecidable     []int        `json:"undecidable"`
	UndecidableLeak bool         `json:"undecidable_leak"`
	LoopL           float64      `json:"loop_l"`
	FlowLS          float64      `json:"flow_l_s"`
}

type truthFault struct {
	Kind       string   `json:"kind"`
	Cell       int      `json:"cell"`
	Valve      int      `json:"valve"`
	FromS      float64  `json:"from_s"`
	ToS        *float64 `json:"to_s"`
	T90S       float64  `json:"t90_s"`
	CeilingBar float64  `json:"ceiling_bar"`
	RateLMin   float64  `json:"rate_l_min"`
}

// logFolders is where simulated logs lie: the folders in AFTERLOOP_LOGS.
func logFolders(t testing.TB) []string {
	v := os.Getenv("AFTERLOOP_LOGS")
	if v == "" {
		t.Skip("AFTERLOOP_LOGS is not set: the scores on simulated logs are NOT measured")
	}
	return filepath.SplitList(v)
}

// loadLogs reads every log with a truth whose name starts with prefix.
func loadLogs(t testing.TB, dir, prefix string) []simulated {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, prefix+"*.truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(files)
	var out []simulated
	for _, f := range files {
		out = append(out, loadLog(t, strings.TrimSuffix(f, ".truth.json")))
	}
	return out
}

func loadLog(t testing.TB, base string) simulated {
	t.Helper()
	s := simulated{name: filepath.Base(base)}
	b, err := os.ReadFile(base + ".truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &s.truth); err != nil {
		t.Fatal(err)
	}
	cols, _ := readTable(t, base+".truth.csv")
	s.truthTimeS, s.truthBar = cols.numbers("time_s"), cols.numbers("po2_sensed_bar")
	table, meta := readTable(t, base+".csv")
	s.rec = toRecord(t, table, meta)
	return s
}

// table is a CSV file by column.
type table struct {
	header []string
	rows   [][]string
}

func readTable(t testing.TB, path string) (table, map[string]string) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	meta := map[string]string{}
	text := string(b)
	for strings.HasPrefix(text, "#") {
		line, rest, _ := strings.Cut(text, "\n")
		if k, v, ok := strings.Cut(line[1:], ":"); ok {
			meta[strings.TrimSpace(k)] = strings.TrimSpace(v)
		}
		text = rest
	}
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(path, err)
	}
	return table{all[0], all[1:]}, meta
}

// texts is a column, or nil where there is none.
func (tb table) texts(name string) []string {
	for j, h := range tb.header {
		if h == name {
			out := make([]string, len(tb.rows))
			for i, r := range tb.rows {
				out[i] = r[j]
			}
			return out
		}
	}
	return nil
}

func (tb table) numbers(name string) []float64 {
	s := tb.texts(name)
	if s == nil {
		return nil
	}
	out := make([]float64, len(s))
	for i, v := range s {
		out[i] = number(v)
	}
	return out
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func toRecord(t testing.TB, tb table, meta map[string]string) loop.Record {
	t.Helper()
	r := loop.Record{TimeS: tb.numbers("time_s"), DepthM: tb.numbers("depth_m"), UnitPO2Bar: tb.numbers("po2_bar"),
		SetPointBar: tb.numbers("setpoint_bar"), LoopHe: tb.numbers("loop_he"),
		HeBasisWet: meta["loop_he_basis"] == "wet", HeSigma: number(meta["loop_he_sigma"]),
		LoopVolumeL: number(meta["loop_volume_l"]), FlowLMin: number(meta["oxygen_flow_l_min"]), VapourHighBar: 0.0627}
	surface, density := number(meta["surface_pressure_bar"]), number(meta["water_density_kg_m3"])
	mix, err := gas.ParseMix(meta["diluent"])
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range r.DepthM {
		r.AmbientBar = append(r.AmbientBar, gas.Ambient(surface, d, density))
		r.FO2Dil, r.FHeDil = append(r.FO2Dil, mix.O2), append(r.FHeDil, mix.He)
		r.GapAfter = append(r.GapAfter, i+1 < len(r.TimeS) && r.TimeS[i+1]-r.TimeS[i] > 30)
	}
	for k := 1; tb.texts(fmt.Sprintf("cell%d_po2_bar", k)) != nil; k++ {
		name := fmt.Sprintf("cell%d_po2_bar", k)
		r.CellsBar, r.CellNumber = append(r.CellsBar, tb.numbers(name)), append(r.CellNumber, k)
		step := 0.01
		if _, frac, _ := strings.Cut(tb.texts(name)[0], "."); len(frac) == 3 {
			step = 0.001
		}
		r.CellStepBar = append(r.CellStepBar, step)
	}
	for k := 1; tb.texts(fmt.Sprintf("valve%d_open_s", k)) != nil; k++ {
		r.Valves = append(r.Valves, loop.Valve{Number: k, OpenS: tb.numbers(fmt.Sprintf("valve%d_open_s", k))})
	}
	r.OnLoop = make([]bool, len(r.TimeS))
	breathing := tb.texts("breathing")
	for i := range r.OnLoop {
		r.OnLoop[i] = breathing == nil || breathing[i] != "open"
	}
	for i, e := range tb.texts("event") {
		if e != "" {
			r.Events = append(r.Events, loop.Event{AtS: r.TimeS[i], Kind: loop.EventKind(e)})
		}
	}
	r.Masked = loop.MaskEvents(r, loop.DefaultMaskParams())
	return r
}

// oracle is what a perfect diagnosis would tell the estimate.
func (s simulated) oracle() []loop.CellState {
	nan := math.NaN()
	out := make([]loop.CellState, len(s.rec.CellsBar))
	for k := range out {
		spans := []loop.CellSpan{{FromS: nan, ToS: nan, T90S: s.T90S[k], CeilingBar: nan}}
		for _, f := range s.Faults {
			if f.Cell != k+1 {
				continue
			}
			last := &spans[len(spans)-1]
			switch f.Kind {
			case "slow":
				if f.FromS > 0 {
					after := *last
					last.ToS, after.FromS, after.T90S = f.FromS, f.FromS, f.T90S
					spans = append(spans, after)
				} else {
					last.T90S = f.T90S
				}
			case "limited":
				last.CeilingBar = f.CeilingBar
			case "gain":
				out[k].GainOff = true
			default:
				last.ToS = f.FromS - 10
				if f.ToS != nil {
					spans = append(spans, loop.CellSpan{FromS: *f.ToS + 10, ToS: nan, T90S: s.T90S[k], CeilingBar: nan})
				}
			}
		}
		out[k].Spans, out[k].NoiseBar = spans, nan
	}
	return out
}
