package tracking

import (
	"math"
	"sort"
)

// Excursion is one time when the set point was not held. It is a fact, not a
// verdict: on a descent, or after a change of set point, a large error is
// natural, and Phase and AfterChange say so.
type Excursion struct {
	FromS, ToS float64
	// Sign is +1 for PO2 above the set point, -1 below.
	Sign int
	// The error when it began, at its worst and when it ended, bar.
	OnsetBar, WorstBar, WorstAtS, EndBar float64
	// SetPointBar is the set point in force at the worst moment.
	SetPointBar float64
	// Phase is the one in which it began, valid where PhaseKnown.
	Phase      Phase
	PhaseKnown bool
	// AfterChange is true where the set point changed on its first row, or within
	// ChangeJoinS before: the change and not the loop made the error.
	AfterChange bool
	// DepthRangeM is how far the depth moved in it; NaN where unknown.
	DepthRangeM float64
}

// NotHeld lists the times with |error| above NotHeldBar for at least NotHeldS.
// One event is one excursion even if it grows; a return within the limit, or
// unknown readings, for no longer than NotHeldReturnS do not split it. A change
// of sign, a gap and rows that do not count (see [ErrorBar]) for longer do.
// phases is the result of [Phases], or nil.
func NotHeld(in Input, phases []Phase, p Params) []Excursion {
	if phases != nil && len(phases) != len(in.TimeS) {
		panic("tracking: phases differ in length")
	}
	e := ErrorBar(in)
	changed := changeTimes(in, p)
	var out []Excursion
	for i := 0; i < len(e); {
		sign := beyond(e[i], p)
		if sign == 0 {
			i++
			continue
		}
		last := excursionEnd(in, e, i, sign, p)
		toS := in.TimeS[last] + rowS(in.TimeS, in.GapAfter, last)
		if toS-in.TimeS[i] >= p.NotHeldS-tolS {
			x := describe(in, e, i, last, sign)
			x.ToS, x.AfterChange = toS, changedBefore(changed, in.TimeS[i], p)
			if phases != nil {
				x.Phase, x.PhaseKnown = phases[i], true
			}
			out = append(out, x)
		}
		i = last + 1
	}
	return out
}

// beyond is the sign of an error outside the limit, else 0.
func beyond(e float64, p Params) int {
	switch {
	case e > p.NotHeldBar+tolBar:
		return 1
	case e < -p.NotHeldBar-tolBar:
		return -1
	}
	return 0
}

// excursionEnd is the last row of the excursion that begins at row from.
func excursionEnd(in Input, e []float64, from, sign int, p Params) int {
	last := from
	for j := from + 1; j < len(e) && !on(in.GapAfter, j-1, false); j++ {
		if in.TimeS[j]-in.TimeS[last+1] > p.NotHeldReturnS+tolS {
			return last
		}
		switch beyond(e[j], p) {
		case sign:
			last = j
		case -sign:
			return last
		}
	}
	return last
}

func describe(in Input, e []float64, from, last, sign int) Excursion {
	x := Excursion{FromS: in.TimeS[from], Sign: sign, OnsetBar: e[from], EndBar: e[last]}
	low, high := math.Inf(1), math.Inf(-1)
	for i := from; i <= last; i++ {
		if worse := float64(sign) * e[i]; worse > float64(sign)*x.WorstBar {
			x.WorstBar, x.WorstAtS, x.SetPointBar = e[i], in.TimeS[i], in.SetPointBar[i]
		}
		if d := in.depth(i); !math.IsNaN(d) {
			low, high = math.Min(low, d), math.Max(high, d)
		}
	}
	if x.DepthRangeM = high - low; high < low {
		x.DepthRangeM = math.NaN()
	}
	return x
}

// changeTimes are the moments at which the set point changed, in order.
func changeTimes(in Input, p Params) []float64 {
	var out []float64
	for _, s := range steps(in, p) {
		out = append(out, in.TimeS[s.row])
	}
	return out
}

// changedBefore tells whether the last change at or before fromS is recent.
func changedBefore(changes []float64, fromS float64, p Params) bool {
	k := sort.SearchFloat64s(changes, fromS+tolS)
	return k > 0 && fromS-changes[k-1] <= p.ChangeJoinS+tolS
}

// rowAtOrAfter is the first row at or after tS.
func rowAtOrAfter(timeS []float64, tS float64) int {
	return sort.SearchFloat64s(timeS, tS)
}
