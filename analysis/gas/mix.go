package gas

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Mix is a breathing gas as fractions (0 to 1) of dry gas. The rest is
// nitrogen; argon is counted with it, as the trade does.
type Mix struct {
	O2, He float64
}

// Air is what "air" stands for: 21 % oxygen, the rest counted as nitrogen.
func Air() Mix { return Mix{O2: 0.21} }

// N2 is the fraction of nitrogen, 1 - O2 - He; a rest that is only rounding is 0.
func (m Mix) N2() float64 {
	n2 := 1 - m.O2 - m.He
	if math.Abs(n2) < 1e-12 {
		return 0
	}
	return n2
}

// N2PerHe is R = N2/He, which oxygen added to a loop or used from it leaves as
// it is. NaN without helium.
func (m Mix) N2PerHe() float64 {
	if !(m.He > 0) {
		return math.NaN()
	}
	return m.N2() / m.He
}

// String is the mix in per cent, "O2/He", to a thousandth of a per cent.
func (m Mix) String() string { return percent(m.O2) + "/" + percent(m.He) }

func percent(fraction float64) string {
	return strconv.FormatFloat(math.Round(fraction*1e5)/1e3, 'f', -1, 64)
}

// ParseMix reads "O2/He" in per cent, as in "18/45", or "air" for 21/0. Spaces
// round the numbers are tolerated, and so is the case of "air". The error says
// what would be right.
func ParseMix(s string) (Mix, error) {
	t := strings.TrimSpace(s)
	if strings.EqualFold(t, "air") {
		return Air(), nil
	}
	left, right, ok := strings.Cut(t, "/")
	if !ok {
		return Mix{}, mixError(s, `two numbers with a slash between them`)
	}
	o2, err := parsePercent(left)
	if err != nil {
		return Mix{}, mixError(s, "the oxygen as a plain decimal from 0 to 100")
	}
	he, err := parsePercent(right)
	if err != nil {
		return Mix{}, mixError(s, "the helium as a plain decimal from 0 to 100")
	}
	return checkedMix(s, o2, he)
}

// checkedMix turns per cent into a mix that can exist.
func checkedMix(s string, o2, he float64) (Mix, error) {
	if o2 == 0 {
		return Mix{}, mixError(s, "oxygen above 0 %")
	}
	// A sum over 100 by no more than the rounding of two decimals is 100.
	if o2+he > 100+1e-9 {
		return Mix{}, mixError(s, "oxygen and helium that sum to 100 % at most")
	}
	return Mix{O2: o2 / 100, He: he / 100}, nil
}

func mixError(s, want string) error {
	return fmt.Errorf(`gas: %q is not a gas: right would be "O2/He" in per cent, as in "18/45" or "32/0", or "air": %s`, s, want)
}

// parsePercent accepts what the log format calls a plain decimal, which leaves
// out NaN, Inf, hexadecimal and digit separators that strconv would take.
func parsePercent(s string) (float64, error) {
	s = strings.TrimSpace(s)
	if strings.Trim(s, "0123456789.eE+-") != "" {
		return 0, strconv.ErrSyntax
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, err
	}
	if v < 0 || v > 100 {
		return 0, strconv.ErrRange
	}
	return v, nil
}
