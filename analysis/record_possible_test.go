package analysis

import (
	"math"
	"testing"

	"afterloop/analysis/scenario"
)

func TestPossible(t *testing.T) {
	y, p := []float64{1.2, 9.99, 3.3, math.NaN()}, []float64{1, 3, 1.1, 1}
	got := possible(y, p)
	if got[0] != 1.2 || !math.IsNaN(got[1]) || got[2] != 3.3 || y[1] != 9.99 {
		t.Errorf("got %v of %v", got, y)
	}
	if same := possible(y[:1], p[:1]); &same[0] != &y[0] {
		t.Error("copied although every reading is possible")
	}
}

// A recorder that stumbles writes rows that no gas makes: they name no cell.
func TestStumblingRecorderNamesNobody(t *testing.T) {
	for seed := range uint64(4) {
		d := simulate(t, "plain/none", 9300+seed, nil, func(l *scenario.Log) {
			for _, name := range []string{"cell1_po2_bar", "cell2_po2_bar", "cell3_po2_bar", "cell4_po2_bar"} {
				if c := l.Column(name); c != nil {
					for i := 150; i < len(c.Values); i += 400 {
						c.Values[i] = 9.99
					}
				}
			}
		})
		for _, f := range d.Findings {
			if f.Cell != nil && f.Kind != "reading-above-ambient" && f.Kind != "readings-missing" && f.Kind != "reading-at-limit" {
				t.Errorf("seed %d: %s, %s: %s", seed, f.Kind, f.Confidence, f.Observed)
			}
		}
	}
}
