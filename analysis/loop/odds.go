package loop

import "math"

// working is the usual response and its scatter: y = a sum(tmpl) + e.
type working struct {
	a, sigma float64
}

// tails is the number of degrees of freedom of the scatter: rare large
// departures count for little.
const tails = 4

// surprise is -ln density of a residual e of scatter sigma, up to a constant:
// Student's t, so that one wild row can't decide.
func surprise(e, sigma float64) float64 {
	return (tails + 1) / 2.0 * math.Log1p(e*e/(tails*sigma*sigma))
}

// total is the response of all valves at row i.
func (rs *response) total(i int) float64 {
	s := 0.0
	for v := range rs.tmpl {
		s += rs.tmpl[v][i]
	}
	return s
}

// usual estimates the response of working valves. It starts from the better
// half of windows of two minutes, since a valve may be dead for most of a dive,
// and is refined on the rows that it fits, with the prior of p behind it: where
// rows are far apart, responses hardly show.
func (rs *response) usual(p Params) working {
	prior := p.ValveMixed + p.ValveOver
	w := working{a: math.Max(rs.betterHalf(120), prior/2)}
	if math.IsNaN(w.a) {
		return w
	}
	for range 4 {
		w.sigma = rs.scatter(w.a)
		weight := sq(w.sigma/p.ValveOverSD) * rs.k
		yr, rr := prior*weight, weight
		for i, y := range rs.y {
			if t := rs.total(i); !math.IsNaN(y) && math.Abs(y-w.a*t) < 3*w.sigma {
				yr, rr = yr+y*t, rr+t*t
			}
		}
		w.a = math.Max(prior/4, math.Max(w.a*0.8, math.Min(w.a*1.25, yr/rr)))
	}
	return w
}

// memory is how many rows of the scatter say the same: 1 + 2 sum of its
// autocorrelation over lags up to reachS, large residuals cut; never more than
// reachS holds.
func (rs *response) memory(w working, reachS float64) float64 {
	e := make([]float64, len(rs.y))
	ee, n := 0.0, 0.0
	for i, y := range rs.y {
		if math.IsNaN(y) {
			continue
		}
		e[i] = math.Max(-3*w.sigma, math.Min(3*w.sigma, y-w.a*rs.total(i)))
		ee, n = ee+e[i]*e[i], n+1
	}
	k := 1.0
	for lag := 1; lag < len(e) && ee > 0 && rs.timeS[lag]-rs.timeS[0] <= reachS; lag++ {
		c := 0.0
		for i := lag; i < len(e); i++ {
			c += e[i] * e[i-lag]
		}
		if c <= 0 {
			break
		}
		k += 2 * c / ee
	}
	return k
}

// betterHalf is the 70 % quantile of the response in windows, NaN without any.
func (rs *response) betterHalf(windowS float64) float64 {
	var as []float64
	yr, rr, from := 0.0, 0.0, math.Inf(-1)
	flush := func() {
		if rr > 0.05*0.05 {
			as = append(as, yr/rr)
		}
		yr, rr = 0, 0
	}
	for i, y := range rs.y {
		if rs.timeS[i]-from > windowS {
			flush()
			from = rs.timeS[i]
		}
		if !math.IsNaN(y) {
			t := rs.total(i)
			yr, rr = yr+y*t, rr+t*t
		}
	}
	flush()
	return Quantile(as, 0.7)
}

// scatter is a robust standard deviation of what a leaves.
func (rs *response) scatter(a float64) float64 {
	e := make([]float64, 0, len(rs.y))
	for i, y := range rs.y {
		if !math.IsNaN(y) {
			e = append(e, math.Abs(y-a*rs.total(i)))
		}
	}
	return math.Max(1.5*Quantile(e, 0.68), 0.0015)
}

// odds is, by row, the ln of the odds for "the valves in dead gave nothing"
// against "all work"; rows nearer than the correlation time share their weight.
func (rs *response) odds(w working, dead func(v int) bool) []float64 {
	out := make([]float64, len(rs.y))
	for i, y := range rs.y {
		if math.IsNaN(y) {
			continue
		}
		e := y - w.a*rs.total(i)
		without := e
		for v := range rs.tmpl {
			if dead(v) {
				without += w.a * rs.tmpl[v][i]
			}
		}
		out[i] = (surprise(e, w.sigma) - surprise(without, w.sigma)) / rs.k
	}
	return out
}

// best is the run of rows from..to (inclusive) with the largest sum, and the
// sum; from > to where no row is positive.
func best(x []float64) (from, to int, sum float64) {
	from, to = 0, -1
	run, start := 0.0, 0
	for i, v := range x {
		if run <= 0 {
			run, start = 0, i
		}
		run += v
		if run > sum {
			from, to, sum = start, i, run
		}
	}
	return from, to, sum
}

// openings counts the openings of valve v in rows from..to. Where the log does
// not count them, a row with any time open is one.
func openingsIn(v Valve, from, to int) int {
	n := 0.0
	for i := from; i <= to; i++ {
		switch {
		case v.Openings != nil && v.Openings[i] > 0:
			n += v.Openings[i]
		case v.OpenS[i] > 0:
			n++
		}
	}
	return int(n)
}

// share is the response of valve v in rows from..to over the usual one, with
// its 95 % interval, the other valves taken as working.
func (rs *response) share(w working, dead func(v int) bool, from, to int) (value, low, high float64) {
	yr, rr := 0.0, 0.0
	for i := from; i <= to; i++ {
		if math.IsNaN(rs.y[i]) {
			continue
		}
		y, t := rs.y[i], 0.0
		for v := range rs.tmpl {
			if dead(v) {
				t += rs.tmpl[v][i]
			} else {
				y -= w.a * rs.tmpl[v][i]
			}
		}
		yr, rr = yr+y*t, rr+t*t
	}
	if rr == 0 || w.a == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	half := 1.96 * w.sigma * math.Sqrt(rs.k/rr)
	return yr / rr / w.a, (yr/rr - half) / w.a, (yr/rr + half) / w.a
}
