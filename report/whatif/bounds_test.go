package whatif

import "testing"

// TestLowerBounds: a range of lower bounds says so of each figure.
func TestLowerBounds(t *testing.T) {
	for in, want := range map[string]string{"33.5 [30.5 to 35.7]": "≥ 33.5 [≥ 30.5 to ≥ 35.7]", "56.7": "≥ 56.7", "–": "–"} {
		if got := lowerBounds(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
