package fit

import "math"

// A Shape is what a stretch between two breaks looks like.
type Shape int

// The shapes.
const (
	Level  Shape = iota // one value
	Sloped              // a straight line
)

// Segments cuts the points into stretches, each of one shape, so that
//
//	sum over stretches of (residual sum of squares + penalty)
//
// is as small as can be, by dynamic programming over all places (optimal
// partitioning, exact, quadratic in n). least is the fewest points of a stretch.
// It returns the index at which each stretch begins; the first is 0.
func Segments(x, y []float64, shape Shape, penalty float64, least int) []int {
	sameLength(x, y)
	n := len(x)
	least = max(least, int(shape)+1)
	if n < 2*least {
		return []int{0}
	}
	s := newSums(x, y)
	best := make([]float64, n+1) // best[j]: cost of the first j points
	from := make([]int, n+1)
	for j := 1; j <= n; j++ {
		best[j] = math.Inf(1)
		for i := 0; i+least <= j; i++ {
			if c := best[i] + s.cost(i, j, shape) + penalty; c < best[j] {
				best[j], from[j] = c, i
			}
		}
	}
	var starts []int
	for j := n; j > 0; j = from[j] {
		starts = append([]int{from[j]}, starts...)
	}
	return starts
}

// sums holds running sums, so that the cost of any stretch takes one step. The
// means are taken off first, or squares of large values would cancel.
type sums struct{ x, y, xx, xy, yy []float64 }

func newSums(x, y []float64) sums {
	n := len(x)
	s := sums{make([]float64, n+1), make([]float64, n+1), make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)}
	xm, ym := mean(x), mean(y)
	for i := range x {
		u, v := x[i]-xm, y[i]-ym
		s.x[i+1], s.y[i+1] = s.x[i]+u, s.y[i]+v
		s.xx[i+1], s.xy[i+1], s.yy[i+1] = s.xx[i]+u*u, s.xy[i]+u*v, s.yy[i]+v*v
	}
	return s
}

// cost is the residual sum of squares of points i to j-1.
func (s sums) cost(i, j int, shape Shape) float64 {
	n := float64(j - i)
	y := s.y[j] - s.y[i]
	c := s.yy[j] - s.yy[i] - y*y/n
	if shape == Sloped {
		x := s.x[j] - s.x[i]
		sxx := s.xx[j] - s.xx[i] - x*x/n
		sxy := s.xy[j] - s.xy[i] - x*y/n
		if sxx > 0 {
			c -= sxy * sxy / sxx
		}
	}
	return math.Max(0, c)
}

// Noise is the standard deviation of y about its own run, from each point's
// distance to the line between its neighbours, so that neither a slope nor a few
// jumps count:
//
//	r_i = y_i - (w y_(i-1) + (1-w) y_(i+1)),  sd = 1.4826 median |r_i| / sqrt(1 + w^2 + (1-w)^2)
//
// NaN for fewer than 3 points.
func Noise(x, y []float64) float64 {
	sameLength(x, y)
	var r []float64
	for i := 1; i+1 < len(x); i++ {
		if x[i+1] == x[i-1] {
			continue
		}
		w := (x[i+1] - x[i]) / (x[i+1] - x[i-1])
		r = append(r, math.Abs(y[i]-w*y[i-1]-(1-w)*y[i+1])/math.Sqrt(1+w*w+(1-w)*(1-w)))
	}
	return 1.4826 * Median(r)
}

func mean(v []float64) float64 {
	s := 0.0
	for _, a := range v {
		s += a
	}
	return s / float64(len(v))
}
