package injection

import "math"

// Constants of where a balance can be drawn, ours.
const (
	lookBackS    = 20.0 // a descent spoils the balance until it is this long ago
	quietS       = 30.0 // without an opening for this long any row can end a window
	levelForS    = 15.0 // a window begins and ends after this long at one depth
	levelWithinM = 0.3
	bobbingBar   = 0.01 // depth moves smaller than this, either way, are noise
)

// ledger holds running sums along the log; a balance between two rows is the
// difference of their entries.
type ledger struct {
	// uptake is ∫ Pd dx/(1-x) in bar, from the PO2 averaged over EndS before the row.
	uptake []float64
	// openS is the seconds commanded by all valves.
	openS []float64
	// demand is -∫ x/(1-x) dPd in bar: the uptake that it takes to hold PO2 while
	// the depth changes.
	demand []float64
	// washed is what diluent may have washed out in small descents, in the same
	// measure as uptake: ∫ (x-F_dil)/(1-x) dPd over what went down.
	washed []float64
	// broken counts the rows that no balance can be drawn across.
	broken []int
	// canEnd marks rows at which a window may begin or end: at level, and just
	// before an opening or long after one, so that what was given has been seen.
	canEnd []bool
}

func newLedger(in Input, s signal, openings []Opening, p Params) ledger {
	n := len(in.TimeS)
	l := ledger{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]int, n), make([]bool, n)}
	po := trailingMean(in, s.poBar, p.EndS)
	for i := 1; i < n; i++ {
		l.openS[i] = l.openS[i-1]
		failed := false
		for _, v := range in.Valves {
			l.openS[i] += v.openS(i)
			failed = failed || on(v.Failed, i, false) && v.openS(i) > 0
		}
		x0, x1 := po[i-1]/s.dryBar[i-1], po[i]/s.dryBar[i]
		step := (s.dryBar[i-1] + s.dryBar[i]) / 2 * (x1 - x0) / (1 - (x0+x1)/2)
		l.uptake[i], l.demand[i], l.broken[i] = l.uptake[i-1], l.demand[i-1], l.broken[i-1]
		ok := s.usable[i] && s.usable[i-1] && !failed && !on(in.GapAfter, i-1, false) && x1 <= p.MaxOxygenFraction
		if !ok || math.IsNaN(step) || math.IsInf(step, 0) {
			l.broken[i]++
			continue
		}
		l.uptake[i] += step
		l.demand[i] -= x0 / (1 - x0) * (s.dryBar[i] - s.dryBar[i-1])
	}
	l.markDescents(in)
	l.addWashed(in, s)
	l.markEnds(in, openings)
	return l
}

// trailingMean averages v over the seconds up to each row, within stretches
// without gap; unknown rows do not count.
func trailingMean(in Input, v []float64, seconds float64) []float64 {
	out := make([]float64, len(v))
	from, sum, n := 0, 0.0, 0
	for i := range v {
		if i > 0 && on(in.GapAfter, i-1, false) {
			from, sum, n = i, 0, 0
		}
		if !math.IsNaN(v[i]) {
			sum, n = sum+v[i], n+1
		}
		for in.TimeS[from] < in.TimeS[i]-seconds+1e-9 && from < i {
			if !math.IsNaN(v[from]) {
				sum, n = sum-v[from], n-1
			}
			from++
		}
		if out[i] = math.NaN(); n > 0 {
			out[i] = sum / float64(n)
		}
	}
	return out
}

// markDescents counts rows on a descent, and shortly after it, as broken: what
// diluent came in then is not known.
func (l *ledger) markDescents(in Input) {
	from, more := 0, 0
	for i := range in.TimeS {
		for in.TimeS[i]-in.TimeS[from] > lookBackS {
			from++
		}
		if in.depth(i)-in.depth(from) > 0.5 {
			more++
		}
		l.broken[i] += more
	}
}

// addWashed sums what bobbing may have cost: the loop vents on the way up and
// may take diluent on the way down. Depth is followed with a play of bobbingBar,
// so that its noise counts nothing.
func (l *ledger) addWashed(in Input, s signal) {
	at := math.NaN()
	for i := range in.TimeS {
		if i > 0 {
			l.washed[i] = l.washed[i-1]
		}
		pd := s.dryBar[i]
		if math.IsNaN(pd) || math.IsNaN(s.x[i]) {
			continue
		}
		if math.IsNaN(at) || i > 0 && on(in.GapAfter, i-1, false) {
			at = pd
		}
		if down := pd - bobbingBar - at; down > 0 {
			at += down
			l.washed[i] += down * washShare(s.x[i], value(in.FO2Diluent, i))
		}
		at = math.Min(at, pd+bobbingBar)
	}
}

// washShare is (x-F_dil)/(1-x), with F_dil 0 where it is not known, and 0 where
// the loop is leaner than the diluent.
func washShare(x, fO2Diluent float64) float64 {
	if math.IsNaN(fO2Diluent) {
		fO2Diluent = 0
	}
	return math.Max(0, x-fO2Diluent) / math.Max(1-x, 0.05)
}

// markEnds finds where windows may begin and end.
func (l *ledger) markEnds(in Input, openings []Opening) {
	k, lastS := 0, math.Inf(-1)
	from := 0
	for i, t := range in.TimeS {
		for ; k < len(openings) && openings[k].firstRow <= i; k++ {
			lastS = math.Max(lastS, openings[k].ToS)
		}
		for t-in.TimeS[from] > levelForS {
			from++
		}
		level := math.Abs(in.depth(i)-in.depth(from)) <= levelWithinM
		before := k < len(openings) && openings[k].firstRow == i+1
		l.canEnd[i] = level && (before || t-lastS >= quietS)
	}
}
