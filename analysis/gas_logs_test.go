package analysis

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// On simulated logs the gas is plausible and nothing is found wholesale: at the deepest
// the density lies near that of the diluent breathed as it is, dense gas is found only
// where that diluent is dense, and, in logs without faults, the helium sensor agrees with
// the helium reckoned. Those logs hold no pressure, so no finding on pressures is due.
func TestGasOnSimulatedLogs(t *testing.T) {
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("AFTERLOOP_LOGS is not set: THE GAS IS NOT CHECKED on the simulated logs")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no logs in %s: %v", dir, err)
	}
	p := DefaultParameters()
	p.SkipDiagnosis = true
	n, dense := 0, 0
	for _, f := range files {
		if strings.Contains(f, ".truth.") {
			continue
		}
		dive, err := ingest.ReadFile(f, ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		d := Analyze(dive, p)
		for _, kind := range []string{"pressure-sensors-disagree", "depth-pressure-mismatch", "surface-pressure"} {
			none(t, d, kind)
		}
		if len(d.BreathedGas.Moments) < 2 {
			continue
		}
		n++
		m := d.BreathedGas.Moments[1]
		plain := gas.Density(dive.Meta.Diluent.Mix, float64(m.AmbientBar), 0)
		found := len(ofKind(d, "gas-dense")) > 0
		if found {
			dense++
		}
		healthy := strings.HasPrefix(filepath.Base(f), "03")
		// A false PO2 may make it pure oxygen at most; a set point below the diluent's own
		// oxygen makes it a little thinner.
		most := gas.Density(gas.Mix{O2: 1}, float64(m.AmbientBar), 0)
		if g := float64(m.DensityGL); g < plain-0.25 || g > most+1e-9 {
			t.Errorf("%s: %.2f g/L on %s at %.1f bar, where the diluent alone has %.2f", filepath.Base(f), g, d.Dive.Diluent, float64(m.AmbientBar), plain)
		}
		if healthy && found && plain < p.BreathedGas.DensityCautionGL-1 || !found && plain > p.BreathedGas.DensityCautionGL+0.3 {
			t.Errorf("%s: dense gas found: %v, where the diluent alone has %.2f g/L at the deepest", filepath.Base(f), found, plain)
		}
		if h := d.BreathedGas.MeasuredHelium; h != nil && healthy && !(math.Abs(float64(h.MedianDifference)) < 0.012) {
			t.Errorf("%s: the helium sensor lies %.3f from the helium reckoned", filepath.Base(f), float64(h.MedianDifference))
		}
	}
	t.Logf("%d logs with a known gas, dense gas in %d", n, dense)
	if n == 0 {
		t.Error("no log has a known gas")
	}
}
