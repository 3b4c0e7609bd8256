package lesson

import (
	"bytes"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
)

// seedsOfLessons is how many dives of each lesson are tried; LESSON_SEEDS overrides it.
func seedsOfLessons(t *testing.T) int {
	if n, err := strconv.Atoi(os.Getenv("LESSON_SEEDS")); err == nil {
		return n
	}
	if testing.Short() {
		return 2
	}
	return 20
}

// TestSound: every lesson's dives show what the lesson claims, and the debrief
// finds it, or claims nothing where there is nothing to claim. The dives come
// from the scenario, the claims from its truth; the debrief is only counted.
func TestSound(t *testing.T) {
	n := seedsOfLessons(t)
	for _, l := range All() {
		t.Run(l.Name, func(t *testing.T) {
			found, silent, tries, why, alarms := 0, 0, 0, []string{}, []string{}
			for seed := range n {
				d, err := Make(l, StudentSeed(l.Name, 7, seed))
				if err != nil {
					t.Fatal(err)
				}
				tries += d.Tries
				b := debriefOf(t, d)
				kinds := kindsOf(b)
				alarms = append(alarms, falseAlarms(d, b, seed)...)
				ok := true
				for _, k := range l.Expect {
					ok = ok && slices.Contains(kinds, k)
				}
				if ok {
					found++
				} else {
					why = append(why, strconv.Itoa(seed)+": "+strings.Join(kinds, " "))
				}
				if len(kinds) == 0 {
					silent++
				}
			}
			t.Logf("%d dives, %.2f draws each; expected %v found in %d; no finding at all in %d; %v", n, float64(tries)/float64(n), l.Expect, found, silent, why)
			for _, a := range alarms {
				t.Log("false alarm of the debrief: " + a)
			}
			if len(alarms) > (n+9)/10 {
				t.Errorf("%d false alarms in %d dives", len(alarms), n)
			}
			if found < (n*17+19)/20 {
				t.Errorf("only %d of %d dives give %v", found, n, l.Expect)
			}
		})
	}
}

// falseAlarms are findings that call a sound part faulty with more than
// "possible". A lesson does not depend on them, since its key is the truth's; the
// instructor's page says that the debrief may be wrong.
func falseAlarms(d *Dive, b *analysis.Debrief, seed int) []string {
	var out []string
	for _, f := range b.Findings {
		onCell := f.Cell != nil && !d.faulty(*f.Cell)
		onValve := f.Valve != nil && len(d.Truth.Facts.Faults) == 0
		if (onCell || onValve) && f.Confidence != analysis.Possible {
			out = append(out, strconv.Itoa(seed)+": "+f.Kind+" "+string(f.Confidence)+": "+f.Observed)
		}
	}
	return out
}

// faulty tells whether a cell is one of those that the truth calls wrong.
func (d *Dive) faulty(cell int) bool {
	for _, f := range d.Truth.Facts.Faults {
		if f.Cell == cell {
			return true
		}
	}
	return false
}

func kindsOf(b *analysis.Debrief) []string {
	var kinds []string
	for _, f := range b.Findings {
		kinds = append(kinds, f.Kind+"/"+string(f.Severity))
	}
	var out []string
	for _, k := range kinds {
		out = append(out, strings.Split(k, "/")[0])
	}
	return out
}

func debriefOf(t *testing.T, d *Dive) *analysis.Debrief {
	t.Helper()
	var b bytes.Buffer
	if err := d.Log.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	dive, err := ingest.Read(&b, "dive.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return analysis.Analyze(dive, analysis.DefaultParameters())
}

// TestSoundPartsAreNotNamed holds dives of which the debrief once called a sound
// part faulty: a valve silent by what the filters remembered of the refill after a
// flush, a cell low by what the diver used after one.
func TestSoundPartsAreNotNamed(t *testing.T) {
	for _, c := range []struct {
		lesson string
		seed   int
	}{{"flush-test", 2}, {"flush-test", 50}, {"lagging-cell", 17}} {
		t.Run(c.lesson+"/"+strconv.Itoa(c.seed), func(t *testing.T) {
			l, err := Find(c.lesson)
			if err != nil {
				t.Fatal(err)
			}
			d, err := Make(l, StudentSeed(c.lesson, 7, c.seed))
			if err != nil {
				t.Fatal(err)
			}
			b := debriefOf(t, d)
			for _, a := range falseAlarms(d, b, c.seed) {
				t.Error(a)
			}
			if kinds := kindsOf(b); slices.Contains(kinds, "dead-valve") || slices.Contains(kinds, "known-gas-mismatch") {
				t.Errorf("found %v", kinds)
			}
		})
	}
}
