package supply

import (
	"math"
	"sort"
)

// byHand bounds what recorded additions of oxygen by hand took: nothing at the
// least, FlushVolumes or HandL at ambient pressure at the most.
func (b *Balance) byHand(in Input, p Params) {
	most := 0.0
	for _, h := range in.Hands {
		if !h.Oxygen || h.AtS < b.FromS || h.AtS > b.ToS {
			continue
		}
		litres := p.HandL
		if h.IsFlush {
			litres = p.FlushVolumes * in.volume().High
		}
		if ambient := in.ambientAt(h.AtS); !math.IsNaN(ambient) {
			most += stpd(litres*ambient, in.LoopTempC)
		}
	}
	b.Hand = Range{Value: most / 2, Low: 0, High: most}
}

// volume is the loop's volume, or the range that stands in for it.
func (in Input) volume() Range {
	if in.LoopVolumeL > 0 {
		return about(in.LoopVolumeL, 0)
	}
	return in.PlanVolumeL
}

// use is what the oxygen went into:
//
//	VO2 t + V (p_end - p_start) + vented - brought by diluent
//
// Vented is at most what a loop of constant volume vents on the way up,
// V int x (-dPd), and what flushes drove out; diluent brings at most what it
// takes to hold that volume on the way down, V int F_dil dPd.
func (b *Balance) use(in Input, p Params) {
	vo2, v := in.VO2, in.volume()
	b.UseBasis = "the log's own oxygen consumption where it was found, published consumption from rest to swimming elsewhere"
	known := 0.0
	for _, s := range in.VO2From {
		known += in.secondsOnLoop(math.Max(s.FromS, b.FromS), math.Min(s.ToS, b.ToS))
	}
	if !vo2.Known() || known == 0 {
		vo2, known, b.UseBasis, b.UseRestsOnStatedFlow = in.PlanVO2, 0, "published oxygen consumption from rest to swimming", false
	}
	b.MetabolicL = metabolic(vo2, known, in.PlanVO2, in.secondsOnLoop(b.FromS, b.ToS)-known)
	b.StoredL = stpd(v.Value*in.risen(b.FromS, b.ToS), in.LoopTempC)
	if math.IsNaN(b.StoredL) {
		b.StoredL = 0
	}
	vented, brought := in.ascents(b.FromS, b.ToS, p)
	for _, h := range in.Hands {
		if h.IsFlush && h.AtS >= b.FromS && h.AtS <= b.ToS {
			vented += orElse(in.near(in.PO2Bar, h.AtS-5), 0)
		}
	}
	b.VentedMostL, b.FromDiluentMostL = stpd(v.High*vented, in.LoopTempC), stpd(v.High*brought, in.LoopTempC)
	spread := math.Abs(stpd(v.half()*in.risen(b.FromS, b.ToS), in.LoopTempC))
	if math.IsNaN(spread) {
		spread = 0
	}
	b.Use = Range{Low: b.MetabolicL.Low + b.StoredL - spread - b.FromDiluentMostL, High: b.MetabolicL.High + b.StoredL + spread + b.VentedMostL}
	b.Use.Value = (b.Use.Low + b.Use.High) / 2
	b.Use.Low = math.Max(0, b.Use.Low)
}

// metabolic is the oxygen used in knownS at vo2 and in otherS at anything within plan.
func metabolic(vo2 Range, knownS float64, plan Range, otherS float64) Range {
	return Range{Value: (vo2.Value*knownS + plan.Value*otherS) / 60, Low: (vo2.Low*knownS + plan.Low*otherS) / 60, High: (vo2.High*knownS + plan.High*otherS) / 60}
}

// secondsOnLoop between two moments; a gap counts as the row before it.
func (in Input) secondsOnLoop(fromS, toS float64) float64 {
	var s float64
	for i := max(1, sort.SearchFloat64s(in.TimeS, fromS)); i < len(in.TimeS) && in.TimeS[i-1] < toS; i++ {
		a, b := math.Max(in.TimeS[i-1], fromS), math.Min(in.TimeS[i], toS)
		if b > a && on(in.OnLoop, i-1, true) {
			s += b - a
		}
	}
	return s
}

// near is the value of a column at a moment: the mean of what is known about it.
func (in Input) near(v []float64, atS float64) float64 {
	a, b := rowsWithin(in.TimeS, atS-edgeS, atS+edgeS)
	return meanOf(knownIn(v, a, b))
}

// risen is by how much the loop's PO2 rose between two moments.
func (in Input) risen(fromS, toS float64) float64 {
	return in.near(in.PO2Bar, toS) - in.near(in.PO2Bar, fromS)
}

// ascents are int x (-dPd) over what went up and int F_dil dPd over what went
// down, in bar. Pressure is followed with a play of PlayBar, so that the depth
// sensor's noise counts nothing.
func (in Input) ascents(fromS, toS float64, p Params) (vented, brought float64) {
	at := math.NaN()
	for i, t := range in.TimeS {
		pd := value(in.DryBar, i)
		if t < fromS || t > toS || math.IsNaN(pd) || !on(in.OnLoop, i, true) {
			continue
		}
		if math.IsNaN(at) {
			at = pd
		}
		up, down := at-pd-p.PlayBar, pd-at-p.PlayBar
		switch {
		case up > 0:
			if x := value(in.PO2Bar, i) / pd; x > 0 {
				vented += math.Min(x, 1) * up
			}
			at -= up
		case down > 0:
			if f := value(in.FO2Diluent, i); f > 0 {
				brought += f * down
			} else if math.IsNaN(f) {
				brought += airO2 * down
			}
			at += down
		}
	}
	return vented, brought
}

// airO2 stands for a diluent that the log does not name.
const airO2 = 0.2095
