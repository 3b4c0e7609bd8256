package halves

import (
	"math"
	"sort"
)

// Difference is how the second of two series lies by the first.
type Difference struct {
	// ComparedS is the time in which both were there. All else is NaN, and WorstRow
	// -1, where that is none.
	ComparedS float64
	// Median is that of b - a, P95 the 95th percentile of its size, Worst the
	// difference of the largest size, on row WorstRow; medians and percentiles weigh
	// each row by the time it holds.
	Median, P95, Worst float64
	WorstRow           int
	// OverS is the time with a size above the limit (and 1e-6).
	OverS float64
}

// Compare compares two series row by row; holdS is how long each row holds, in
// seconds. It panics where lengths differ.
func Compare(a, b, holdS []float64, limit float64) Difference {
	if len(a) != len(b) || len(a) != len(holdS) {
		panic("halves: series differ in length")
	}
	const rounding = 1e-6
	out := Difference{Worst: math.NaN(), WorstRow: -1}
	var d, size []weighed
	for i := range a {
		x := b[i] - a[i]
		if math.IsNaN(x) {
			continue
		}
		d, size = append(d, weighed{x, holdS[i]}), append(size, weighed{math.Abs(x), holdS[i]})
		out.ComparedS += holdS[i]
		if math.Abs(x) > limit+rounding {
			out.OverS += holdS[i]
		}
		if out.WorstRow < 0 || math.Abs(x) > math.Abs(out.Worst) {
			out.Worst, out.WorstRow = x, i
		}
	}
	out.Median, out.P95 = quantileOf(d, 0.5), quantileOf(size, 0.95)
	return out
}

type weighed struct{ v, w float64 }

// quantileOf is the least value up to which the share q of the weight lies.
func quantileOf(x []weighed, q float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	sort.Slice(x, func(i, j int) bool { return x[i].v < x[j].v })
	total, sum := 0.0, 0.0
	for _, e := range x {
		total += e.w
	}
	for _, e := range x {
		if sum += e.w; sum >= q*total {
			return e.v
		}
	}
	return x[len(x)-1].v
}
