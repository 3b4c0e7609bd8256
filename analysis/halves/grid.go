package halves

import (
	"math"
	"sort"
)

// Series is depth over time as one recorder kept it.
type Series struct {
	// TimeS are the times of the rows, finite and strictly increasing.
	TimeS []float64
	// DepthM is the depth of each row in metres; NaN where not recorded. A pressure
	// may stand in for it, as metres of water.
	DepthM []float64
	// GapAfter tells of a gap between a row and the next; nil for none.
	GapAfter []bool
}

// maxSteps bounds the cost of a record that lasts for days.
const maxSteps = 50000

// grid is depth at even steps; NaN where nothing is known.
type grid struct {
	startS, stepS float64
	z             []float64
	slope         []float64 // m/s
	known         int
}

// at is the depth at time t, between two steps linear; NaN where not known.
func (g *grid) at(x []float64, t float64) float64 {
	u := (t - g.startS) / g.stepS
	if !(u >= 0) || u > float64(len(x)-1) {
		return math.NaN()
	}
	i := min(int(u), len(x)-2)
	if i < 0 {
		return x[0]
	}
	f := u - float64(i)
	return x[i]*(1-f) + x[i+1]*f
}

// evenly puts a series on even steps, smoothed by a triangle of the half width
// smoothS. A window that holds a gap or the end of the record gives NaN: what is
// smoothed on one side only would be early or late.
func evenly(s Series, stepS, smoothS float64) grid {
	n := len(s.TimeS)
	g := grid{startS: s.TimeS[0], stepS: stepS, z: make([]float64, int((s.TimeS[n-1]-s.TimeS[0])/stepS)+1)}
	row := 0
	for i := range g.z {
		t := g.startS + float64(i)*stepS
		for row+2 < n && s.TimeS[row+1] <= t {
			row++
		}
		g.z[i] = between(s, row, t)
	}
	k := max(1, int(math.Round(smoothS/2/stepS)))
	g.z = boxed(boxed(g.z, k), k)
	g.slope = make([]float64, len(g.z))
	for i := range g.slope {
		g.slope[i] = math.NaN()
		if i > 0 && i+1 < len(g.z) {
			g.slope[i] = (g.z[i+1] - g.z[i-1]) / (2 * stepS)
		}
		if !math.IsNaN(g.z[i]) {
			g.known++
		}
	}
	return g
}

// between is the depth at t from the rows around it, NaN across a gap.
func between(s Series, row int, t float64) float64 {
	if t <= s.TimeS[row] || row+1 >= len(s.TimeS) {
		if t == s.TimeS[row] {
			return s.DepthM[row]
		}
		return math.NaN()
	}
	if s.GapAfter != nil && s.GapAfter[row] {
		return math.NaN()
	}
	f := (t - s.TimeS[row]) / (s.TimeS[row+1] - s.TimeS[row])
	if f > 1 {
		return math.NaN()
	}
	return s.DepthM[row]*(1-f) + s.DepthM[row+1]*f
}

// boxed is the mean over 2k+1 steps, NaN where one of them is not known.
func boxed(x []float64, k int) []float64 {
	out := make([]float64, len(x))
	sum, missing := 0.0, 0
	add := func(i int, sign float64) {
		switch {
		case i < 0 || i >= len(x) || math.IsNaN(x[i]):
			missing += int(sign)
		default:
			sum += sign * x[i]
		}
	}
	for i := -k; i < k; i++ {
		add(i, 1)
	}
	for i := range x {
		add(i+k, 1)
		out[i] = math.NaN()
		if missing == 0 {
			out[i] = sum / float64(2*k+1)
		}
		add(i-k, -1)
	}
	return out
}

// usualS is the median interval, 0 with fewer than two rows.
func (s Series) usualS() float64 {
	n := len(s.TimeS) - 1
	if n < 1 {
		return 0
	}
	d := make([]float64, n)
	for i := range d {
		d[i] = s.TimeS[i+1] - s.TimeS[i]
	}
	sort.Float64s(d)
	return d[n/2]
}

// spread is the range of x between its first and its last percentile; NaN where
// nothing is known. One wild reading is no change of depth.
func spread(x []float64) float64 {
	var v []float64
	for _, z := range x {
		if !math.IsNaN(z) {
			v = append(v, z)
		}
	}
	if len(v) == 0 {
		return math.NaN()
	}
	sort.Float64s(v)
	return v[len(v)-1-len(v)/100] - v[len(v)/100]
}
