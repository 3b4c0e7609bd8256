package ingest

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestParseDecimalTakesPlainDecimalsOnly(t *testing.T) {
	good := []struct {
		text     string
		v        float64
		decimals int
	}{
		{"0", 0, 0}, {"1.28", 1.28, 2}, {"-0.5", -0.5, 1}, {"+3", 3, 0}, {".5", 0.5, 1}, {"5.", 5, 0},
		{"1e3", 1000, 0}, {"1.25e-2", 0.0125, 4}, {"12.50E+1", 125, 1}, {" 1.30\t", 1.3, 2}, {"007", 7, 0},
		{"123456789012345678", 123456789012345678, 0}, {"0.30000000000000004", 0.30000000000000004, 17}, {"1e-400", 0, 400},
	}
	for _, g := range good {
		v, decimals, ok := parseDecimal([]byte(g.text))
		if !ok || v != g.v || decimals != g.decimals {
			t.Errorf("parseDecimal(%q) = %v, %d, %v, want %v, %d", g.text, v, decimals, ok, g.v, g.decimals)
		}
	}
	for _, bad := range []string{"", " ", ".", "-", "+-1", "NaN", "nan", "Inf", "-inf", "infinity", "0x1F", "0x1p4", "1_000", "1,3",
		"1 3", "1.2.3", "e5", "1e", "1e+", "1e999", "--", "1.3bar", "½", "１", "1e1_0"} {
		if v, _, ok := parseDecimal([]byte(bad)); ok {
			t.Errorf("parseDecimal(%q) = %v, want refusal", bad, v)
		}
	}
}

// What the fast path makes of a number is what strconv, which rounds correctly, makes of it.
func TestParseDecimalIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?[0-9]{1,17}(\.[0-9]{0,17})?`).Draw(t, "text")
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, _, ok := parseDecimal([]byte(text)); !ok || got != want {
			t.Fatalf("parseDecimal(%q) = %v, want %v", text, got, want)
		}
	})
}

func TestNumbersAreWrittenAsTheyRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		got, _, ok := parseDecimal(appendNumber(nil, v))
		if !ok || got != v {
			t.Fatalf("%v is written %q and reads as %v", v, appendNumber(nil, v), got)
		}
	})
	if s := appendNumber(nil, Missing()); len(s) != 0 {
		t.Errorf("not recorded is written %q, want nothing", s)
	}
}

func TestRoundingStep(t *testing.T) {
	steps := func(step float64, n int) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(i+3) * step
		}
		return x
	}
	tests := []struct {
		name     string
		values   []float64
		decimals int
		want     float64
	}{
		{"hundredths", steps(0.01, 30), 2, 0.01},
		{"twentieths in two decimals", steps(0.05, 30), 2, 0.05},
		{"tenths padded to three decimals", steps(0.1, 30), 3, 0.1},
		{"four tenths in two decimals", []float64{0.7, 1.2, 1.3, 1.3, 1.4}, 2, 0.1},
		{"three tenths in two decimals may be chance", []float64{0.7, 1.2, 1.3, 1.3}, 2, 0.01},
		{"three twentieths in four decimals are none", []float64{0.75, 1.2, 1.35}, 4, 0.05},
		{"a constant proves nothing", []float64{1.3, 1.3, 1.3}, 2, 0.01},
		{"whole numbers", steps(1, 30), 0, 1},
		{"steps of three are no rounding", steps(3, 30), 0, 1},
		{"nothing recorded", []float64{nan, nan}, 2, 0},
		{"more decimals than are sure", steps(0.01, 30), 12, 0},
	}
	for _, tt := range tests {
		if got := roundingStep(tt.values, 1, tt.decimals); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: step %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestParseClock(t *testing.T) {
	good := map[string]float64{"0:00": 0, "12:03": 723, "75:30": 4530, "1:02:03": 3723, "23:59:59.5": 86399.5, " 5:00 ": 300, "100:00:00": 360000}
	for text, want := range good {
		if got, _, ok := parseClock([]byte(text)); !ok || got != want {
			t.Errorf("parseClock(%q) = %v, %v, want %v", text, got, ok, want)
		}
	}
	for _, bad := range []string{"", "12", ":", "1:", ":30", "1:60", "1:60:00", "-1:00", "1:2:3:4", "1e1:00", "1.5:00", "12:3e0", "a:b", "1:02:", "9999999999:00"} {
		if got, _, ok := parseClock([]byte(bad)); ok {
			t.Errorf("parseClock(%q) = %v, want refusal", bad, got)
		}
	}
}

func TestUnwrapTakesOnlyMidnight(t *testing.T) {
	tests := []struct{ tS, before, want float64 }{
		{3, 86398, 86403},             // midnight
		{10, 86400 + 5, 86410},        // the row after it
		{0, 3599, 0},                  // an hour is no day
		{86399, 86403, 86399},         // a row out of order at midnight
		{50000, 40000, 50000},         // forward
		{2, 2*86400 - 1, 2*86400 + 2}, // the second midnight
	}
	for _, tt := range tests {
		if got := unwrap(tt.tS, tt.before); got != tt.want {
			t.Errorf("unwrap(%v, %v) = %v, want %v", tt.tS, tt.before, got, tt.want)
		}
	}
}
