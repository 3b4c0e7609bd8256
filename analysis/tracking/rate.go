package tracking

import "math"

// rebaseS is how far the time may run from the origin of the running sums
// before they are taken afresh, so that their squares stay small.
const rebaseS = 1000

// RateMMin is the rate of depth change in m/min by row, positive on the way
// down: the least-squares slope of depth over windowS seconds centred on the
// row. At the ends of the record and beside gaps the window is cut; where it
// holds fewer than two depths the nearest rows within the same stretch are
// used. NaN where there are none.
//
//	slope = (n Σtz - Σt Σz) / (n Σtt - Σt Σt)
func RateMMin(tS, depthM []float64, gapAfter []bool, windowS float64) []float64 {
	rate := make([]float64, len(tS))
	for from := 0; from < len(tS); {
		to := stretchEnd(len(tS), gapAfter, from)
		rateOfStretch(tS[from:to], depthM[from:to], windowS, rate[from:to])
		from = to
	}
	return rate
}

// stretchEnd is the index after the last row of the stretch without gap that
// begins at row from.
func stretchEnd(n int, gapAfter []bool, from int) int {
	i := from
	for i+1 < n && !on(gapAfter, i, false) {
		i++
	}
	return i + 1
}

// slopeSums are the running sums of a straight-line fit about an origin.
type slopeSums struct {
	originS         float64
	n, t, z, tt, tz float64
}

// add takes a row in (sign +1) or out (sign -1); unknown depths do not count.
func (s *slopeSums) add(t, z, sign float64) {
	if math.IsNaN(z) {
		return
	}
	d := t - s.originS
	s.n += sign
	s.t += sign * d
	s.z += sign * z
	s.tt += sign * d * d
	s.tz += sign * d * z
}

// slope per second, or NaN with fewer than two rows.
func (s *slopeSums) slope() float64 {
	if s.n < 1.5 {
		return math.NaN()
	}
	return (s.n*s.tz - s.t*s.z) / (s.n*s.tt - s.t*s.t)
}

// rateOfStretch fills rate for rows without a gap between them.
func rateOfStretch(tS, depthM []float64, windowS float64, rate []float64) {
	var s slopeSums
	lo, hi := 0, 0 // rows lo..hi-1 are in the sums
	for i, t := range tS {
		for ; hi < len(tS) && tS[hi] <= t+windowS/2+tolS; hi++ {
			s.add(tS[hi], depthM[hi], 1)
		}
		for ; tS[lo] < t-windowS/2-tolS; lo++ {
			s.add(tS[lo], depthM[lo], -1)
		}
		if t-s.originS > rebaseS {
			s = slopeSums{originS: t}
			for k := lo; k < hi; k++ {
				s.add(tS[k], depthM[k], 1)
			}
		}
		perS := s.slope()
		if math.IsNaN(perS) {
			perS = neighbourSlope(tS, depthM, i)
		}
		rate[i] = perS * 60
	}
}

// neighbourSlope is the slope between the rows on either side of row i, for
// records so sparse that the window holds one row only.
func neighbourSlope(tS, depthM []float64, i int) float64 {
	a, b := max(i-1, 0), min(i+1, len(tS)-1)
	if math.IsNaN(depthM[a]) {
		a = i
	}
	if math.IsNaN(depthM[b]) {
		b = i
	}
	if a == b {
		return math.NaN()
	}
	return (depthM[b] - depthM[a]) / (tS[b] - tS[a])
}
