package loop

import "math"

// response is the PO2 of the cells beside what each valve's openings should
// have done to it, both without what is slow, so that the controller's own
// answer to a falling PO2 does not enter.
type response struct {
	timeS []float64
	y     []float64   // cells' mean, corrected for depth, fast part; NaN where not judged
	tmpl  [][]float64 // by valve: fast part of the response of a valve of 1 bar/s
	open  [][]float64 // by valve: seconds commanded open at the row
	k     float64     // rows that count as one
	stepS float64     // usual interval between rows, s
}

// newResponse prepares the comparison. What is done to the cells is done to the
// templates: the cells' mean lag, and twice the removal of what a first-order
// lag of SlowS follows, which takes out steps' tails and ramps alike.
func newResponse(r Record, cells []CellState, p Params) response {
	cols := columns(r, cells, p)
	relativeGains(r, cols, p)
	mean, tau := meanCell(cols, r.Rows(), p)
	slowS := math.Max(p.SlowS, 3*r.UsualStepS())
	p = fitDelay(r, cols, consensus(cols, r.Rows()), p)
	rs := response{timeS: r.TimeS, stepS: r.UsualStepS(), k: math.Max(1, p.CorrelationS/r.UsualStepS())}
	dr := drives(r, consensus(cols, r.Rows()), p)
	still := subtractDepth(mean, dr, tau, r)
	rs.y = fastPart(r, still, slowS)
	hidden, stirred := unjudged(r, still, p), remembered(r, stirredRows(r, still, p), 3*slowS)
	for i := range rs.y {
		if hidden[i] || stirred[i] {
			rs.y[i] = math.NaN()
		}
	}
	for _, v := range r.Valves {
		one := r
		one.Valves = []Valve{v}
		rs.tmpl = append(rs.tmpl, fastPart(r, template(one, dr, tau, p), slowS))
		rs.open = append(rs.open, v.OpenS)
	}
	return rs
}

// meanCell is the mean of the used cells at their common scale, and their mean lag.
func meanCell(cols []column, rows int, p Params) (mean []float64, tau float64) {
	mean = make([]float64, rows)
	nTau := 0.0
	for i := range mean {
		s, n := 0.0, 0.0
		for k := range cols {
			c := &cols[k]
			if math.IsNaN(c.z[i]) {
				continue
			}
			w := 1 / sq(1+c.tauS[c.span[i]]/tauS(0, p.T90DefaultS)) // quick cells tell more
			s, n = s+w*c.z[i]*math.Exp(-c.logGain), n+w
			tau, nTau = tau+w*c.tauS[c.span[i]], nTau+w
		}
		mean[i] = s / n // NaN without any
	}
	return mean, tau / math.Max(nTau, 1e-9)
}

// subtractDepth takes out what changes of depth did: make-up and venting, as the
// cells' lag passes it on.
func subtractDepth(y []float64, dr []drive, tau float64, r Record) []float64 {
	sum := make([]float64, len(y))
	for i := 1; i < len(sum); i++ {
		sum[i] = sum[i-1] + orElse(dr[i].depth, 0)
	}
	sum = LowPass(sum, r.TimeS, sum, tau, nil)
	out := make([]float64, len(y))
	for i := range out {
		out[i] = y[i] - sum[i]
	}
	return out
}

// template is the response of the cells to one valve: the oxygen that arrives,
// part of it an overshoot that decays as the loop mixes, through the cells' lag.
func template(one Record, dr []drive, tau float64, p Params) []float64 {
	open := arriving(one, p.DelayS)
	out := make([]float64, len(open))
	mixed, over := 0.0, 0.0
	for i := 1; i < len(out); i++ {
		all := dr[i].open
		v := 0.0
		if all > 0 {
			v = open[i] * dr[i].valve / all // times (1-x)
		}
		a := math.Exp(-dr[i].h / p.OvershootS)
		mean := p.OvershootS * (1 - a) / dr[i].h
		over = over*a + p.overshootShare()*v*mean
		mixed += (1 - p.overshootShare()) * v
		out[i] = mixed + over
	}
	return LowPass(out, one.TimeS, out, tau, nil)
}

// fastPart removes what a first-order lag follows, twice.
func fastPart(r Record, x []float64, slowS float64) []float64 {
	for range 2 {
		slow := LowPass(nil, r.TimeS, x, slowS, r.GapAfter)
		out := make([]float64, len(x))
		for i := range x {
			out[i] = x[i] - slow[i]
		}
		x = out
	}
	return x
}

// unjudged marks rows in events, in fast changes of depth and where the filters
// still remember a gap. A fall of PO2 that no metabolism explains is taken for a
// flush that was not logged.
func unjudged(r Record, still []float64, p Params) []bool {
	settled := SettledRows(r.TimeS, r.GapAfter, 3*p.SlowS)
	rate := depthRate(r)
	out := make([]bool, r.Rows())
	for i := range out {
		out[i] = !settled[i] || math.Abs(rate[i]) > p.DepthRateMMin
	}
	for i, stirred := range stirredRows(r, still, p) {
		out[i] = out[i] || stirred
	}
	return out
}

// stirredRows marks the rows in events, and in falls of PO2 that no metabolism explains.
func stirredRows(r Record, still []float64, p Params) []bool {
	out := make([]bool, r.Rows())
	for i := range out {
		out[i] = !r.Usable(i)
	}
	for i, v := range Slope(r.TimeS, still, math.Max(15, 2.5*r.UsualStepS())) {
		if v < -p.FlushBarS {
			markSpan(out, r.TimeS, r.TimeS[i]-p.SettleS/2, r.TimeS[i]+p.SettleS)
		}
	}
	return out
}

// remembered marks the rows at most memoryS after a marked one: there the filters
// still hold what happened in rows that are not judged. After a flush that is the
// refill, many times the usual opening, and an error of its template by some per
// cent is then as large as the whole response of a small opening.
func remembered(r Record, marked []bool, memoryS float64) []bool {
	out := make([]bool, len(marked))
	last := math.Inf(-1)
	for i, m := range marked {
		if m {
			last = r.TimeS[i]
		}
		out[i] = r.TimeS[i]-last <= memoryS
	}
	return out
}

// depthRate is the slope of depth over 30 s in m/min; without depth, of ambient
// pressure at 10 m per bar.
func depthRate(r Record) []float64 {
	x, perMin := r.DepthM, 60.0
	if x == nil {
		x, perMin = r.AmbientBar, 600
	}
	if x == nil {
		return make([]float64, r.Rows())
	}
	out := Slope(r.TimeS, x, 30)
	for i := range out {
		out[i] *= perMin
	}
	return out
}
