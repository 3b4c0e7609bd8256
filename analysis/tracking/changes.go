package tracking

import (
	"fmt"
	"math"
	"slices"
)

// Change is the response to one change of set point. What could not be
// measured is NaN.
type Change struct {
	AtS, FromBar, ToBar float64
	// StartBar is PO2 when the set point changed.
	StartBar float64
	// RiseS is the time between 10 % and 90 % of the way from StartBar to ToBar;
	// for a change downwards it is the time to fall.
	RiseS float64
	// WithinS is the time after the change at which PO2 first was within SettleBar
	// of the new set point.
	WithinS float64
	// SettledS is the time after the change from which PO2 stayed within SettleBar
	// for SettleForS.
	SettledS float64
	// OvershootBar is how far PO2 went past the new set point at most, 0 where it
	// reached it and did not pass; NaN where it did not reach it.
	OvershootBar, OvershootAtS float64
	// WatchedS is how long the response was watched.
	WatchedS float64
	// Sluggish: not within SettleBar after SluggishS. SluggishKnown is false where
	// the watch was too short to tell, and after a change downwards: there only
	// metabolism takes PO2 down, and the valve can't hurry it.
	Sluggish, SluggishKnown bool
	// Assessed is false where the response can't be judged; Reason says why. A
	// Reason beside true says what part is missing.
	Assessed bool
	Reason   string
}

// Changes lists the changes of set point of at least ChangeMinBar and measures
// the response to each: it is watched until the next change, the end of the
// stretch (gap, end, off the loop) or ChangeWindowS, and cut where the depth
// has moved through more than ChangeDepthM. A response that had not settled by
// such a cut is not assessed: the pressure moved PO2 too.
func Changes(in Input, p Params) []Change {
	in.check()
	steps := steps(in, p)
	out := make([]Change, 0, len(steps))
	for k, s := range steps {
		next := math.Inf(1)
		if k+1 < len(steps) {
			next = in.TimeS[steps[k+1].row]
		}
		out = append(out, respond(in, s, next, p))
	}
	return out
}

// step is a change of set point: row is the first with a new value, to the last
// of the values that were joined to one change.
type step struct {
	row      int
	from, to float64
}

// steps finds the changes; rows without set point keep the last one known. A
// set point that moves in small steps is compared with the value at the last
// change, so that many small steps still make one.
func steps(in Input, p Params) []step {
	var out []step
	ref, lastAt := math.NaN(), math.Inf(-1)
	for i := range in.TimeS {
		sp := value(in.SetPointBar, i)
		switch {
		case math.IsNaN(sp):
		case math.IsNaN(ref):
			ref = sp
		case len(out) > 0 && sp != ref && in.TimeS[i]-lastAt <= p.ChangeJoinS+tolS:
			out[len(out)-1].to = sp
			ref, lastAt = sp, in.TimeS[i]
		case math.Abs(sp-ref) >= p.ChangeMinBar-tolBar:
			out = append(out, step{row: i, from: ref, to: sp})
			ref, lastAt = sp, in.TimeS[i]
		}
	}
	return slices.DeleteFunc(out, func(s step) bool { // there and back again
		return math.Abs(s.to-s.from) < p.ChangeMinBar-tolBar
	})
}

// watch is the stretch of rows in which a response is looked at.
type watch struct {
	from, to int // rows from..to-1
	// byDepth is true where a depth change ended it, byNext where the next change did.
	byDepth, byNext bool
}

func (in Input) watch(s step, nextS float64, p Params) watch {
	w := watch{from: s.row, to: s.row}
	low, high := math.Inf(1), math.Inf(-1)
	for i := s.row; i < len(in.TimeS); i++ {
		if in.TimeS[i] >= nextS {
			w.byNext = true
			return w
		}
		if in.TimeS[i] > in.TimeS[s.row]+p.ChangeWindowS+tolS || !on(in.OnLoop, i, true) {
			return w
		}
		if d := in.depth(i); !math.IsNaN(d) {
			low, high = math.Min(low, d), math.Max(high, d)
		}
		if high-low > p.ChangeDepthM+tolS {
			w.byDepth = true
			return w
		}
		w.to = i + 1
		if on(in.GapAfter, i, false) {
			return w
		}
	}
	return w
}

// respond measures the response to one change.
func respond(in Input, s step, nextS float64, p Params) Change {
	nan := math.NaN()
	c := Change{AtS: in.TimeS[s.row], FromBar: s.from, ToBar: s.to, StartBar: nan, RiseS: nan,
		WithinS: nan, SettledS: nan, OvershootBar: nan, OvershootAtS: nan}
	w := in.watch(s, nextS, p)
	if w.to > w.from {
		c.WatchedS = in.TimeS[w.to-1] - c.AtS
	}
	if c.Reason = blocked(in, s, w); c.Reason != "" {
		return c
	}
	c.StartBar = firstKnown(in.PO2Bar[w.from:w.to])
	c.WithinS = firstWithin(in, w, s.to, p)
	c.SettledS = settled(in, w, s.to, p)
	if w.byDepth && math.IsNaN(c.SettledS) {
		c.Reason = fmt.Sprintf("depth changed by more than %g m before PO2 had settled", p.ChangeDepthM)
		return c
	}
	c.Assessed = true
	c.RiseS = rise(in, w, c.StartBar, s.to, p)
	c.OvershootBar, c.OvershootAtS = overshoot(in, w, c.StartBar, s.to)
	c.SluggishKnown = s.to > s.from && (!math.IsNaN(c.WithinS) || c.WatchedS >= p.SluggishS-tolS)
	c.Sluggish = c.SluggishKnown && !(c.WithinS <= p.SluggishS+tolS)
	c.Reason = incomplete(c, w)
	return c
}

// blocked says why a response can't be measured at all, or nothing.
func blocked(in Input, s step, w watch) string {
	switch {
	case !on(in.OnLoop, s.row, true):
		return "the diver was not on the loop"
	case in.attain(s.row) == unattainable:
		return "the new set point lay above ambient pressure"
	case w.byDepth && w.to-w.from < 2:
		return "depth was changing"
	case w.to-w.from < 2 || in.PO2Bar == nil || math.IsNaN(firstKnown(in.PO2Bar[w.from:w.to])):
		return "too few readings of PO2 after the change"
	}
	return ""
}

// incomplete says what an assessed response lacks.
func incomplete(c Change, w watch) string {
	switch {
	case !math.IsNaN(c.SettledS):
		return ""
	case w.byNext:
		return fmt.Sprintf("the set point changed again after %.0f s, before PO2 had settled", c.WatchedS)
	}
	return fmt.Sprintf("PO2 had not settled within the %.0f s that could be watched", c.WatchedS)
}
