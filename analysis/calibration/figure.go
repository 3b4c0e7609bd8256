package calibration

import (
	"math"
	"strconv"
)

// Figure is a number of the table. NaN stands for "not known" and is null in
// JSON, never 0. Four significant digits are written: more than the number of
// dives can carry, and few enough to compare one run with the next.
type Figure float64

// Known tells whether f is a number.
func (f Figure) Known() bool { return !math.IsNaN(float64(f)) && !math.IsInf(float64(f), 0) }

// MarshalJSON writes four significant digits, or null where f is not known.
func (f Figure) MarshalJSON() ([]byte, error) {
	if !f.Known() {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, float64(f.Rounded()), 'f', -1, 64), nil
}

// UnmarshalJSON reads a number; null becomes NaN.
func (f *Figure) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*f = Figure(math.NaN())
		return nil
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		return err
	}
	*f = Figure(v)
	return nil
}

// Rounded is f to four significant digits; NaN and the infinities stay.
func (f Figure) Rounded() Figure {
	if !f.Known() || f == 0 {
		return f
	}
	v, err := strconv.ParseFloat(strconv.FormatFloat(float64(f), 'e', 3, 64), 64)
	if err != nil {
		return f
	}
	return Figure(v)
}
