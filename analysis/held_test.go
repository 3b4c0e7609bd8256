package analysis

import (
	"math"
	"math/rand/v2"
	"testing"

	"afterloop/analysis/scenario"
)

func TestHeldEvery(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	noisy := make([]float64, 600)
	for i := range noisy {
		noisy[i] = math.Round(100*(1.2+0.05*math.Sin(float64(i)/9)+0.01*rng.NormFloat64())) / 100
	}
	hold := func(n, first int) []float64 {
		out := make([]float64, len(noisy))
		for i := range out {
			out[i] = noisy[max(0, i-((i-first)%n+n)%n)]
		}
		return out
	}
	lost := hold(5, 3)
	for i := range lost {
		if i%11 == 0 {
			lost[i] = math.NaN()
		}
	}
	for _, c := range []struct {
		name     string
		y        []float64
		n, first int
	}{
		{"a new reading in every row", noisy, 1, 0},
		{"every second row", hold(2, 1), 2, 1},
		{"every fifth row from the fourth on", hold(5, 3), 5, 3},
		{"some rows without a reading", lost, 5, 3},
		{"one reading throughout", make([]float64, 600), 1, 0},
		{"too few changes to tell", hold(20, 0)[:500], 1, 0},
		{"nothing", nil, 1, 0},
	} {
		n, first := heldEvery(c.y)
		if n != c.n || first != c.first {
			t.Errorf("%s: every %d rows from %d, want %d from %d", c.name, n, first, c.n, c.first)
		}
	}
	if y := renewed(noisy); &y[0] != &noisy[0] {
		t.Error("copied although nothing was held")
	}
}

// Cells that the recorder renews in turn make no finding about a cell, and the debrief
// says that readings were held.
func TestHeldReadingsNameNobody(t *testing.T) {
	for seed := range uint64(4) {
		d := simulate(t, "hard-healthy/work", 9200+seed, nil, func(l *scenario.Log) {
			for k, name := range []string{"cell1_po2_bar", "cell2_po2_bar", "cell3_po2_bar", "cell4_po2_bar"} {
				c := l.Column(name)
				if c == nil {
					continue
				}
				y := c.Values
				for i := range y {
					if j := i - (i+k)%4; j >= 0 && (i+k)%4 != 0 {
						y[i] = y[j]
					}
				}
			}
		})
		if n := d.Recording.RowsPerReading; n[0] != 4 {
			t.Errorf("seed %d: renewed every %v rows, want 4", seed, n)
		}
		one(t, d, "recording-coarse")
		for _, f := range d.Findings {
			if f.Cell != nil || f.Valve != nil {
				t.Errorf("seed %d: %s, %s: %s", seed, f.Kind, f.Confidence, f.Observed)
			}
		}
	}
}
