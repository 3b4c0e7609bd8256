package tracking

import "math"

// Phase is a part of the dive, by what the depth does.
type Phase uint8

// The phases. Stop and Bottom are both level.
const (
	Surface Phase = iota
	Descent
	Bottom
	Stop
	Ascent
)

// AllPhases in the order in which they are reported.
func AllPhases() []Phase { return []Phase{Surface, Descent, Bottom, Stop, Ascent} }

func (p Phase) String() string {
	names := [...]string{"surface", "descent", "bottom", "stop", "ascent"}
	if int(p) < len(names) {
		return names[p]
	}
	return "unknown"
}

// PhaseSpan is a stretch of one phase. ToS is one row's time after its last row.
type PhaseSpan struct {
	Phase      Phase
	FromS, ToS float64
}

// Phases gives the phase of every row:
//
//	surface  shallower than SurfaceM, before the first or after the last submersion
//	descent  rate > DescentMMin
//	ascent   rate < -AscentMMin
//	stop     level for at least StopS, after the first ascent, shallower than
//	         StopDepthFraction of the greatest depth so far
//	bottom   the rest of what is level
//
// The rate is that of [RateMMin]. Rows without depth take the last known one;
// depthM of nothing but NaN gives surface throughout, as nothing was submerged.
func Phases(tS, depthM []float64, gapAfter []bool, p Params) []Phase {
	if len(depthM) != len(tS) || gapAfter != nil && len(gapAfter) != len(tS) {
		panic("tracking: columns differ in length")
	}
	out := make([]Phase, len(tS))
	for i, r := range RateMMin(tS, depthM, gapAfter, p.RateWindowS) {
		out[i] = byRate(r, p)
	}
	dropFlicker(tS, gapAfter, out, p.FlickerS)
	markStops(tS, depthM, gapAfter, out, p)
	markSurface(depthM, out, p.SurfaceM)
	return out
}

func byRate(mMin float64, p Params) Phase {
	switch {
	case mMin > p.DescentMMin:
		return Descent
	case mMin < -p.AscentMMin:
		return Ascent
	}
	return Bottom // level, or not known
}

// dropFlicker gives a stretch no longer than flickerS, with the same phase on
// both sides, the phase of its neighbours.
func dropFlicker(tS []float64, gapAfter []bool, ph []Phase, flickerS float64) {
	for i := 1; i < len(ph); {
		j := runEnd(ph, gapAfter, i)
		inside := !on(gapAfter, i-1, false) && j < len(ph) && !on(gapAfter, j-1, false)
		if inside && ph[i] != ph[i-1] && ph[j] == ph[i-1] && tS[j]-tS[i] <= flickerS+tolS {
			for k := i; k < j; k++ {
				ph[k] = ph[i-1]
			}
		}
		i = j
	}
}

// runEnd is the index after the run of one phase, without a gap, that begins at i.
func runEnd(ph []Phase, gapAfter []bool, i int) int {
	j := i
	for j+1 < len(ph) && ph[j+1] == ph[i] && !on(gapAfter, j, false) {
		j++
	}
	return j + 1
}

// markStops turns level rows into stops. A stop goes on over a gap that is level
// and shallow on both sides, but only recorded time counts towards StopS.
func markStops(tS, depthM []float64, gapAfter []bool, ph []Phase, p Params) {
	shallow := shallowLevel(depthM, ph, p.StopDepthFraction)
	for i := 0; i < len(ph); {
		if !shallow[i] {
			i++
			continue
		}
		j, seconds := i, 0.0
		for ; j < len(ph) && shallow[j]; j++ {
			seconds += rowS(tS, gapAfter, j)
		}
		if seconds >= p.StopS-tolS {
			for k := i; k < j; k++ {
				ph[k] = Stop
			}
		}
		i = j
	}
}

// shallowLevel marks level rows after the first ascent that are shallower than
// the fraction of the greatest depth so far.
func shallowLevel(depthM []float64, ph []Phase, fraction float64) []bool {
	out := make([]bool, len(ph))
	var depth, deepest float64
	ascended := false
	for i := range ph {
		if !math.IsNaN(depthM[i]) {
			depth = depthM[i]
		}
		deepest = math.Max(deepest, depth)
		ascended = ascended || ph[i] == Ascent
		out[i] = ascended && ph[i] == Bottom && depth < fraction*deepest
	}
	return out
}

// markSurface marks the rows before the first and after the last submersion.
func markSurface(depthM []float64, ph []Phase, surfaceM float64) {
	first, last := len(depthM), -1
	for i, d := range depthM {
		if d >= surfaceM {
			first, last = min(first, i), i
		}
	}
	for i := range ph {
		if i < first || i > last {
			ph[i] = Surface
		}
	}
}

// PhaseSpans joins the rows of [Phases] to stretches. A gap ends a stretch.
func PhaseSpans(tS []float64, phases []Phase, gapAfter []bool) []PhaseSpan {
	var out []PhaseSpan
	for i := 0; i < len(phases); {
		j := runEnd(phases, gapAfter, i)
		out = append(out, PhaseSpan{Phase: phases[i], FromS: tS[i], ToS: tS[j-1] + rowS(tS, gapAfter, j-1)})
		i = j
	}
	return out
}
