package days

import (
	"math"
	"testing"
)

// A lower bound never stands beside a range below it as if it were one of the whole.
func TestBoundText(t *testing.T) {
	s, none := &series{}, math.NaN()
	for _, c := range []struct {
		v         Figure
		cns, dose string
	}{
		{Figure{40, 33, 40, false}, "40 % (33 to 40 %)", "40 (33 to 40)"},
		{Figure{0, 0, 0, false}, "0 %", "0"},
		{Figure{40, 33, 40, true}, "≥ 40 % (other sources that may have been breathed: from 33 %)", "≥ 40 (other sources that may have been breathed: from 33)"},
		{Figure{40, 40, 40, true}, "≥ 40 %", "≥ 40"},
		{Figure{40, 40, 52, true}, "≥ 40 % (with its gaps up to ≥ 52 %)", "≥ 40 (with its gaps up to ≥ 52)"},
		{Figure{40, 33, f(none), true}, "≥ 40 % (other sources that may have been breathed: from 33 %; nothing bounds it from above)", "≥ 40 (other sources that may have been breathed: from 33; nothing bounds it from above)"},
	} {
		if got := s.figureText(c.v); got != c.cns {
			t.Errorf("%+v: %q, want %q", c.v, got, c.cns)
		}
		if got := otuText(c.v); got != c.dose {
			t.Errorf("%+v: %q, want %q", c.v, got, c.dose)
		}
	}
}
