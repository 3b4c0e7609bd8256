package cell_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"afterloop/analysis/loop"
)

// truth is what the simulator of a log says of it.
type truth struct {
	Fault       string       `json:"fault"`
	Hard        string       `json:"hard"`
	Faults      []truthFault `json:"faults"`
	Undecidable []int        `json:"undecidable"`
	T90S        []float64    `json:"t90_s"`
	Gain        []float64    `json:"gain"`
}

type truthFault struct {
	Cell       int      `json:"cell"`
	Kind       string   `json:"kind"`
	FromS      float64  `json:"from_s"`
	ToS        *float64 `json:"to_s"`
	T90S       float64  `json:"t90_s"`
	CeilingBar float64  `json:"ceiling_bar"`
}

// loadTruth reads NAME.truth.json.
func loadTruth(t *testing.T, path string) truth {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(b, &tr); err != nil {
		t.Fatal(path, err)
	}
	return tr
}

// logNames lists the logs of a folder whose name starts with prefix.
func logNames(t *testing.T, dir, prefix string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, prefix+"*.truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range files {
		files[i] = strings.TrimSuffix(f, ".truth.json")
	}
	return files
}

// loadRecord is a bare reader for the simulated logs, which are clean; the real
// one is in package ingest.
func loadRecord(t *testing.T, path string) loop.Record {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	meta, body := splitMeta(string(b))
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(path, err)
	}
	text := func(name string) []string {
		for c, h := range rows[0] {
			if h == name {
				col := make([]string, len(rows)-1)
				for i := range col {
					col[i] = rows[i+1][c]
				}
				return col
			}
		}
		return nil
	}
	num := func(name string) []float64 { return numbers(text(name)) }

	r := loop.Record{TimeS: num("time_s"), DepthM: num("depth_m"), SetPointBar: num("setpoint_bar"),
		UnitPO2Bar: num("po2_bar"), LoopHe: num("loop_he"), HeBasisWet: meta["loop_he_basis"] == "wet",
		HeSigma: number(meta["loop_he_sigma"]), LoopVolumeL: number(meta["loop_volume_l"]),
		FlowLMin: number(meta["oxygen_flow_l_min"]), VapourHighBar: 0.0627}
	surface, density := number(meta["surface_pressure_bar"]), number(meta["water_density_kg_m3"])
	o2, he, known := strings.Cut(meta["diluent"], "/")
	if o2 == "air" {
		o2, he, known = "21", "0", true
	}
	for _, d := range r.DepthM {
		r.AmbientBar = append(r.AmbientBar, surface+density*9.80665*d/1e5)
		if known {
			r.FO2Dil, r.FHeDil = append(r.FO2Dil, number(o2)/100), append(r.FHeDil, number(he)/100)
		}
	}
	for k := 1; k < 9; k++ {
		if c := num("cell" + strconv.Itoa(k) + "_po2_bar"); c != nil {
			r.CellsBar, r.CellNumber = append(r.CellsBar, c), append(r.CellNumber, k)
			r.CellStepBar = append(r.CellStepBar, stepOf(text("cell"+strconv.Itoa(k)+"_po2_bar")))
		}
		if v := num("valve" + strconv.Itoa(k) + "_open_s"); v != nil {
			r.Valves = append(r.Valves, loop.Valve{Number: k, OpenS: v})
		}
	}
	addEvents(&r, text("event"), text("note"), text("breathing"))
	r.Masked = loop.MaskEvents(r, loop.DefaultMaskParams())
	return r
}

func addEvents(r *loop.Record, event, note, breathing []string) {
	r.GapAfter = make([]bool, len(r.TimeS))
	usual := r.UsualStepS()
	for i := range r.TimeS {
		if event != nil && event[i] != "" {
			r.Events = append(r.Events, loop.Event{AtS: r.TimeS[i], Kind: loop.EventKind(event[i])})
		}
		if note != nil && note[i] != "" {
			r.Events = append(r.Events, loop.Event{AtS: r.TimeS[i], Kind: loop.EventKind(strings.ReplaceAll(note[i], " ", "_"))})
		}
		if breathing != nil {
			r.OnLoop = append(r.OnLoop, breathing[i] != "open")
		}
		if h := r.TimeS[i] - r.TimeS[max(i-1, 0)]; i > 0 && h > 30 && h > 2.5*usual {
			r.GapAfter[i-1] = true
		}
	}
}

func splitMeta(s string) (map[string]string, string) {
	meta := map[string]string{}
	for strings.HasPrefix(s, "#") {
		line, rest, _ := strings.Cut(s, "\n")
		key, value, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(line, "#")), ":")
		meta[key], s = strings.TrimSpace(value), rest
	}
	return meta, s
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func numbers(text []string) []float64 {
	if text == nil {
		return nil
	}
	out := make([]float64, len(text))
	for i, s := range text {
		out[i] = number(s)
	}
	return out
}

// stepOf is the rounding step by the digits written.
func stepOf(text []string) float64 {
	digits := 0
	for _, s := range text {
		if i := strings.IndexByte(s, '.'); i >= 0 {
			digits = max(digits, len(s)-i-1)
		}
	}
	return math.Pow10(-digits)
}
