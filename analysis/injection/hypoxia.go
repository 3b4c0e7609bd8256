package injection

import "math"

// Remaining is, by row, the minutes until PO2 is down to HypoxiaBar if no more
// oxygen came, with the range of what is not known. Value is NaN where
// consumption is not known from this dive; all three are NaN off the loop and
// without a PO2.
type Remaining struct {
	Value, Low, High []float64
	// ShortestMin with its row's time and its range: the shortest of the dive under
	// water, by Value, or by Low where Value is not known. NaN where there is none.
	ShortestMin, ShortestLowMin, ShortestHighMin, ShortestAtS float64
	// Basis says in words what the figures rest on.
	Basis string
}

// MinutesLeft is the time in minutes until poBar has fallen to hypoxiaBar, with
// the volume held by diluent and no oxygen coming in:
//
//	dp/dt = -(1 - F_dil) VO2/V
//
// usePerS is VO2/V in bar/s. 0 where poBar is there already. It does not depend
// on depth. A loop that is left to collapse falls more slowly, by (1-x)/(1-F_dil).
func MinutesLeft(poBar, hypoxiaBar, fO2Diluent, usePerS float64) float64 {
	return math.Max(0, poBar-hypoxiaBar) / ((1 - fO2Diluent) * usePerS) / 60
}

// MinutesToHypoxia gives [MinutesLeft] for every row of poBar. usePerVolume is VO2/V in
// 1/min as measured on this dive; where it is not known the planning ranges of
// the parameters take its place: published consumption at rest and swimming
// (Knafelc, NEDU 1-89), over the stated volume or the range of volumes. Where
// the diluent is not known, F_dil from 0 to 0.21 is spanned.
func MinutesToHypoxia(in Input, poBar []float64, usePerVolume Interval, p Params) Remaining {
	n := len(in.TimeS)
	if len(poBar) != n {
		panic("injection: columns differ in length")
	}
	nan := math.NaN()
	r := Remaining{Value: make([]float64, n), Low: make([]float64, n), High: make([]float64, n),
		ShortestMin: nan, ShortestLowMin: nan, ShortestHighMin: nan, ShortestAtS: nan}
	use, basis := usePerSecond(in, usePerVolume, p)
	r.Basis = basis
	for i := range n {
		r.Value[i], r.Low[i], r.High[i] = nan, nan, nan
		if !on(in.OnLoop, i, true) || math.IsNaN(poBar[i]) {
			continue
		}
		fLow, f, fHigh := diluentRange(value(in.FO2Diluent, i))
		r.Low[i] = MinutesLeft(poBar[i], p.HypoxiaBar, fLow, use.High)
		r.High[i] = MinutesLeft(poBar[i], p.HypoxiaBar, fHigh, use.Low)
		r.Value[i] = MinutesLeft(poBar[i], p.HypoxiaBar, f, use.Value)
		r.shortest(in, i)
	}
	return r
}

// usePerSecond is VO2/V in bar/s with its range and what it rests on.
func usePerSecond(in Input, usePerVolume Interval, p Params) (Interval, string) {
	unit := in.perMinute(p)
	if usePerVolume.known() && usePerVolume.Low > 0 {
		return usePerVolume.times(unit), "VO2/V as found on this dive; the diver may have worked harder at other times"
	}
	low, high, basis := p.PlanVolumeLowL, p.PlanVolumeHighL, "planning ranges: published oxygen consumption from rest to swimming, and a range of loop volumes"
	if in.LoopVolumeL > 0 {
		low, high, basis = in.LoopVolumeL, in.LoopVolumeL, "the stated loop volume and published oxygen consumption from rest to swimming"
	}
	return Interval{Value: math.NaN(), Low: p.PlanVO2LowLMin / high * unit, High: p.PlanVO2HighLMin / low * unit}, basis
}

// diluentRange is the oxygen fraction of the diluent, or the range it may have.
func diluentRange(f float64) (low, mid, high float64) {
	if f >= 0 && f < 1 {
		return f, f, f
	}
	return 0, math.NaN(), 0.21
}

// shortest keeps row i where it is the shortest so far, under water.
func (r *Remaining) shortest(in Input, i int) {
	const submergedM = 0.5
	if in.DepthM != nil && !(in.DepthM[i] >= submergedM) {
		return
	}
	shown, best := r.Value[i], r.ShortestMin
	if math.IsNaN(shown) {
		shown, best = r.Low[i], r.ShortestLowMin
	}
	if !(shown >= best) && !math.IsNaN(shown) {
		r.ShortestMin, r.ShortestLowMin, r.ShortestHighMin, r.ShortestAtS = r.Value[i], r.Low[i], r.High[i], in.TimeS[i]
	}
}
