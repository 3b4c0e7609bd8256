package report

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/report/internal/reporttest"
)

// twicePressure is an invented log with two pressure sensors, of which the finer one
// ends at 3 bar, a change of diluent and a time on open circuit.
func twicePressure(t testing.TB) *analysis.Debrief {
	t.Helper()
	var b strings.Builder
	b.WriteString("# loop-log: 1\n# surface_pressure_bar: 0.95\n# water: salt\n# diluent: 18/45\n# open_circuit_gas: 32/0\n")
	b.WriteString("time_s,depth_m,ambient1_bar,ambient2_bar,cell1_po2_bar,cell2_po2_bar,po2_bar,setpoint_bar,diluent,breathing\n")
	for i := 0; i < 900; i++ {
		z := 40 * math.Sin(math.Pi*math.Max(0, math.Min(1, float64(i-60)/780)))
		p := 0.95 + 0.0980665*z
		po2 := math.Min(0.9*p, 1.2)
		dil, breathing := "", "loop"
		if i == 500 {
			dil = "21/0"
		}
		if i >= 700 && i < 760 {
			breathing = "open"
		}
		fmt.Fprintf(&b, "%d,%.1f,%.2f,%.3f,%.2f,%.2f,%.2f,1.20,%s,%s\n", i, z, p, math.Min(p+0.01, 3), po2, po2, po2, dil, breathing)
	}
	dive, err := ingest.Read(strings.NewReader(b.String()), "twice.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true
	return analysis.Analyze(dive, p)
}

func TestGasAndPressureOnThePage(t *testing.T) {
	d := twicePressure(t)
	p := reporttest.Parse(t, render(t, d))
	p.Offline(t)
	for _, want := range []string{"Gas breathed", "Denser than 5.2 g/L for", "At its densest", "inspired, humid at 37 °C", "narcotic depth, N2 alone", "Changes of gas", "Diluent 18/45 to 21/0; at most this, as far as the loop was flushed",
		"From the loop (21/0) to open circuit (32/0)", "no tissue model", "Depth and pressure", "Pressure and depth were both recorded", "Water density that the two imply", "Pressure at the surface", "Altitude by the standard atmosphere",
		"sensor 1, in use", "sensor 2", "What an error of pressure would change", "pressure 0.1 bar higher"} {
		if !strings.Contains(p.Text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	p.LinksLead(t)
}

// The chart of what was recorded twice is there only where something was.
func TestPressureChart(t *testing.T) {
	ids := func(d *analysis.Debrief) string {
		var s []string
		for _, c := range drawCharts(d) {
			s = append(s, c.ID)
		}
		return strings.Join(s, " ")
	}
	if got := ids(small.debrief()); !strings.Contains(got, "gas") || strings.Contains(got, "pressure") {
		t.Errorf("charts %s", got)
	}
	d := twicePressure(t)
	if got := ids(d); !strings.Contains(got, "gas pressure") {
		t.Errorf("charts %s", got)
	}
	p := &page{Debrief: d}
	if e := p.Explain("chart-pressure"); e == nil || e.Seen == "" || !strings.Contains(string(e.Reference), "ref-healthy") {
		t.Error("the chart of pressures is not explained")
	}
	for _, c := range drawCharts(d) {
		if (c.ID == "gas" || c.ID == "pressure") && !c.Drawn() {
			t.Errorf("%s is not drawn", c.ID)
		}
	}
}

func TestGasInSeries(t *testing.T) {
	var b bytes.Buffer
	if err := WriteSeries(&b, twicePressure(t)); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(b.String(), "\n")
	names := strings.Split(lines[0], ",")
	at := map[string]int{}
	for k, n := range names {
		at[n] = k
	}
	row := strings.Split(lines[1+450], ",") // at 40 m: 4.87 bar, PO2 1.2
	for name, want := range map[string]string{
		// Dry 1.2/(4.87-0.0627), inspired 1.2/4.87; 4.87 bar of 19.12 g/mol at 22.71 L bar/mol.
		"dry_o2_fraction": "0.249", "inspired_o2_fraction": "0.246", "dry_he_fraction": "0.411", "gas_density_g_l": "4.10", "depth_less_pressure_depth_m": "-", "dry_n2_fraction": "0.338"} {
		k, ok := at[name]
		if !ok {
			t.Errorf("no column %s in %s", name, lines[0])
			continue
		}
		if name != "depth_less_pressure_depth_m" && !strings.HasPrefix(row[k], want) {
			t.Errorf("%s = %s, want %s", name, row[k], want)
		}
	}
	for _, name := range []string{"narcotic_depth_n2_m", "narcotic_depth_o2_n2_m", "inspired_n2_fraction", "inspired_he_fraction", "ambient2_less_one_in_use_bar"} {
		if _, ok := at[name]; !ok {
			t.Errorf("no column %s", name)
		}
	}
	if v := row[at["ambient2_less_one_in_use_bar"]]; v != "" {
		t.Errorf("past the end of its range the second sensor differs by %q", v)
	}
}

func TestGasInText(t *testing.T) {
	var b bytes.Buffer
	if err := WriteText(&b, twicePressure(t), TextOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Gas breathed", "g/L", "Depth and pressure", "kg/m³"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the text does not say %q", want)
		}
	}
}

// What stands in the new parts of a debrief is text, whatever it holds.
func TestHostileGasIsText(t *testing.T) {
	skeleton := func(text string) *reporttest.Page {
		d := twicePressure(t)
		if n := fill(reflect.ValueOf(d.BreathedGas).Elem(), text) + fill(reflect.ValueOf(d.DepthPressure).Elem(), text); n < 30 {
			t.Fatalf("only %d strings were filled", n)
		}
		return reporttest.Parse(t, render(t, d))
	}
	harmless := skeleton("harmless")
	for _, text := range hostile() {
		p := skeleton(text)
		if d := cmp.Diff(harmless.Skeleton, p.Skeleton); d != "" {
			t.Errorf("%q changes the page:\n%s", text, d)
		}
	}
}
