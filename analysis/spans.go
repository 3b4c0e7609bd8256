package analysis

import (
	"math"
	"sort"
)

// tol is the rounding allowance of every comparison with a limit, in bar.
const tol = 1e-6

// span is a stretch of rows [from, to] and of time; the last row's value holds
// until the next row, so toS lies one interval after row to, except before a gap.
type span struct {
	from, to   int
	fromS, toS float64
}

func (s span) seconds() float64 { return s.toS - s.fromS }

// spansWhere returns the maximal stretches in which hold(i) is true. A gap ends a
// stretch: what happened in it is not known.
func spansWhere(tS []float64, gapAfter []bool, hold func(int) bool) []span {
	var out []span
	for i := 0; i < len(tS); {
		if !hold(i) {
			i++
			continue
		}
		j := i
		for j+1 < len(tS) && !gapAfter[j] && hold(j+1) {
			j++
		}
		out = append(out, span{from: i, to: j, fromS: tS[i], toS: tS[j] + rowSeconds(tS, gapAfter, j)})
		i = j + 1
	}
	return out
}

// rowSeconds is how long row i holds: until the next row; the last row, and the
// row before a gap, as long as the row before it.
func rowSeconds(tS []float64, gapAfter []bool, i int) float64 {
	if i+1 < len(tS) && !gapAfter[i] {
		return tS[i+1] - tS[i]
	}
	if i > 0 && !gapAfter[i-1] {
		return tS[i] - tS[i-1]
	}
	return 0
}

// lasting keeps the spans of at least minS seconds.
func lasting(ss []span, minS float64) []span {
	var out []span
	for _, s := range ss {
		if s.seconds() >= minS-1e-9 {
			out = append(out, s)
		}
	}
	return out
}

// merge joins spans that lie closer than gapS: one event is one finding.
func merge(ss []span, gapS float64) []span {
	var out []span
	for _, s := range ss {
		if n := len(out); n > 0 && s.fromS-out[n-1].toS <= gapS {
			out[n-1].to, out[n-1].toS = s.to, s.toS
			continue
		}
		out = append(out, s)
	}
	return out
}

// totalSeconds adds up spans.
func totalSeconds(ss []span) float64 {
	var t float64
	for _, s := range ss {
		t += s.seconds()
	}
	return t
}

// extreme returns the row in [s.from, s.to] where v is largest (sign +1) or
// smallest (sign -1), or -1 where v holds no number there.
func extreme(v []float64, s span, sign float64) int {
	best := -1
	for i := s.from; i <= s.to; i++ {
		if math.IsNaN(v[i]) {
			continue
		}
		if best < 0 || sign*v[i] > sign*v[best] {
			best = i
		}
	}
	return best
}

// at is the value of v at row i with its moment.
func at(v, tS []float64, i int, unit string) Value {
	if i < 0 {
		return noValue(unit)
	}
	return Value{Value: Float(v[i]), Unit: unit, AtS: Float(tS[i])}
}

func noValue(unit string) Value {
	return Value{Value: unknown, Unit: unit, AtS: unknown}
}

// constant is a figure without a moment, such as a limit.
func constant(v float64, unit string) Value {
	return Value{Value: Float(v), Unit: unit, AtS: unknown}
}

var unknown = Float(math.NaN())

func sortSpans(ss []span) {
	sort.Slice(ss, func(i, j int) bool {
		if ss[i].from != ss[j].from {
			return ss[i].from < ss[j].from
		}
		return ss[i].to < ss[j].to
	})
}
