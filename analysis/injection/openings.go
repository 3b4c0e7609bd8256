package injection

import "math"

// Opening is one run of rows in which a valve was commanded open: one opening,
// or several that can't be told apart.
type Opening struct {
	Valve int
	// FromS and ToS are where in time it most likely lies. A log says how long a
	// valve was open between two rows, not when: an opening within one row is put
	// in the middle of it, one over several rows against the seams between them.
	FromS, ToS float64
	// OpenS is the time commanded open.
	OpenS float64
	// AtLeast is the smallest number of openings that the run can be.
	AtLeast int
	// ByHalfS is how far FromS and ToS may be off.
	ByHalfS float64
	// firstRow and lastRow of the run.
	firstRow, lastRow int
	// failed is true where the valve is known not to have delivered.
	failed bool
}

// MiddleS is the middle of the opening.
func (o Opening) MiddleS() float64 { return (o.FromS + o.ToS) / 2 }

// Openings lists the openings of all valves in order of time. It starts a new
// one where a row with the valve shut, a gap or an unrecorded row lies between.
func Openings(in Input, p Params) []Opening {
	in.check()
	perValve := make([][]Opening, len(in.Valves))
	for k, v := range in.Valves {
		perValve[k] = openingsOf(in, v, p)
	}
	return mergeByTime(perValve)
}

func openingsOf(in Input, v Valve, p Params) []Opening {
	var out []Opening
	for i := 0; i < len(in.TimeS); {
		if v.openS(i) == 0 {
			i++
			continue
		}
		j := i
		for j+1 < len(in.TimeS) && v.openS(j+1) > 0 && !on(in.GapAfter, j, false) {
			j++
		}
		out = append(out, openingOf(in, v, i, j, p))
		i = j + 1
	}
	return out
}

// openingOf describes the run of rows i..j.
func openingOf(in Input, v Valve, i, j int, p Params) Opening {
	o := Opening{Valve: v.Number, AtLeast: 1, firstRow: i, lastRow: j}
	begin := i // row in which the present opening begins
	for k := i; k <= j; k++ {
		o.OpenS += v.openS(k)
		o.failed = o.failed || on(v.Failed, k, false)
		// One opening can reach over a seam between two rows, and over further rows
		// only where those between are open all the time.
		if k-1 > begin && v.openS(k-1) < in.beforeS(k-1)-p.OpenRoundingS {
			o.AtLeast, begin = o.AtLeast+1, k
		}
	}
	if i == j {
		spare := math.Max(0, in.beforeS(i)-o.OpenS) / 2
		o.ToS = in.TimeS[i] - spare
		o.FromS, o.ByHalfS = o.ToS-o.OpenS, spare
		return o
	}
	o.FromS = in.TimeS[i] - v.openS(i)
	o.ToS = in.TimeS[j-1] + v.openS(j)
	o.ByHalfS = math.Max(0, in.beforeS(i)-v.openS(i))
	return o
}

// mergeByTime merges lists that are each in order of time.
func mergeByTime(lists [][]Opening) []Opening {
	var out []Opening
	next := make([]int, len(lists))
	for {
		best := -1
		for k, l := range lists {
			if next[k] < len(l) && (best < 0 || l[next[k]].FromS < lists[best][next[best]].FromS) {
				best = k
			}
		}
		if best < 0 {
			return out
		}
		out = append(out, lists[best][next[best]])
		next[best]++
	}
}

// counted is the number of openings of one valve and whether it is a lower bound.
func counted(in Input, v Valve, openings []Opening, p Params) (count int, lowerBound bool) {
	if v.Openings != nil {
		for i := range in.TimeS {
			if c := v.Openings[i]; c > 0 {
				count += int(math.Round(c))
			}
		}
		return count, false
	}
	for _, o := range openings {
		count += o.AtLeast
		lowerBound = lowerBound || mayHideMore(in, v, o, p)
	}
	return count, lowerBound
}

// mayHideMore tells whether a run of rows has room for an opening more than it
// shows: a row shut for as long as a valve must stay shut between two openings.
func mayHideMore(in Input, v Valve, o Opening, p Params) bool {
	for k := o.firstRow; k <= o.lastRow; k++ {
		if in.beforeS(k)-v.openS(k) >= p.MinShutS-1e-9 {
			return true
		}
	}
	return false
}

// startIntervals are the times between the starts of successive openings that
// no gap and no time off the loop lies between.
func startIntervals(in Input, openings []Opening) []float64 {
	var out []float64
	for k := 1; k < len(openings); k++ {
		if unbroken(in, openings[k-1].lastRow, openings[k].firstRow) {
			out = append(out, openings[k].FromS-openings[k-1].FromS)
		}
	}
	return out
}

func unbroken(in Input, from, to int) bool {
	for i := from; i < to; i++ {
		if on(in.GapAfter, i, false) || !on(in.OnLoop, i, true) {
			return false
		}
	}
	return true
}
