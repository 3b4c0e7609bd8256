package analysis

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"afterloop/ingest"
)

// demoLines are the metadata, the header and the rows of a demo log.
func demoLines(t *testing.T, name string) (meta []string, header string, rows []string) {
	t.Helper()
	b, err := os.ReadFile("../testdata/" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range strings.Split(strings.TrimSpace(string(b)), "\n") {
		switch {
		case strings.HasPrefix(l, "#"):
			meta = append(meta, l)
		case header == "":
			header = l
		default:
			rows = append(rows, l)
		}
	}
	return meta, header, rows
}

// analyzeText analyzes a log as text; a log that ingest refuses is no matter here.
func analyzeText(t *testing.T, text string) {
	t.Helper()
	dive, err := ingest.Read(strings.NewReader(text), "x.csv", ingest.Options{})
	if err != nil {
		return
	}
	d := Analyze(dive, DefaultParameters())
	if _, err := json.Marshal(d); err != nil {
		t.Fatalf("the debrief can't be written: %v", err)
	}
}

// A log may end anywhere, and hold next to nothing.
func TestAnyLengthIsAnalyzed(t *testing.T) {
	for _, demo := range []string{"ombrel-healthy", "ombrel-two-limited", "ombrel-gauges"} {
		meta, header, rows := demoLines(t, demo)
		for n := 1; n < len(rows); n += 1 + n/6 {
			analyzeText(t, strings.Join(append(append(meta, header), rows[:n]...), "\n")+"\n")
			analyzeText(t, strings.Join(append(append(meta, header), rows[len(rows)-n:]...), "\n")+"\n")
		}
	}
}

// Columns may be missing, fields empty or stuck, in any combination.
func TestAnyColumnsAreAnalyzed(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, demo := range []string{"ombrel-healthy", "ombrel-two-limited", "ombrel-gauges"} {
		meta, header, rows := demoLines(t, demo)
		names := strings.Split(header, ",")
		for round := 0; round < 40; round++ {
			keep := make([]bool, len(names))
			what := make([]int, len(names)) // 0 as it is, 1 empty from somewhere on, 2 stuck, 3 noise
			for k, n := range names {
				keep[k] = n == "time_s" || rng.IntN(4) > 0
				what[k] = max(0, rng.IntN(8)-4)
			}
			text := strings.Join(meta, "\n") + "\n" + pick(names, keep) + "\n"
			cut := rng.IntN(len(rows))
			first := strings.Split(rows[1], ",")
			for i, r := range rows[:len(rows)/2] {
				f := strings.Split(r, ",")
				if len(f) != len(names) { // a note with a comma
					continue
				}
				for k := range f {
					switch {
					case names[k] == "time_s":
					case what[k] == 1 && i > cut:
						f[k] = ""
					case what[k] == 2 && i > cut:
						f[k] = first[k]
					case what[k] == 3 && strings.Contains(names[k], "po2"):
						f[k] = fmt.Sprintf("%.2f", 3*rng.Float64())
					}
				}
				text += pick(f, keep) + "\n"
			}
			analyzeText(t, text)
		}
	}
}

func pick(f []string, keep []bool) string {
	var out []string
	for k := range f {
		if keep[k] {
			out = append(out, f[k])
		}
	}
	return strings.Join(out, ",")
}
