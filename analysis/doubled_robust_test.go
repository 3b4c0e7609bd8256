package analysis

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"afterloop/ingest"
)

// Whatever two logs hold, they are joined or refused, and what was joined can be
// debriefed and written, as two logs and as one that names its halves.
func TestAnyTwoLogsAreJoined(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	done, refused := 0, 0
	for range 12 {
		a, b := anyHalf(t, rng, "ombrel-half-a"), anyHalf(t, rng, "ombrel-half-b")
		if a == nil || b == nil {
			continue
		}
		j, err := JoinHalves(a, b, DefaultParameters())
		if err != nil {
			if !strings.Contains(err.Error(), "can't be aligned: ") {
				t.Errorf("refused without a reason: %v", err)
			}
			refused++
			continue
		}
		done++
		for _, d := range []*Debrief{AnalyzeDoubled(j, DefaultParameters()), Analyze(j.Dive, DefaultParameters())} {
			if _, err := json.Marshal(d); err != nil {
				t.Fatalf("the debrief can't be written: %v", err)
			}
		}
	}
	if done < 6 {
		t.Errorf("%d joined, %d refused: the test shows little", done, refused)
	}
}

// anyHalf is a demo log with some of its columns, fields left empty from somewhere
// on or filled with noise, and rows cut off; nil where ingest refuses it.
func anyHalf(t *testing.T, rng *rand.Rand, demo string) *ingest.Dive {
	t.Helper()
	meta, header, rows := demoLines(t, demo)
	names := strings.Split(header, ",")
	keep, what := make([]bool, len(names)), make([]int, len(names))
	for k, n := range names {
		keep[k] = n == "time_s" || n == "depth_m" || rng.IntN(4) > 0
		what[k] = max(0, rng.IntN(8)-5) // 1 empty from somewhere on, 2 noise
	}
	from, to := rng.IntN(len(rows)/3), len(rows)-rng.IntN(len(rows)/3)
	cut := rng.IntN(len(rows))
	text := strings.Join(meta, "\n") + "\n" + pick(names, keep) + "\n"
	for i, r := range rows[from:to] {
		f := strings.Split(r, ",")
		for k := range f {
			switch {
			case names[k] == "time_s":
			case what[k] == 1 && i > cut:
				f[k] = ""
			case what[k] == 2 && strings.Contains(names[k], "po2"):
				f[k] = fmt.Sprintf("%.2f", []float64{0, 0.5, 1.3, 9.99}[rng.IntN(4)])
			}
		}
		text += pick(f, keep) + "\n"
	}
	d, err := ingest.Read(strings.NewReader(text), demo+".csv", ingest.Options{})
	if err != nil {
		return nil
	}
	return d
}
