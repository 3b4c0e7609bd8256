package supply

import "math"

// Range is a figure with its interval, or NaN with the reason why there is none.
type Range struct {
	Value, Low, High float64
	Reason           string
}

// unknown is a figure that is not known, with the reason.
func unknown(reason string) Range {
	return Range{math.NaN(), math.NaN(), math.NaN(), reason}
}

// Known tells whether both ends are numbers.
func (r Range) Known() bool { return !math.IsNaN(r.Low) && !math.IsNaN(r.High) }

// half is half the width of the interval.
func (r Range) half() float64 { return (r.High - r.Low) / 2 }

// about is a value give or take.
func about(v, half float64) Range { return Range{Value: v, Low: v - half, High: v + half} }

// Verdict is how two accounts of the same oxygen compare.
type Verdict uint8

// The three verdicts.
const (
	CantTell Verdict = iota
	Agree
	Apart
)

func (v Verdict) String() string { return [...]string{"cant_tell", "agree", "apart"}[v] }

// Compare sets two accounts side by side: apart where the intervals exclude each
// other; where they overlap they agree, unless one is unknown or so wide (its half
// above share of the larger value) that it would agree with almost anything.
func Compare(a, b Range, share float64) Verdict {
	switch {
	case !a.Known() || !b.Known():
		return CantTell
	case a.Low > b.High || b.Low > a.High:
		return Apart
	case math.Max(a.half(), b.half()) > share*math.Max(math.Abs(a.Value), math.Abs(b.Value)):
		return CantTell
	}
	return Agree
}
