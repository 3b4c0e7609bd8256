package tracking

import (
	"encoding/csv"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// readLog reads what this package needs of a log; the surface pressure and the
// density come from its metadata.
func readLog(t *testing.T, path string) Input {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	meta := map[string]float64{"surface_pressure_bar": 1.013, "water_density_kg_m3": 1025}
	body := string(text)
	for strings.HasPrefix(body, "#") {
		line, rest, _ := strings.Cut(body, "\n")
		key, val, _ := strings.Cut(strings.TrimSpace(line[1:]), ":")
		if v, err := strconv.ParseFloat(strings.TrimSpace(val), 64); err == nil {
			meta[key] = v
		}
		body = rest
	}
	r := csv.NewReader(strings.NewReader(body))
	header, err := r.Read()
	if err != nil {
		t.Fatal(err)
	}
	columns := map[string][]float64{}
	for row, err := r.Read(); err != io.EOF; row, err = r.Read() {
		if err != nil {
			t.Fatal(err)
		}
		for i, name := range header {
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil {
				v = math.NaN()
			}
			columns[name] = append(columns[name], v)
		}
	}
	in := Input{TimeS: columns["time_s"], DepthM: columns["depth_m"], SetPointBar: columns["setpoint_bar"], PO2Bar: columns["po2_bar"], VapourBar: 0.0627}
	in.GapAfter = make([]bool, len(in.TimeS))
	for i, d := range in.DepthM {
		in.AmbientBar = append(in.AmbientBar, meta["surface_pressure_bar"]+meta["water_density_kg_m3"]*9.80665*d/1e5)
		in.GapAfter[i] = i+1 < len(in.TimeS) && in.TimeS[i+1]-in.TimeS[i] > 30
	}
	return in
}

// On the simulated logs the phases come in an order that a dive can have, and
// the figures are sane even where a valve leaked or the oxygen ran out.
func TestLogs(t *testing.T) {
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("AFTERLOOP_LOGS is not set: the simulated logs were NOT read")
	}
	paths, err := filepath.Glob(filepath.Join(dir, "0[0-9][0-9][0-9][0-9].csv"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no logs in %s: %v", dir, err)
	}
	p := DefaultParams()
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			in := readLog(t, path)
			ph := Phases(in.TimeS, in.DepthM, in.GapAfter, p)
			spans := PhaseSpans(in.TimeS, ph, in.GapAfter)
			plausible(t, spans)
			r := Track(in, ph, p)
			hs := HalfWaves(in, p)
			t.Logf("%s\n assessed %.0f s mean %+.3f MAE %.3f RMSE %.3f within %.2f %.2f; unattainable %.0f s; %d half-waves, oscillations %+v",
				kinds(in.TimeS, ph, in.GapAfter), r.AssessedS, r.MeanErrorBar, r.MAEBar, r.RMSEBar, r.Within005, r.Within010, r.UnattainableS, len(hs), Oscillations(in, hs, p))
			for _, c := range Changes(in, p) {
				t.Logf(" change %+v", c)
			}
			for _, x := range NotHeld(in, ph, p) {
				t.Logf(" not held %+v", x)
			}
			if r.AssessedS <= 0 || r.MAEBar > 1 || !(r.RMSEBar >= r.MAEBar) {
				t.Errorf("figures: %+v", r.Figures)
			}
		})
	}
}

// plausible: these dives begin by going down and end by coming up, a stop comes
// after an ascent, and no phase but one beside a gap is a mere moment.
func plausible(t *testing.T, spans []PhaseSpan) {
	t.Helper()
	first, ascended, bottom := -1, false, false
	for i, s := range spans {
		switch s.Phase {
		case Descent:
			if first < 0 {
				first = i
			}
		case Ascent:
			ascended = true
			if !bottom {
				t.Errorf("ascent at %g s before any bottom", s.FromS)
			}
		case Bottom:
			bottom = bottom || first >= 0
		case Stop:
			if !ascended {
				t.Errorf("stop at %g s before any ascent", s.FromS)
			}
		}
	}
	if first < 0 || !ascended || first > 2 {
		t.Errorf("no descent or no ascent: %v", spans)
	}
}
