package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Robust is a straight line that up to 29 % of wild points cannot bend.
type Robust struct {
	Slope, Low, High float64 // slope with its interval
	Intercept        float64 // median of y - Slope x
	// N is the number of points, NEff the number of independent ones that they are worth.
	N    int
	NEff float64
	// ResidualMAD is 1.4826 times the median of |y - line|: a standard deviation
	// where the residuals are normal.
	ResidualMAD float64
}

// TheilSen fits a line by the median of the slopes of all pairs of points:
//
//	b = median (y_j - y_i)/(x_j - x_i),  a = median (y - b x)
//
// The interval of the given level is that of Sen (1968): the order statistics of
// the pairwise slopes at (n' -+ z sd)/2, sd that of Kendall's S with ties. group
// tells the stretches apart: only pairs within one stretch count, so that a jump
// between two of them bends nothing; nil is one stretch. Residuals that follow
// one another (a slow gauge, a drifting temperature) are worth fewer independent
// points, n (1-r)/(1+r) for a lag-1 correlation r > 0: with serial true the
// variance is stretched by n/NEff. Cost is quadratic: thin long records before.
// Fewer than 3 points, or one single x, give NaN.
func TheilSen(x, y []float64, group []int, level float64, serial bool) Robust {
	sameLength(x, y)
	r := Robust{Slope: nan, Low: nan, High: nan, Intercept: nan, N: len(x), NEff: float64(len(x)), ResidualMAD: nan}
	slopes := pairSlopes(x, y, group)
	if len(x) < 3 || len(slopes) < 3 {
		return r
	}
	slices.Sort(slopes)
	r.Slope = sortedMedian(slopes)
	res := residuals(x, y, group, r.Slope)
	r.Intercept = Median(residuals(x, y, nil, r.Slope))
	r.ResidualMAD = 1.4826 * MAD(res)
	stretch := 1.0
	if serial {
		stretch, r.NEff = serialStretch(res)
	}
	sd := math.Sqrt(kendallVariance(x, y, group) * stretch)
	c := distuv.UnitNormal.Quantile(1-(1-level)/2) * sd
	n := float64(len(slopes))
	low, high := int(math.Round((n-c)/2)), int(math.Round((n+c)/2))
	r.Low, r.High = slopes[max(low-1, 0)], slopes[min(high, len(slopes)-1)]
	if low < 1 || high > len(slopes)-1 {
		// So few points that the interval is wider than all pairs: nothing bounds it.
		r.Low, r.High = math.Inf(-1), math.Inf(1)
	}
	return r
}

func pairSlopes(x, y []float64, group []int) []float64 {
	var s []float64
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			if sameGroup(group, i, j) && x[i] != x[j] {
				s = append(s, (y[j]-y[i])/(x[j]-x[i]))
			}
		}
	}
	return s
}

func sameGroup(group []int, i, j int) bool { return group == nil || group[i] == group[j] }

// residuals are y - slope x less the median of their group.
func residuals(x, y []float64, group []int, slope float64) []float64 {
	r := make([]float64, len(x))
	for i := range x {
		r[i] = y[i] - slope*x[i]
	}
	if group == nil {
		return r
	}
	byGroup := map[int][]float64{}
	for i, g := range group {
		byGroup[g] = append(byGroup[g], r[i])
	}
	for i, g := range group {
		r[i] -= Median(byGroup[g])
	}
	return r
}

// serialStretch is by how much serial correlation widens a variance.
func serialStretch(res []float64) (stretch, nEff float64) {
	n := float64(len(res))
	r := math.Min(lagOne(res), 0.98)
	if !(r > 0) {
		return 1, n
	}
	nEff = math.Max(2, n*(1-r)/(1+r))
	return n / nEff, nEff
}

// lagOne is the correlation of neighbours, 0 where nothing varies.
func lagOne(v []float64) float64 {
	m, s, c := Median(v), 0.0, 0.0
	for i, a := range v {
		s += (a - m) * (a - m)
		if i > 0 {
			c += (a - m) * (v[i-1] - m)
		}
	}
	if s == 0 {
		return 0
	}
	return c / s
}

// kendallVariance is the variance of Kendall's S, the ties in either variable
// taken off, summed over the stretches:
//
//	[n(n-1)(2n+5) - sum t(t-1)(2t+5)] / 18
func kendallVariance(x, y []float64, group []int) float64 {
	xs, ys := map[int][]float64{}, map[int][]float64{}
	for i := range x {
		g := 0
		if group != nil {
			g = group[i]
		}
		xs[g], ys[g] = append(xs[g], x[i]), append(ys[g], y[i])
	}
	v := 0.0
	for g := range xs {
		v += tieTerm(float64(len(xs[g]))) - ties(xs[g]) - ties(ys[g])
	}
	return v / 18
}

func tieTerm(t float64) float64 { return t * (t - 1) * (2*t + 5) }

func ties(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	sum, run := 0.0, 1.0
	for i := 1; i <= len(v); i++ {
		if i < len(v) && v[i] == v[i-1] {
			run++
			continue
		}
		sum += tieTerm(run)
		run = 1
	}
	return sum
}

// Median of v, NaN without any.
func Median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return sortedMedian(v)
}

func sortedMedian(v []float64) float64 {
	n := len(v)
	if n == 0 {
		return nan
	}
	if n%2 == 1 {
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}

// MAD is the median of |v - median v|.
func MAD(v []float64) float64 {
	m := Median(v)
	d := make([]float64, len(v))
	for i, a := range v {
		d[i] = math.Abs(a - m)
	}
	return Median(d)
}
