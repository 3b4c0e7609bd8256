package report

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{fixed(1.25, 1), "1.2"},
		{fixed(-0.04, 1), "0.0"},
		{fixed(-1.5, 1), "−1.5"},
		{fixed(analysis.Float(nan), 2), "–"},
		{fixed(analysis.Float(math.Inf(1)), 2), "–"},
		{bar(1.3), "1.30"},
		{bar(1.604), "1.604"},
		{bar(1.6), "1.60"},
		{bar(0.0004), "0.00"},
		{signed(0.021), "+0.021"},
		{signed(-0.1), "−0.10"},
		{signedTo(0.04, 3), "+0.040"},
		{signedTo(-0.04, 3), "−0.040"},
		{signedTo(0.0004, 3), "0.000"},
		{signedTo(analysis.Float(nan), 3), "–"},
		{share(1), "100 %"},
		{share(0.9999), "over 99 %"},
		{share(0.004), "under 1 %"},
		{share(0), "0 %"},
		{share(0.83), "83 %"},
		{share(analysis.Float(nan)), "–"},
		{percent(9.94), "9.9"},
		{percent(9.96), "10"},
		{percent(34.2), "34"},
		{seconds(12), "12"},
		{seconds(12.5), "12.5"},
		{seconds(0.125), "0.125"},
		{quantity(1.2, "bar"), "1.20 bar"},
		{quantity(1.2345, "L/min"), "1.23 L/min"},
		{quantity(-0.083, "share of the usual response"), "−8.3 % of the usual response"},
		{quantity(123456, ""), "123456"},
		{quantity(analysis.Float(nan), "L"), "not known"},
		{significant(0.0123456, 3), "0.0123"},
		{significant(0, 3), "0"},
		{between(30.1, 38.7, percent), "30 to 39"},
		{between(30.1, 30.2, percent), "30"},
		{plural(1, "row", "rows"), "1 row"},
		{plural(0, "row", "rows"), "0 rows"},
		{thousands(432000), "432\u202f000"},
		{thousands(4200), "4200"},
		{thousands(-12345), "-12\u202f345"},
		{cnsText(34.2, true), "≥ 34 %"},
		{cnsText(analysis.Float(nan), true), "not known"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestClock(t *testing.T) {
	c := newClock(36000)
	for _, x := range []struct{ got, want string }{
		{c.since(36000), "0:00:00"},
		{c.since(37234.9), "0:20:34"},
		{c.since(35990), "−0:00:10"},
		{c.at(37234), "0:20:34 (37234 s)"},
		{c.at(analysis.Float(nan)), "not known"},
		{c.span(36000, 36026), "0:00:00 to 0:00:26 (36000 to 36026 s; lasting 26 s)"},
		{c.span(36010, 36010), "0:00:10 (36010 s)"},
		{c.span(36010, analysis.Float(nan)), "from 0:00:10 (36010 s)"},
		{c.span(analysis.Float(nan), analysis.Float(nan)), "time not known"},
		{newClock(analysis.Float(nan)).since(90061), "25:01:01"},
		{duration(0), "0 s"},
		{duration(99.4), "99.4 s"},
		{duration(100), "1 min 40 s"},
		{duration(3600), "1 h"},
		{duration(3725), "1 h 2 min"},
		{duration(3775), "1 h 3 min"},
		{duration(7190), "2 h"},
		{duration(analysis.Float(nan)), "not known"},
	} {
		if x.got != x.want {
			t.Errorf("got %q, want %q", x.got, x.want)
		}
	}
}

// appendFixed is within half a unit of its last digit, and has no idle zeros.
func TestAppendFixed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		d := rapid.IntRange(0, 6).Draw(t, "decimals")
		s := string(appendFixed(nil, v, d))
		got, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-v) > 0.5*math.Pow(10, float64(-d))+1e-9 {
			t.Fatalf("%v with %d decimals became %s", v, d, s)
		}
		if s == "-0" || len(s) > 1 && s[len(s)-1] == '.' {
			t.Fatalf("%v became %s", v, s)
		}
	})
	for v, want := range map[float64]string{0: "0", -0.0000001: "0", 1.5: "1.5", -1.05: "-1.05", 100: "100", 1e15: "1000000000000000"} {
		if got := string(appendFixed(nil, v, 6)); got != want {
			t.Errorf("%v: got %s, want %s", v, got, want)
		}
	}
}
