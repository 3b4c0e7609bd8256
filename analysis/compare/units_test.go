package compare

import "testing"

func TestDifferenceUnit(t *testing.T) {
	for in, want := range map[string]string{"%": "percentage points", "1/min": "per min", "1/h": "per h", "bar": "bar", "": ""} {
		if got := differenceUnit(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

func TestSeveral(t *testing.T) {
	for _, c := range []struct {
		s    FindingState
		want string
	}{
		{FindingState{Count: 1, Parts: []string{"cell 1"}}, ""},
		{FindingState{Count: 3}, "3 times; "},
		{FindingState{Count: 2, Parts: []string{"cell 2", "cell 3"}}, "2 times, of cell 2 and cell 3; "},
	} {
		if got := several(c.s); got != c.want {
			t.Errorf("%+v: %q, want %q", c.s, got, c.want)
		}
	}
}
