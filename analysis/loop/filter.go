package loop

import (
	"math"
	"slices"

	"afterloop/analysis/fit"
)

// LowPass is the exact response of a first-order element to u, taken as linear
// between rows (a first-order hold), on whatever steps the rows have:
//
//	dy/dt = (u - y)/tau
//	y(t+h) = a y(t) + (b - a) u(t) + (1 - b) u(t+h)
//	a = exp(-h/tau),  b = (1 - a) tau/h
//
// It has unit gain, so two of them commute: L1(L2(u)) = L2(L1(u)) up to what
// the hold assumes between rows. It starts settled at the first reading, and
// starts anew after a gap (gapAfter[i]: between row i and row i+1; nil: none).
// A row where u is NaN gives NaN, and the element waits for the next reading.
// dst is filled and returned; it is made where nil. tauS of 0 or less copies u.
func LowPass(dst, timeS, u []float64, tauS float64, gapAfter []bool) []float64 {
	if len(timeS) != len(u) || (dst != nil && len(dst) != len(u)) {
		panic("loop: lengths differ")
	}
	if dst == nil {
		dst = make([]float64, len(u))
	}
	if tauS <= 0 {
		copy(dst, u)
		return dst
	}
	w := weights{tauS: tauS}
	last, broken := -1, false // the last row with a reading; a gap since
	var y, uLast float64
	for i, v := range u {
		broken = broken || (i > 0 && gapAfter != nil && gapAfter[i-1])
		switch {
		case math.IsNaN(v):
			dst[i] = math.NaN()
			continue
		case last < 0 || broken:
			y = v
		default:
			w.set(timeS[i] - timeS[last])
			y = w.a*y + w.w0*uLast + w.w1*v
		}
		dst[i], uLast, last, broken = y, v, i, false
	}
	return dst
}

// weights are those of one step of [LowPass]; they are kept while the step lasts.
type weights struct {
	tauS, h, a, w0, w1 float64
}

func (w *weights) set(h float64) {
	if h == w.h {
		return
	}
	x := h / w.tauS
	w.h, w.a = h, math.Exp(-x)
	b := -math.Expm1(-x) / x
	w.w0, w.w1 = b-w.a, 1-b
}

// SettledRows marks the rows that lie at least settleS after the start of the
// record and after every gap: earlier, a filter still remembers its start.
func SettledRows(timeS []float64, gapAfter []bool, settleS float64) []bool {
	out := make([]bool, len(timeS))
	start := 0
	for i := range timeS {
		if i > 0 && gapAfter != nil && gapAfter[i-1] {
			start = i
		}
		out[i] = timeS[i]-timeS[start] >= settleS
	}
	return out
}

// Slope is the least-squares rate of x per second over a window of windowS
// centred on each row, NaN readings left out; NaN where fewer than two rows
// are in it. Cost is linear in rows.
//
//	slope = sum (t - tm)(x - xm) / sum (t - tm)^2
func Slope(timeS, x []float64, windowS float64) []float64 {
	out := make([]float64, len(x))
	var s sums
	lo, hi := 0, 0
	for i := range x {
		for ; hi < len(x) && timeS[hi] <= timeS[i]+windowS/2; hi++ {
			s.add(timeS[hi]-timeS[0], x[hi], 1)
		}
		for ; timeS[lo] < timeS[i]-windowS/2; lo++ {
			s.add(timeS[lo]-timeS[0], x[lo], -1)
		}
		out[i] = s.slope()
	}
	return out
}

// sums are the running sums of a straight-line fit.
type sums struct{ n, t, x, tt, tx float64 }

func (s *sums) add(t, x, sign float64) {
	if math.IsNaN(x) {
		return
	}
	s.n += sign
	s.t += sign * t
	s.x += sign * x
	s.tt += sign * t * t
	s.tx += sign * t * x
}

func (s *sums) slope() float64 {
	if s.n < 2 {
		return math.NaN()
	}
	return (s.tx - s.t*s.x/s.n) / (s.tt - s.t*s.t/s.n)
}

// Quantile is the q-quantile (0..1) of x by linear interpolation between order
// statistics, NaN left out; NaN where nothing is left. x is not changed.
func Quantile(x []float64, q float64) float64 {
	c := make([]float64, 0, len(x))
	for _, v := range x {
		if !math.IsNaN(v) {
			c = append(c, v)
		}
	}
	return quantileInPlace(c, q)
}

// quantileInPlace is [Quantile] of a slice without NaN, which it sorts.
func quantileInPlace(x []float64, q float64) float64 {
	slices.Sort(x)
	return fit.Quantile(x, q)
}
