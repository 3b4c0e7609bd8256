package whatif

import (
	"math"

	"afterloop/analysis/scenario"
)

// bounded keeps a use, L/min in the nominal loop, within what a diver takes up.
func (p Params) bounded(useLMin float64) float64 {
	return math.Max(p.UseLowPerMin*p.NominalVolumeL, math.Min(p.UseHighPerMin*p.NominalVolumeL, useLMin))
}

// meanUse is what the openings and a leak gave on average: the use that the stretches are
// drawn to.
func (c *course) meanUse(flowLMin float64, p Params) float64 {
	sum, span := 0.0, c.tS[len(c.tS)-1]-c.tS[0]
	for _, v := range c.gaveS {
		for _, s := range v {
			sum += s
		}
	}
	use := flowLMin * sum / span
	for _, l := range c.leaks {
		use += l.perMin * p.NominalVolumeL * (math.Min(l.toS, c.tS[len(c.tS)-1]) - l.fromS) / span
	}
	return math.Max(p.MeanUseLowPerMin*p.NominalVolumeL, math.Min(p.MeanUseHighPerMin*p.NominalVolumeL, use))
}

// leakLMin is what leaks in at a moment, in the nominal loop.
func (c *course) leakLMin(tS float64, p Params) float64 {
	sum := 0.0
	for _, l := range c.leaks {
		if tS >= l.fromS && tS < l.toS {
			sum += l.perMin * p.NominalVolumeL
		}
	}
	return sum
}

// fitUse is the use between two rows.
func (m *model) fitUse(c *course, rig scenario.Rig, w walker, from, to int, before, mean float64) float64 {
	step := 0.25 * mean
	a, b := make([]float64, to+1), make([]float64, to+1)
	m.drive(c, rig, w, to, before, a)
	m.drive(c, rig, w, to, before+step, b)
	var num, den float64
	for i := from + 1; i <= to; i++ {
		if !c.usable[i] {
			continue
		}
		share := (c.tS[i] - c.tS[from]) / (c.tS[to] - c.tS[from])
		weight := share * (c.tS[i] - c.tS[i-1]) / 30 // rows nearer than half a minute count as one; ours
		s := (b[i] - a[i]) / step
		num, den = num+weight*s*(m.estBar[i]-a[i]), den+weight*s*s
	}
	prior := sq(m.p.FitSDBar / (m.p.UseSDFraction * mean))
	num += prior * 0.3 * (mean - before) // drawn towards the mean, weakly
	return m.p.bounded(before + num/(den+1.3*prior))
}
