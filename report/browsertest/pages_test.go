package browsertest

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report"
)

// record is an invented log: cell 2 lags, cell 3 reads low after two thirds; a
// gap at 40 % of the time.
type record struct {
	rows  int
	stepS float64
	gap   bool
	// spike maps a row to what cell 2 reads there.
	spike map[int]float64
	// text stands in every text field.
	text string
}

// noise is uniform in (-0.5, 0.5) and the same everywhere.
func noise(i, k int) float64 {
	x := uint64(i)*0x9E3779B97F4A7C15 + uint64(k)*0xBF58476D1CE4E5B9
	x ^= x >> 31
	x *= 0x94D049BB133111EB
	x ^= x >> 29
	return float64(x>>11)/(1<<53) - 0.5
}

func (r record) csv() []byte {
	var b bytes.Buffer
	text := r.text
	if text == "" {
		text = "Quiet Lake"
	}
	fmt.Fprintf(&b, "# loop-log: 1\n# dive: %s\n# diver: %s\n# unit: %s\n# cell1_serial: %s\n# start: 2031-05-04T09:12:00Z\n", text, text, text, text)
	b.WriteString("# surface_pressure_bar: 1.013\n# water_density_kg_m3: 1025\n# diluent: 18/45\n# loop_volume_l: 6\n# oxygen_flow_l_min: 8\n")
	b.WriteString("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,setpoint_bar,po2_bar,valve1_open_s,valve2_open_s,event,note\n")
	lag := 0.7
	for i := 0; i < r.rows; i++ {
		u := float64(i) / float64(r.rows)
		if r.gap && u > 0.40 && u < 0.44 {
			continue
		}
		r.row(&b, i, u, &lag)
	}
	return b.Bytes()
}

func (r record) row(b *bytes.Buffer, i int, u float64, lag *float64) {
	t := float64(i) * r.stepS
	depth := 42 * math.Max(0, math.Min(1, math.Min((u-0.01)/0.06, (0.99-u)/0.25)))
	p, set := 1.28+0.05*(0.5-math.Mod(t, 24)/24), 1.3
	if u < 0.05 {
		p, set = 0.7+0.02*(0.5-math.Mod(t, 24)/24), 0.7
	}
	p = math.Min(p, 1.013+depth/10-0.07)
	*lag += (p - *lag) * math.Min(1, r.stepS/25)
	c3 := p
	if u > 0.66 {
		c3 = p - 0.3
	}
	c2 := *lag + 0.012*noise(i, 2)
	if v, ok := r.spike[i]; ok {
		c2 = v
	}
	open := [2]float64{}
	if math.Mod(t, 24) < r.stepS {
		open[int(t/24)%2] = 1.2
	}
	event, note := "", ""
	if i == r.rows/3 {
		event, note = "diluent_flush", strings.ReplaceAll(r.text, `"`, `""`)
	}
	fmt.Fprintf(b, "%.1f,%.1f,%.3f,%.3f,%.3f,%.2f,%.3f,%.1f,%.1f,%s,\"%s\"\n", t, depth+0.1*noise(i, 9), p+0.012*noise(i, 1), c2, c3+0.012*noise(i, 3), set, p+0.004*noise(i, 4), open[0], open[1], event, note)
}

// page writes the debrief of the record as a page and returns its path.
func (r record) page(t *testing.T) string {
	t.Helper()
	return pageOf(t, r.csv(), report.Options{})
}

func pageOf(t *testing.T, csv []byte, o report.Options) string {
	t.Helper()
	dive, err := ingest.Read(bytes.NewReader(csv), "quiet.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.WriteHTML(&b, analysis.Analyze(dive, analysis.DefaultParameters()), o); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "debrief.html")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

var (
	hour       = record{rows: 3600, stepS: 1, gap: true}
	threeHours = record{rows: 10_800, stepS: 1, gap: true}
	twelve     = record{rows: 432_000, stepS: 0.1}
)
