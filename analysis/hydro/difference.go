package hydro

import (
	"math"
)

// Difference is how far one column lies from another.
type Difference struct {
	// Median of the differences and their spread, 1.4826 times the median of the
	// distances from it: a standard deviation where they are normal.
	Median, Spread float64
	// Worst is the difference farthest from zero, at row WorstRow (-1 without any).
	Worst    float64
	WorstRow int
	Rows     int
}

// Compare describes d row by row: of a column of differences, NaN where one of the
// two was not recorded.
func Compare(d []float64) Difference {
	out := Difference{Median: nan, Spread: nan, Worst: nan, WorstRow: -1}
	var v []float64
	for i, x := range d {
		if math.IsNaN(x) {
			continue
		}
		v = append(v, x)
		if out.WorstRow < 0 || math.Abs(x) > math.Abs(out.Worst) {
			out.Worst, out.WorstRow = x, i
		}
	}
	if out.Rows = len(v); out.Rows == 0 {
		return out
	}
	out.Median = medianInPlace(v)
	for i := range v {
		v[i] = math.Abs(v[i] - out.Median)
	}
	out.Spread = 1.4826 * medianInPlace(v)
	return out
}

// steps are the roundings that a column may show, coarsest first.
var steps = [...]float64{1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0002, 0.0001}

// Step is the coarsest of the usual roundings (1, 0.5, 0.2, 0.1 ... 0.0001) of
// which all values are multiples, within 1e-7 (that much floating-point work may
// leave); 0 where there is none, or fewer than two different values.
func Step(v []float64) float64 {
	first, varied := nan, false
	k := 0
	for _, x := range v {
		if math.IsNaN(x) {
			continue
		}
		if math.IsNaN(first) {
			first = x
		}
		varied = varied || x != first
		for k < len(steps) && math.Abs(x-steps[k]*math.Round(x/steps[k])) > 1e-7 {
			k++
		}
		if k == len(steps) {
			return 0
		}
	}
	if !varied {
		return 0
	}
	return steps[k]
}

// SaturatesAt is the reading at which column v stands still while other goes on:
// its highest reading, if other moved by more than p.SaturatedRangeBar, and what the
// rounding of v allows, while v stood within [NearEnd] of it. NaN where it does not, or where the two
// held no rows in common.
func SaturatesAt(v, other []float64, p Params) float64 {
	top := math.Inf(-1)
	for i, x := range v {
		if x > top && !math.IsNaN(other[i]) {
			top = x
		}
	}
	if math.IsInf(top, -1) {
		return nan
	}
	near := NearEnd(v)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, x := range v {
		if x >= top-near && !math.IsNaN(other[i]) {
			lo, hi = math.Min(lo, other[i]), math.Max(hi, other[i])
		}
	}
	if hi-lo <= p.SaturatedRangeBar+2*near { // coarse rounding alone lets the other move by that
		return nan
	}
	return top
}

// NearEnd is how near to its highest reading a column counts as standing there: one
// and a half of its roundings.
func NearEnd(v []float64) float64 { return math.Max(Step(v), 1e-4) * 1.5 }

// Pair is what two pressure sensors say of each other: b = Offset + Scale a.
type Pair struct {
	Relation
	Difference // b - a, over the rows in which neither is saturated
	// SaturatedA and SaturatedB are the readings at which one stood still, NaN if not.
	SaturatedA, SaturatedB float64
	StepA, StepB           float64
	// DifferenceBar is b - a row by row, NaN where one is not recorded or saturated.
	DifferenceBar []float64
}

// ComparePair compares two sensors. Rows in which one of them stands at the end of
// its range are left out of the line and of the difference.
func ComparePair(a, b []float64, p Params) Pair {
	if len(a) != len(b) {
		panic("hydro: columns of unequal length")
	}
	r := Pair{SaturatedA: SaturatesAt(a, b, p), SaturatedB: SaturatesAt(b, a, p), StepA: Step(a), StepB: Step(b)}
	below := func(v []float64, saturated float64) []float64 {
		if math.IsNaN(saturated) {
			return v
		}
		out, near := make([]float64, len(v)), NearEnd(v)
		for i, x := range v {
			if out[i] = x; x >= saturated-near {
				out[i] = nan
			}
		}
		return out
	}
	x, y := below(a, r.SaturatedA), below(b, r.SaturatedB)
	r.DifferenceBar = make([]float64, len(a))
	for i := range a {
		r.DifferenceBar[i] = y[i] - x[i]
	}
	r.Relation = Relate(x, y, r.StepA, r.StepB, p.LeastRangeBar, p)
	r.Difference = Compare(r.DifferenceBar)
	return r
}
