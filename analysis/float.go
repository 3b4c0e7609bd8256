package analysis

import (
	"math"
	"strconv"
)

// Float is a number in a result. NaN and the infinities stand for "unknown" and
// become null in JSON, never 0. It is written with nine significant digits, so
// that the same log gives the same text on every architecture.
type Float float64

// MarshalJSON writes the number, or null where it is not known.
func (f Float) MarshalJSON() ([]byte, error) {
	v := float64(f)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return AppendFloat(nil, v), nil
}

// UnmarshalJSON reads a number; null becomes NaN.
func (f *Float) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*f = Float(math.NaN())
		return nil
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		return err
	}
	*f = Float(v)
	return nil
}

// Known tells whether f is a number.
func (f Float) Known() bool { return !math.IsNaN(float64(f)) && !math.IsInf(float64(f), 0) }

// AppendFloat appends v with nine significant digits, shortest form, no
// exponent for the sizes that occur in a log.
func AppendFloat(b []byte, v float64) []byte {
	if v == 0 {
		return append(b, '0') // no negative zero
	}
	if a := math.Abs(v); a < 1e-9 || a >= 1e15 {
		return strconv.AppendFloat(b, v, 'g', 9, 64)
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 8, 64), 64)
	if err != nil {
		r = v
	}
	return strconv.AppendFloat(b, r, 'f', -1, 64)
}
