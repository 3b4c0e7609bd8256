package whatif

import (
	"math"

	"afterloop/analysis"
	"afterloop/analysis/vote"
)

// corners runs both configurations at the ends of what is not known, one at a time, and
// under the rules of voting that the dive can't tell apart.
func (b *bench) corners(flow flowRange, base, changed setup, r *Report, ch Changes, res resolved) []*pair {
	e := b.ev.Estimate
	ks := []corner{
		{"least flow/V", flow.low, 1, 0, 1}, {"largest flow/V", flow.high, 1, 0, 1},
		{"slow mixing", flow.value, b.w.MixingLow, 0, 1}, {"fast mixing", flow.value, b.w.MixingHigh, 0, 1},
		{"quick cells", flow.value, 1, -b.w.T90SpanS, 1}, {"slow cells", flow.value, 1, b.w.T90SpanS, 1},
		{"least scale of PO2", flow.value, 1, 0, orOne(e.ScaleLow)}, {"largest scale of PO2", flow.value, 1, 0, orOne(e.ScaleHigh)},
	}
	alike := r.Recorded.Alike
	out := make([]*pair, len(ks)+len(alike))
	analysis.Each(len(out), func(i int) {
		if i < len(ks) {
			out[i] = b.pair(fitModel(b.c, ks[i], b.w), base, changed, res).light()
			return
		}
		pol, _ := vote.ByName(alike[i-len(ks)])
		own, other := base, changed
		if own.policy = pol; ch.Policy == "" {
			other.policy = pol
		}
		k := corner{"vote by " + pol.Name, flow.value, 1, 0, 1}
		out[i] = b.pair(fitModel(b.c, k, b.w), own, other, res).light()
	})
	return out
}

func orOne(v float64) float64 {
	if v > 0.5 && v < 2 {
		return v
	}
	return 1
}

// gather turns the runs into figures with their ranges, and fills the series.
func (b *bench) gather(out *Simulation, r *Report, runs []*pair) {
	n := runs[0]
	before, after := n.b, n.a
	for _, x := range runs[1:] {
		before.widen(x.b)
		after.widen(x.a)
	}
	before.Runs, after.Runs = len(runs), len(runs)
	for _, x := range runs {
		if !x.b.HypoxicAtS.Value.Known() {
			before.NotHypoxic++
		}
		if !x.a.HypoxicAtS.Value.Known() {
			after.NotHypoxic++
		}
		out.DiffersS = Range{Float(n.differsS), lower(out.DiffersS.Low, Float(x.differsS)), higher(out.DiffersS.High, Float(x.differsS))}
		out.Corners = append(out.Corners, Corner{Mark, x.k.Name, Float(x.k.flow), Float(x.k.mixing), Float(x.k.t90S), Float(x.k.scale), x.policy, Float(x.rmsePC),
			x.a.Loop.MinBar.Value, x.a.Loop.MaxBar.Value, x.a.HypoxicAtS.Value})
	}
	out.Original, out.Changed = &before, &after
	worst := 0
	for i := range n.after.po2Bar {
		if math.Abs(n.after.po2Bar[i]-n.before.po2Bar[i]) > math.Abs(n.after.po2Bar[worst]-n.before.po2Bar[worst]) {
			worst = i
		}
	}
	out.MaxDifference = analysis.Value{Value: Float(n.after.po2Bar[worst] - n.before.po2Bar[worst]), Unit: "bar", AtS: Float(b.c.tS[worst])}
	b.fillSeries(r.Series, runs)
}

// fillSeries takes the courses of the fitted model and the range over all runs.
func (b *bench) fillSeries(s *Series, runs []*pair) {
	n := runs[0]
	s.SimSetBar = n.setBar
	s.SimOriginalBar, s.SimOriginalVotedBar, s.SimOriginalState = n.before.po2Bar, n.before.votedBar, n.before.state
	s.SimChangedBar, s.SimChangedVotedBar, s.SimChangedState = n.after.po2Bar, n.after.votedBar, n.after.state
	ends := func(of func(*pair) []float64) (low, high []float64) {
		low, high = append([]float64(nil), of(n)...), append([]float64(nil), of(n)...)
		for _, x := range runs[1:] {
			for i, v := range of(x) {
				low[i], high[i] = math.Min(low[i], v), math.Max(high[i], v)
			}
		}
		return low, high
	}
	s.SimOriginalLowBar, s.SimOriginalHighBar = ends(func(x *pair) []float64 { return x.before.po2Bar })
	s.SimChangedLowBar, s.SimChangedHighBar = ends(func(x *pair) []float64 { return x.after.po2Bar })
}
