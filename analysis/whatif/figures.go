package whatif

import (
	"math"

	"afterloop/analysis"
	"afterloop/analysis/exposure"
	"afterloop/analysis/tracking"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// bench is a dive with all that the figures need.
type bench struct {
	d   *ingest.Dive
	p   analysis.Parameters
	w   Params
	deb *analysis.Debrief
	ev  analysis.Evidence
	c   *course // nil without estimate, valves, set point or diluent
}

// loopOf are the figures of one course of PO2 at the cells.
func (b *bench) loopOf(po2, setBar []float64, onLoop []bool, openS, gaveS float64) Loop {
	l := Loop{MinBar: only(math.NaN()), MaxBar: only(math.NaN()), OpenS: only(openS), GaveS: only(gaveS), OxygenL: only(gaveS / 60 * b.d.Meta.OxygenFlowLMin)}
	gap := b.d.GapAfter()
	var low016, low018, high14, high16 float64
	lo, hi := math.NaN(), math.NaN()
	for i, v := range po2 {
		if !onLoop[i] || math.IsNaN(v) || !(b.ev.Record.DepthM[i] >= submergedM) {
			continue
		}
		if !(v >= lo) {
			lo = v
		}
		if !(v <= hi) {
			hi = v
		}
		w := analysis.RowSeconds(b.d.TimeS, gap, i)
		low016 += when(v < 0.16-tolBar, w)
		low018 += when(v < 0.18-tolBar, w)
		high14 += when(v > 1.4+tolBar, w)
		high16 += when(v > 1.6+tolBar, w)
	}
	l.MinBar, l.MaxBar = only(lo), only(hi)
	l.Below016S, l.Below018S, l.Above14S, l.Above16S = only(low016), only(low018), only(high14), only(high16)
	b.track(&l, po2, setBar, onLoop)
	b.dose(&l, po2, onLoop)
	return l
}

func when(yes bool, v float64) float64 {
	if yes {
		return v
	}
	return 0
}

// only is a figure without a range.
func only(v float64) Range { return Range{Float(v), unknown, unknown} }

// track fills the figures against the set point.
func (b *bench) track(l *Loop, po2, setBar []float64, onLoop []bool) {
	l.MeanErrorBar, l.RMSEBar, l.Within005 = only(math.NaN()), only(math.NaN()), only(math.NaN())
	if setBar == nil {
		return
	}
	r := tracking.Track(tracking.Input{TimeS: b.d.TimeS, DepthM: b.d.DepthM, AmbientBar: b.d.AmbientBar, SetPointBar: setBar, PO2Bar: po2, OnLoop: onLoop,
		GapAfter: b.d.GapAfter(), VapourBar: b.p.Gas.VapourBar}, nil, b.p.Tracking)
	l.MeanErrorBar, l.RMSEBar, l.Within005 = only(r.MeanErrorBar), only(r.RMSEBar), only(r.Within005)
}

// dose fills CNS and OTU of what was breathed: on open circuit the gas of open circuit.
func (b *bench) dose(l *Loop, po2 []float64, onLoop []bool) {
	l.CNSPercent, l.OTU = only(math.NaN()), only(math.NaN())
	v := append([]float64(nil), po2...)
	for i := range v {
		if onLoop[i] {
			continue
		}
		if !b.d.OpenGas[i].Known {
			return // what was breathed is not known: not assessed
		}
		v[i] = b.d.OpenGas[i].O2 * b.d.AmbientBar[i]
	}
	o := b.p.Exposure
	o.MaxHoleS = math.Max(o.MaxHoleS, 2.5*b.d.UsualIntervalS())
	t := exposure.Integrate(b.d.TimeS, v, b.d.GapAfter(), o).Total
	l.CNSPercent, l.OTU, l.CNSIsLowerBound = only(100*t.CNSStep), only(t.OTU), t.LowerBound()
}

// distance fills how far a number acted on lies from the PO2 at the cells. outside is how far it
// lies outside what the PO2 may have been, by row.
func (b *bench) distance(v *Vote, acted, po2, outside []float64, onLoop []bool) {
	gap := b.d.GapAfter()
	var sum, time float64
	worst := -1
	for i := range acted {
		d := math.Abs(acted[i] - po2[i])
		if !onLoop[i] || math.IsNaN(d) {
			continue
		}
		w := analysis.RowSeconds(b.d.TimeS, gap, i)
		sum, time = sum+w*d, time+w
		if worst < 0 || d > math.Abs(acted[worst]-po2[worst]) {
			worst = i
		}
	}
	v.MeanDistanceBar = only(sum / time)
	v.MaxDistance = analysis.Value{Value: unknown, Unit: "bar", AtS: unknown}
	if worst >= 0 {
		v.MaxDistance = analysis.Value{Value: Float(math.Abs(acted[worst] - po2[worst])), Unit: "bar", AtS: Float(b.d.TimeS[worst])}
	}
	v.False = b.stretches(func(i int) bool { return onLoop[i] && outside[i] > b.w.FollowedBar+tolBar }, b.w.FollowedS)
	total := 0.0
	for _, s := range v.False {
		total += float64(s.ToS - s.FromS)
	}
	v.FalseS = only(total)
}

// stretches are those over whose rows hold is true for at least leastS; a gap ends one.
func (b *bench) stretches(hold func(int) bool, leastS float64) []analysis.Span {
	out := []analysis.Span{}
	gap := b.d.GapAfter()
	from := -1
	for i := range b.d.TimeS {
		if hold(i) && from < 0 {
			from = i
		}
		last := i == len(b.d.TimeS)-1 || gap[i]
		if from < 0 || hold(i) && !last {
			continue
		}
		to := b.d.TimeS[i]
		if to-b.d.TimeS[from] >= leastS {
			out = append(out, analysis.Span{FromS: Float(b.d.TimeS[from]), ToS: Float(to)})
		}
		from = -1
	}
	return out
}

// outsideBand is how far a number lies outside the estimate's band, by row.
func (b *bench) outsideBand(acted []float64) []float64 {
	e := b.ev.Estimate
	out := make([]float64, len(acted))
	for i, v := range acted {
		out[i] = math.Max(e.LowBar[i]-v, v-e.HighBar[i])
	}
	return out
}

// voteOf is a replay as a result.
func (b *bench) voteOf(r vote.Result, p vote.Params) Vote {
	v := Vote{Policy: r.Policy, Params: p, Cells: append([]int{}, r.Cells...), UndecidedS: only(r.UndecidedS), NoneS: only(r.NoneS), VotedOut: []analysis.VotedOut{}, Reminders: []Float{},
		MeanDistanceBar: only(math.NaN()), FalseS: only(math.NaN()), False: []analysis.Span{}, MaxDistance: analysis.Value{Value: unknown, Unit: "bar", AtS: unknown}}
	if pol, ok := vote.ByName(r.Policy); ok {
		v.Rule = pol.Rule
	}
	for _, o := range r.VotedOut {
		v.VotedOut = append(v.VotedOut, analysis.VotedOut{Cell: o.Cell, FromS: Float(o.FromS), ToS: Float(o.ToS), Reason: o.Reason})
	}
	for _, m := range r.Reminders {
		v.Reminders = append(v.Reminders, Float(m.AtS))
	}
	if b.ev.Diagnosed {
		b.distance(&v, r.PO2Bar, b.ev.Estimate.PO2Bar, b.outsideBand(r.PO2Bar), b.ev.Record.OnLoop)
	}
	return v
}
