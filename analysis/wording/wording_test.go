package wording

import (
	"math"
	"testing"
)

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Figure(1.005, 2), "1.00"}, {Figure(-0.25, 2), "−0.25"}, {Figure(-0.004, 2), "0.00"}, {Figure(-0.4, 0), "0"}, {Figure(12, 0), "12"},
		{Figure(math.NaN(), 2), "–"}, {Figure(math.Inf(-1), 2), "–"},
		{Clock(0), "0:00:00"}, {Clock(59.5), "0:01:00"}, {Clock(3599.4), "0:59:59"}, {Clock(36000), "10:00:00"}, {Clock(-61), "-0:01:01"}, {Clock(-0.4), "0:00:00"},
		{Count(1, "log", "logs"), "1 log"}, {Count(0, "log", "logs"), "0 logs"}, {Count(12000, "log", "logs"), "12000 logs"},
		{And(nil), ""}, {And([]string{"a"}), "a"}, {And([]string{"a", "b"}), "a and b"}, {And([]string{"a", "b", "c"}), "a, b and c"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
