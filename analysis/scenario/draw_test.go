package scenario

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Every kind can be drawn and run with several seeds; its faults fall inside
// the dive and are those that the name says.
func TestEveryKindRuns(t *testing.T) {
	for _, k := range Kinds() {
		if k.Line == "" {
			t.Errorf("%s has no line", k.Name)
		}
		for seed := uint64(0); seed < 3; seed++ {
			s, err := Draw(k.Name, seed)
			if err != nil {
				t.Fatal(err)
			}
			_, truth, err := Run(s)
			if err != nil {
				t.Fatalf("%s seed %d: %v", k.Name, seed, err)
			}
			endS := truth.Rows[len(truth.Rows)-1].TimeS
			for _, f := range truth.Facts.Faults {
				if f.FromS >= endS {
					t.Errorf("%s seed %d: %s from %g s in a dive of %g s", k.Name, seed, f.Kind, f.FromS, endS)
				}
			}
		}
	}
}

func TestDrawNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		kind string
		want []string
	}{
		{"plain/slow", []string{Slow}},
		{"all-slow", []string{Slow, Slow, Slow}},
		{"plain/limited-pair", []string{Limited, Limited}},
		{"difficult/slow+gain", []string{Slow, Gain}},
		{"difficult/gain-pair", nil},
		{"hard-healthy/gaps", nil},
		{"wide/drift+dead", []string{Drift, ValveDead}},
	} {
		s, err := Draw(c.kind, 5)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range s.Faults {
			got = append(got, f.Kind)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.kind, diff)
		}
	}
}

// Consecutive seeds go through a family's list.
func TestDrawTakesTurns(t *testing.T) {
	seen := map[string]bool{}
	for seed := range uint64(len(plainScenarios())) {
		s, err := Draw("plain", seed)
		if err != nil {
			t.Fatal(err)
		}
		seen[s.Name] = true
	}
	if len(seen) != len(plainScenarios()) {
		t.Errorf("%d scenarios in as many seeds as there are; want %d", len(seen), len(plainScenarios()))
	}
}

func TestDrawRefusesUnknownKind(t *testing.T) {
	for _, kind := range []string{"", "plane", "plain/fast"} {
		_, err := Draw(kind, 1)
		if err == nil || !strings.Contains(err.Error(), "hard-healthy") {
			t.Errorf("%q: error is %v; want one that lists the kinds", kind, err)
		}
	}
}

// A leak that the diver always outbreathes is marked as undecidable, and only
// such a one.
func TestWeakLeakIsUndecidable(t *testing.T) {
	both := map[bool]int{}
	for seed := range uint64(40) {
		s, err := Draw("difficult/valve-leak", seed)
		if err != nil {
			t.Fatal(err)
		}
		both[s.Expect.UndecidableLeak]++
		if rate := s.Faults[0].RateLMin; rate > 2.6 && s.Expect.UndecidableLeak {
			t.Errorf("seed %d: a leak of %.1f L/min, more than any VO2 drawn, is marked undecidable", seed, rate)
		}
	}
	if both[true] == 0 || both[false] == 0 {
		t.Errorf("of 40 leaks %d are undecidable; want some, not all", both[true])
	}
}
