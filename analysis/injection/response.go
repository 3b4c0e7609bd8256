package injection

import "math"

// Response is what the cells saw after one opening that stood alone.
type Response struct {
	// RiseBar is how much PO2 rose for it: corrected for the trend common to the
	// times before and after, and for the change of depth (x dPd).
	RiseBar float64
	// DelayS is the time from the middle of the opening to half of the response,
	// with the cells' own lag removed; NaN where the response is too small to tell.
	DelayS float64
	// GainBarPerS is RiseBar per second open; FlowPerVolume is that over (1-x):
	//
	//	gain = (1-x) flow/V
	GainBarPerS, FlowPerVolume float64
	// StandardErrorBar of RiseBar.
	StandardErrorBar float64
}

// responses measures the openings that stand alone; nil where an opening does
// not, or its surroundings are not level, complete and undisturbed. A first pass
// finds the delay, a second the size of what is there after it.
func responses(in Input, s signal, openings []Opening, p Params) (out []*Response, delayS float64) {
	tau := known(in.CellT90S, p.AssumedCellT90S) / math.Ln10
	settle := p.SettleT90 * tau * math.Ln10
	quietS := quietFrom(openings)
	delays := make([]float64, len(openings))
	var all []float64
	for k := range openings {
		delays[k] = math.NaN()
		if w, ok := surroundings(in, s, openings, k, quietS[k]+settle, settle, p); ok {
			if delays[k] = w.delay(tau, p); !math.IsNaN(delays[k]) {
				all = append(all, delays[k])
			}
		}
	}
	delayS = math.NaN()
	if len(all) >= p.MinResponses {
		delayS = median(all)
		settle += delayS
	}
	out = make([]*Response, len(openings))
	for k := range openings {
		if w, ok := surroundings(in, s, openings, k, quietS[k]+settle, settle, p); ok {
			out[k] = w.response(settle, delays[k], p)
		}
	}
	return out, delayS
}

// quietFrom is, by opening, when the last of those before it ended.
func quietFrom(openings []Opening) []float64 {
	out := make([]float64, len(openings))
	last := math.Inf(-1)
	for k, o := range openings {
		out[k] = last
		last = math.Max(last, o.ToS)
	}
	return out
}

// around is an opening with the rows around it, time counted from its start.
type around struct {
	t, po   []float64 // po is corrected for the change of depth
	openS   float64   // commanded
	lengthS float64   // from start to end
	x       float64
}

// surroundings collects the rows in which only opening k shows: from when those
// before it have settled, to the start of the next.
func surroundings(in Input, s signal, openings []Opening, k int, settledS, settle float64, p Params) (around, bool) {
	o := openings[k]
	fromS, toS := math.Max(settledS, o.FromS-p.BaselineMaxS), o.ToS+settle+p.BaselineMaxS
	if k+1 < len(openings) {
		toS = math.Min(toS, openings[k+1].FromS)
	}
	if o.FromS-fromS < p.BaselineS || toS-o.ToS-settle < p.BaselineS {
		return around{}, false
	}
	first, last := o.firstRow, o.firstRow
	for first > 0 && in.TimeS[first-1] >= fromS {
		first--
	}
	for last+1 < len(in.TimeS) && in.TimeS[last+1] <= toS {
		last++
	}
	if !levelAndUsable(in, s, first, last, p) || in.TimeS[first] > o.FromS-p.BaselineS || in.TimeS[last] < o.ToS+settle+p.BaselineS/2 {
		return around{}, false
	}
	a := around{openS: o.OpenS, lengthS: o.ToS - o.FromS, x: s.x[first],
		t: make([]float64, 0, last-first+1), po: make([]float64, 0, last-first+1)}
	for i := first; i <= last; i++ {
		a.t = append(a.t, in.TimeS[i]-o.FromS)
		a.po = append(a.po, s.poBar[i]-a.x*(s.dryBar[i]-s.dryBar[first]))
	}
	return a, true
}

func levelAndUsable(in Input, s signal, first, last int, p Params) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for i := first; i <= last; i++ {
		d := in.depth(i)
		if !s.usable[i] || math.IsNaN(d) || i < last && on(in.GapAfter, i, false) {
			return false
		}
		low, high = math.Min(low, d), math.Max(high, d)
	}
	return high-low <= p.LevelM+1e-9
}

// response fits a common straight line and a step to the rows before the
// opening and after it has settled; the rows between are left out, so that the
// shape of the response does not matter.
func (a around) response(settle, delayS float64, p Params) *Response {
	var f lineFit
	before, after := 0, 0
	for i, t := range a.t {
		switch {
		case t <= 0:
			before++
			f.add(t, 0, a.po[i])
		case t >= a.lengthS+settle:
			after++
			f.add(t, 1, a.po[i])
		}
	}
	if before < 2 || after < 2 || before+after < 5 {
		return nil
	}
	rise, se := f.solve()
	r := &Response{RiseBar: rise, StandardErrorBar: se, DelayS: math.NaN(), GainBarPerS: rise / a.openS}
	r.FlowPerVolume = r.GainBarPerS / (1 - a.x)
	if rise > 3*se {
		r.DelayS = delayS
	}
	return r
}

// delay finds the delay at which the answer of a first-order cell of time
// constant tau to the opening fits best, together with a straight line and a
// free size. NaN where no size above zero fits or the best delay is the longest tried.
func (a around) delay(tau float64, p Params) float64 {
	const coarseS, fineS = 2.5, 0.5
	longest := math.Min(p.MaxDelayS, a.t[len(a.t)-1]-a.lengthS-p.BaselineS/2)
	best, bestSS := math.NaN(), math.Inf(1)
	try := func(from, to, step float64) {
		for d := math.Max(0, from); d <= math.Min(longest, to)+1e-9; d += step {
			if ss := a.misfit(d, tau); ss < bestSS {
				best, bestSS = d, ss
			}
		}
	}
	try(0, longest, coarseS)
	try(best-coarseS+fineS, best+coarseS-fineS, fineS)
	if best > longest-coarseS {
		return math.NaN()
	}
	return best
}

// misfit is the residual of the best answer with the delay d, +Inf where none above 0 fits.
func (a around) misfit(d, tau float64) float64 {
	var f lineFit
	for i, t := range a.t {
		f.add(t, laggedRamp(t-d, a.lengthS, tau), a.po[i])
	}
	if size, _ := f.solve(); size > 0 {
		return f.residual()
	}
	return math.Inf(1)
}

// laggedRamp is the answer, from 0 to 1, of a first-order lag tau to a ramp that
// lasts w seconds from t = 0:
//
//	0 < t < w:  (t - tau (1 - e^(-t/tau)))/w
//	t >= w:     1 - tau/w (e^(-(t-w)/tau) - e^(-t/tau))
func laggedRamp(t, w, tau float64) float64 {
	switch {
	case t <= 0:
		return 0
	case w <= 0:
		return 1 - math.Exp(-t/tau)
	case t < w:
		return (t - tau*(1-math.Exp(-t/tau))) / w
	}
	return 1 - tau/w*(math.Exp(-(t-w)/tau)-math.Exp(-t/tau))
}
