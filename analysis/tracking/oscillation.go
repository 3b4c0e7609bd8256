package tracking

import "math"

// HalfWave is the error between two of its zero crossings.
type HalfWave struct {
	FromS, ToS float64
	// AreaBarS is the integral of |e| between them, bar s.
	AreaBarS float64
	// Sign is +1 for PO2 above the set point, -1 below.
	Sign int
}

// Oscillation is a stretch in which PO2 swung about the set point.
type Oscillation struct {
	FromS, ToS float64
	// HalfWaves counts those that were large enough.
	HalfWaves int
	// PeriodS is twice the mean distance between the middles of the half-waves.
	PeriodS float64
	// DepthRangeM is how far the depth moved in it: swings that the diver's own
	// depth caused are no fault of the controller. NaN where unknown.
	DepthRangeM float64
}

// HalfWaves integrates the error between its zero crossings, taking it as
// linear between rows:
//
//	A = ∫ |e| dt from crossing to crossing
//
// For e = a sin(wt) that is 2a/w. Only half-waves with a crossing at both ends
// are returned: what a gap, the end of the record, an unknown reading or a
// change of set point cuts off is no oscillation. The method is Hägglund's
// (Control Engineering Practice 3:1543, 1995).
func HalfWaves(in Input, _ Params) []HalfWave {
	var out []HalfWave
	var w wave
	e := ErrorBar(in)
	for i := range e {
		if broken(in, e, i) {
			w = wave{}
			continue
		}
		if done, ok := w.segment(in.TimeS[i-1], in.TimeS[i], e[i-1], e[i]); ok {
			out = append(out, done)
		}
	}
	return out
}

// broken tells whether the error has no continuous course from row i-1 to i.
func broken(in Input, e []float64, i int) bool {
	return i == 0 || math.IsNaN(e[i-1]) || math.IsNaN(e[i]) || on(in.GapAfter, i-1, false) ||
		math.Abs(in.SetPointBar[i]-in.SetPointBar[i-1]) > tolBar
}

// wave is the half-wave being integrated; whole is true once it began at a crossing.
type wave struct {
	startS, area float64
	sign         int
	whole        bool
}

// segment adds the straight piece from (t0, e0) to (t1, e1) and returns the
// half-wave that a crossing in it completes.
func (w *wave) segment(t0, t1, e0, e1 float64) (HalfWave, bool) {
	crosses := e0 > 0 && e1 <= 0 || e0 < 0 && e1 >= 0
	if !crosses {
		if e0 == 0 && e1 != 0 { // leaves zero
			*w = wave{startS: t0, whole: true}
		}
		w.area += (math.Abs(e0) + math.Abs(e1)) / 2 * (t1 - t0)
		w.setSign(e1)
		return HalfWave{}, false
	}
	atS := t0 + (t1-t0)*e0/(e0-e1)
	w.setSign(e0)
	done := HalfWave{FromS: w.startS, ToS: atS, AreaBarS: w.area + math.Abs(e0)/2*(atS-t0), Sign: w.sign}
	ok := w.whole
	*w = wave{startS: atS, area: math.Abs(e1) / 2 * (t1 - atS), whole: true}
	w.setSign(e1)
	return done, ok
}

func (w *wave) setSign(e float64) {
	switch {
	case e > 0:
		w.sign = 1
	case e < 0:
		w.sign = -1
	}
}

// Oscillations finds stretches with at least HalfWaves half-waves of more than
// HalfWaveBarS within OscillationWindowS. Small half-waves in between do not
// count; large ones must take turns in sign, and of neighbours of one sign the
// first counts.
func Oscillations(in Input, halfWaves []HalfWave, p Params) []Oscillation {
	large := alternating(halfWaves, p)
	var out []Oscillation
	first, last := -1, -1 // of the stretch being joined
	flush := func() {
		if first >= 0 {
			out = append(out, oscillation(in, large[first:last+1]))
		}
	}
	for end := p.HalfWaves - 1; end < len(large); end++ {
		begin := end - p.HalfWaves + 1
		if begin < 0 || large[end].ToS-large[begin].FromS > p.OscillationWindowS+tolS {
			continue
		}
		if first >= 0 && begin <= last {
			last = end
			continue
		}
		flush()
		first, last = begin, end
	}
	flush()
	return out
}

// alternating keeps the half-waves that are large enough and differ in sign
// from the one kept before.
func alternating(halfWaves []HalfWave, p Params) []HalfWave {
	var out []HalfWave
	for _, h := range halfWaves {
		if h.AreaBarS > p.HalfWaveBarS+tolBar && (len(out) == 0 || out[len(out)-1].Sign != h.Sign) {
			out = append(out, h)
		}
	}
	return out
}

func oscillation(in Input, hs []HalfWave) Oscillation {
	a, b := hs[0], hs[len(hs)-1]
	o := Oscillation{FromS: a.FromS, ToS: b.ToS, HalfWaves: len(hs), PeriodS: math.NaN()}
	if len(hs) > 1 {
		o.PeriodS = ((b.FromS + b.ToS) - (a.FromS + a.ToS)) / float64(len(hs)-1)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := rowAtOrAfter(in.TimeS, o.FromS); i < len(in.TimeS) && in.TimeS[i] <= o.ToS; i++ {
		if d := in.depth(i); !math.IsNaN(d) {
			low, high = math.Min(low, d), math.Max(high, d)
		}
	}
	if o.DepthRangeM = high - low; high < low {
		o.DepthRangeM = math.NaN()
	}
	return o
}
