package gas

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseMix(t *testing.T) {
	tests := []struct {
		text string
		want Mix
		out  string
	}{
		{"18/45", Mix{0.18, 0.45}, "18/45"},
		{" 18 / 45 ", Mix{0.18, 0.45}, "18/45"},
		{"air", Mix{0.21, 0}, "21/0"},
		{" Air ", Mix{0.21, 0}, "21/0"},
		{"7/70", Mix{0.07, 0.70}, "7/70"},
		{"100/0", Mix{1, 0}, "100/0"},
		{"17.5/42.25", Mix{0.175, 0.4225}, "17.5/42.25"},
		{"50/50", Mix{0.5, 0.5}, "50/50"},
		{"2.1e1/0", Mix{0.21, 0}, "21/0"},
	}
	for _, tt := range tests {
		got, err := ParseMix(tt.text)
		if err != nil || math.Abs(got.O2-tt.want.O2) > 1e-12 || math.Abs(got.He-tt.want.He) > 1e-12 {
			t.Errorf("ParseMix(%q) = %v, %v, want %v", tt.text, got, err, tt.want)
		}
		if got.String() != tt.out {
			t.Errorf("ParseMix(%q).String() = %q, want %q", tt.text, got, tt.out)
		}
	}
}

func TestParseMixErrors(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "slash"},
		{"18", "slash"},
		{"EAN32", "slash"},
		{"/", "the oxygen as a plain decimal"},
		{"x/45", "the oxygen as a plain decimal"},
		{"18/", "the helium as a plain decimal"},
		{"18/45/37", "the helium as a plain decimal"},
		{"18/NaN", "the helium as a plain decimal"},
		{"Inf/0", "the oxygen as a plain decimal"},
		{"0x10/0", "the oxygen as a plain decimal"},
		{"1_8/0", "the oxygen as a plain decimal"},
		{"18,5/45", "the oxygen as a plain decimal"},
		{"-1/45", "the oxygen as a plain decimal"},
		{"101/0", "the oxygen as a plain decimal"},
		{"18/1e3", "the helium as a plain decimal"},
		{"0/50", "oxygen above 0 %"},
		{"60/45", "sum to 100 %"},
	}
	for _, tt := range tests {
		m, err := ParseMix(tt.text)
		if err == nil {
			t.Errorf("ParseMix(%q) = %v, want an error", tt.text, m)
			continue
		}
		if m != (Mix{}) {
			t.Errorf("ParseMix(%q) gives %v beside its error", tt.text, m)
		}
		for _, part := range []string{tt.says, `as in "18/45"`, `"air"`} {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("ParseMix(%q): %q does not say %q", tt.text, err, part)
			}
		}
	}
}

func TestMixRest(t *testing.T) {
	near(t, "N2 of 18/45", Mix{0.18, 0.45}.N2(), 0.37, 1e-12)
	near(t, "N2 of 21/79 He", Mix{0.21, 0.79}.N2(), 0, 0)
	near(t, "N2 of 30/70 He", Mix{0.3, 0.7}.N2(), 0, 0)
	// Worked out apart: R of 10/50, 18/45, 15/55.
	near(t, "R of 10/50", Mix{0.10, 0.50}.N2PerHe(), 0.8000, 5e-5)
	near(t, "R of 18/45", Mix{0.18, 0.45}.N2PerHe(), 0.8222, 5e-5)
	near(t, "R of 15/55", Mix{0.15, 0.55}.N2PerHe(), 0.5455, 5e-5)
	if r := Air().N2PerHe(); !math.IsNaN(r) {
		t.Errorf("R of air = %g, want NaN", r)
	}
}

func TestMixTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o2 := rapid.IntRange(1, 100_000).Draw(t, "O2 in thousandths of a per cent")
		he := rapid.IntRange(0, 100_000-o2).Draw(t, "He in thousandths of a per cent")
		m := Mix{O2: float64(o2) / 1e5, He: float64(he) / 1e5}
		got, err := ParseMix(m.String())
		if err != nil || math.Abs(got.O2-m.O2) > 1e-9 || math.Abs(got.He-m.He) > 1e-9 {
			t.Fatalf("%v came back as %v, %v", m, got, err)
		}
	})
}

func FuzzParseMix(f *testing.F) {
	for _, s := range []string{"18/45", "air", "", "/", "1e400/0", "\x00/1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMix(s)
		if err != nil {
			return
		}
		if !(m.O2 > 0 && m.He >= 0 && m.N2() >= -1e-9 && m.N2() < 1) {
			t.Errorf("ParseMix(%q) = %+v, which is no gas", s, m)
		}
	})
}
