package main

import (
	"testing"
	"time"
)

// FuzzStarts: whatever is given as --start, what is accepted is a time for a log
// that is there, and nothing panics.
func FuzzStarts(f *testing.F) {
	for _, s := range []string{"a.csv=2026-07-04T10:35:00+02:00", "x/a.csv=2026-07-04T10:35:00Z", "a=b.csv=2026-07-04T10:35:00Z", "a.csv", "=", "a.csv=", "=2026-07-04T10:35:00Z", "a.csv=2026-13-04T10:35:00Z"} {
		f.Add(s)
	}
	logs := []string{"a.csv", "x/a.csv", "y/a=b.csv", "-"}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := startsOf([]string{s}, logs)
		if err == nil && len(got) != 1 {
			t.Fatalf("%q: %v", s, got)
		}
		for i, start := range got {
			if _, err := time.Parse(time.RFC3339, start); err != nil || i < 0 || i >= len(logs) {
				t.Fatalf("%q: log %d, %q", s, i, start)
			}
		}
	})
}

// TestStartsByName: a path names one log, a bare name only where it is alone.
func TestStartsByName(t *testing.T) {
	const when = "2026-07-04T10:35:00Z"
	logs := []string{"x/a.csv", "y/a.csv", "y/b=c.csv"}
	for arg, want := range map[string]int{"x/a.csv=" + when: 0, "y/../y/a.csv=" + when: 1, "b=c.csv=" + when: 2} {
		if got, err := startsOf([]string{arg}, logs); err != nil || got[want] != when {
			t.Errorf("%s: %v, %v", arg, got, err)
		}
	}
	if _, err := startsOf([]string{"a.csv=" + when}, logs); err == nil {
		t.Error("a name of two logs is accepted")
	}
}
