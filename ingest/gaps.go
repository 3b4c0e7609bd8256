package ingest

import "sort"

// UsualIntervalS is the median of the intervals between rows in seconds, NaN
// with fewer than two rows.
func (d *Dive) UsualIntervalS() float64 {
	n := d.Rows() - 1
	if n < 1 {
		return Missing()
	}
	intervals := make([]float64, n)
	for i := range intervals {
		intervals[i] = d.TimeS[i+1] - d.TimeS[i]
	}
	sort.Float64s(intervals)
	if n%2 == 1 {
		return intervals[n/2]
	}
	return (intervals[n/2-1] + intervals[n/2]) / 2
}

// GapAfter tells for every row whether a gap lies between it and the next, by
// [DefaultGapParams]. The last row has none.
func (d *Dive) GapAfter() []bool { return d.GapAfterBy(DefaultGapParams()) }

// GapAfterBy is [Dive.GapAfter] by other parameters.
func (d *Dive) GapAfterBy(p GapParams) []bool {
	gaps := make([]bool, d.Rows())
	limit := max(p.MinS, p.Factor*d.UsualIntervalS())
	for i := 0; i+1 < len(gaps); i++ {
		gaps[i] = d.TimeS[i+1]-d.TimeS[i] > limit+gapSlackS
	}
	return gaps
}

// gapSlackS keeps the rounding of times from making a gap of an interval that
// is on the limit.
const gapSlackS = 1e-6
