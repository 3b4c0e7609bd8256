package hydro

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis/fit"
	"afterloop/analysis/gas"
)

var nan = math.NaN()

// Interval is a figure with its 95 % interval; NaN with a Reason where it can't be told.
type Interval struct {
	Value, Low, High float64
	Reason           string
}

func unknown(reason string) Interval { return Interval{nan, nan, nan, reason} }

// Relation is y = Offset + Scale x between two columns.
type Relation struct {
	Offset, Scale Interval
	// RangeX is the span of x over which rows held both.
	RangeX float64
	// Points is the number of bins that the line rests on.
	Points int
}

// Relate fits a line through the medians of y in bins of x:
//
//	y = a + b x, by least squares over the bins, each counting once
//
// so that the hours at one depth weigh no more than the minutes at another, and
// rows that follow one another are not taken for independent ones. The interval is
// Student's t on the scatter of the bins, widened by the rounding of both columns
// (steps stepX and stepY) over the span. leastRange is the span of x below which no
// scale is given. Slices have one element per row.
func Relate(x, y []float64, stepX, stepY, leastRange float64, p Params) Relation {
	if len(x) != len(y) {
		panic("hydro: columns of unequal length")
	}
	lo, hi := common(x, y)
	r := Relation{RangeX: math.Max(0, hi-lo)}
	if !(hi > lo) || r.RangeX < leastRange {
		r.Offset = unknown("the rows that hold both cover too small a range")
		r.Scale = r.Offset
		if math.IsInf(lo, 1) {
			r.RangeX, r.Offset.Reason = 0, "no row holds both"
			r.Scale = r.Offset
		}
		return r
	}
	bx, by := binMedians(x, y, lo, hi, p.Bins)
	if r.Points = len(bx); r.Points < p.LeastBins {
		r.Offset = unknown(fmt.Sprintf("readings at %d of %d steps of the range only", r.Points, p.Bins))
		r.Scale = r.Offset
		return r
	}
	l := fit.LeastSquares(bx, by, nil, false)
	t := fit.StudentT(0.95, l.DF)
	rounding := (stepY + math.Abs(l.Slope)*stepX) / math.Sqrt(12)
	half := math.Hypot(t*l.SlopeSE, 2*rounding/r.RangeX)
	r.Scale = Interval{Value: l.Slope, Low: l.Slope - half, High: l.Slope + half}
	half = math.Hypot(t*l.InterceptSE, rounding)
	r.Offset = Interval{Value: l.Intercept, Low: l.Intercept - half, High: l.Intercept + half}
	return r
}

// common is the span of x over the rows that hold x and y.
func common(x, y []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, v := range x {
		if !math.IsNaN(v) && !math.IsNaN(y[i]) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	return lo, hi
}

// binMedians cuts lo to hi into n steps and takes the medians of x and y in each that holds any.
func binMedians(x, y []float64, lo, hi float64, n int) (bx, by []float64) {
	xs, ys := make([][]float64, n), make([][]float64, n)
	for i, v := range x {
		if math.IsNaN(v) || math.IsNaN(y[i]) {
			continue
		}
		k := min(int(float64(n)*(v-lo)/(hi-lo)), n-1)
		xs[k], ys[k] = append(xs[k], v), append(ys[k], y[i])
	}
	for k := range xs {
		if len(xs[k]) > 0 {
			bx, by = append(bx, medianInPlace(xs[k])), append(by, medianInPlace(ys[k]))
		}
	}
	return bx, by
}

// medianInPlace is the median of v, which it sorts; NaN without any.
func medianInPlace(v []float64) float64 {
	n := len(v)
	if n == 0 {
		return nan
	}
	slices.Sort(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}

// ImpliedDensity is the water density in kg/m3 with which depth follows from
// pressure, as the instrument that recorded both must have assumed it:
//
//	P = a + b z,  rho = 1e5 b / g
//
// with a as the surface pressure that fits. It is the density that was assumed
// when pressure was turned into depth, not that of the water.
func ImpliedDensity(depthM, ambientBar []float64, p Params) (density, surface Interval) {
	perBar := 1e5 / (gas.SeaWater * gas.StandardGravity) // metres to the bar, for the span alone
	r := Relate(depthM, ambientBar, Step(depthM), Step(ambientBar), p.LeastRangeBar*perBar, p)
	f := 1e5 / gas.StandardGravity
	s := r.Scale
	return Interval{s.Value * f, s.Low * f, s.High * f, s.Reason}, r.Offset
}
