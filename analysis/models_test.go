package analysis

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis/exposure"
	"afterloop/ingest"
)

// openCircuitLog has ten minutes on the loop at 1.3 bar, ten on open circuit, ten
// on the loop again.
func openCircuitLog(t *testing.T, gas string) *ingest.Dive {
	t.Helper()
	var b strings.Builder
	b.WriteString("# surface_pressure_bar: 1.0\n" + gas + "time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar,breathing\n")
	for i := range 181 {
		breathing := "loop"
		if i >= 60 && i < 120 {
			breathing = "open"
		}
		b.WriteString(strings.Join([]string{itoa(10 * i), "20", "1.30", "1.31", "1.29", "1.30", breathing}, ",") + "\n")
	}
	file := filepath.Join(t.TempDir(), "open.csv")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := ingest.ReadFile(file, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + itoa(n%10)
}

// TestModelsOfADive: models are off by default; an unknown gas makes them lower
// bounds; their definitions come along.
func TestModelsOfADive(t *testing.T) {
	p := DefaultParameters()
	p.SkipDiagnosis = true
	known, unknownGas := openCircuitLog(t, "# open_circuit_gas: 21/0\n"), openCircuitLog(t, "")
	if x := Analyze(known, p); x.Exposure.Models == nil || len(x.Exposure.Models) != 0 {
		t.Errorf("%+v", x.Exposure.Models)
	}
	var err error
	if p.Models, err = ChooseModels("all"); err != nil {
		t.Fatal(err)
	}
	whole, part := Analyze(known, p), Analyze(unknownGas, p)
	if len(whole.Exposure.Models) != len(exposure.Models()) || len(whole.Definitions) != len(Definitions())+len(exposure.Models()) {
		t.Fatalf("%d models, %d definitions", len(whole.Exposure.Models), len(whole.Definitions))
	}
	for i, m := range whole.Exposure.Models {
		if q := part.Exposure.Models[i]; m.IsLowerBound || !q.IsLowerBound || m.ExposedS < 1700 || q.ExposedS > 1250 {
			t.Errorf("%s: %+v, with an unknown gas %+v", m.Model, m, q)
		}
	}
	near := part.Exposure.Models[3]
	if near.Model != "near-1.3" || near.Standing != "inside" || math.Abs(float64(near.Value)-exposure.DetectableNear13(1180.0/3600)) > 0.01 {
		t.Errorf("%+v", near)
	}
	// 0.21 x 3 bar on open circuit is not near 1.3: 20 of 30 minutes are.
	if m := whole.Exposure.Models[3]; m.Standing != "outside" || m.Value.Known() || m.Reason == "" {
		t.Errorf("%+v", m)
	}
}

func TestChooseModels(t *testing.T) {
	for list, want := range map[string]string{"": "", "all": strings.Join(ModelNames(), ","), "cns-index, esot": "esot,cns-index", "esot,esot": "esot", "esot,all": strings.Join(ModelNames(), ",")} {
		got, err := ChooseModels(list)
		if err != nil || strings.Join(got, ",") != want || got == nil {
			t.Errorf("%q: %v, %v", list, got, err)
		}
	}
	if _, err := ChooseModels("esot,x"); err == nil || !strings.Contains(err.Error(), "esot") {
		t.Errorf("%v", err)
	}
}

// TestInhaledHasTheDoses: what is kept for a series gives the doses of the debrief.
func TestInhaledHasTheDoses(t *testing.T) {
	p := DefaultParameters()
	p.SkipDiagnosis = true
	demo, err := ingest.ReadFile("../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range []*ingest.Dive{demo, openCircuitLog(t, "# open_circuit_gas: 21/0\n"), openCircuitLog(t, "")} {
		x := Analyze(d, p)
		if len(x.Inhaled.Sources) == 0 || x.Inhaled.Sources[0].Source != x.Exposure.Headline.Source {
			t.Fatalf("%+v", x.Exposure.Headline)
		}
		for _, s := range x.Inhaled.Sources {
			got := exposure.Integrate(x.Inhaled.TimeS, s.PO2Bar, x.Inhaled.GapAfter, x.Inhaled.Options).Total
			for _, want := range x.Exposure.BySource {
				if want.Source == s.Source && (math.Abs(100*got.CNSStep-float64(want.CNSPercent)) > 1e-9 || math.Abs(got.OTU-float64(want.OTU)) > 1e-9) {
					t.Errorf("%s: %v, the debrief has %v", s.Source, 100*got.CNSStep, want.CNSPercent)
				}
			}
		}
	}
}
