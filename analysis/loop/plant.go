package loop

import "math"

// This file turns the loop equation into the transition of the filter.
//
// State, in this order:
//
//	m    PO2 of the mixed loop, bar
//	q    what is on top of it at the cells after an opening, bar
//	r    slow rate of m: metabolism, leaks, whatever the rest leaves, bar/s
//	bm   rise of m per second of valve, over (1 - x), bar/s
//	bq   rise of q per second of valve, over (1 - x), bar/s
//	l_k  PO2 as cell k sees it, lagging, bar (its reading is g_k l_k)
//
// The PO2 at the cells is m + q. Between rows
//
//	dm/dt = r + bm v + D,  dq/dt = -q/To + bq v,  dl_k/dt = (m + q - l_k)/tau_k
//
// v is (1 - x) times the valve's open share, D the make-up or venting of a
// change of depth: F_dil dPd/dt going down, x dPd/dt going up.
const (
	iM = iota
	iQ
	iR
	iBM
	iBQ
	iCell // first lag state
)

// drive is what acts on the loop between the row before and a row.
type drive struct {
	h     float64 // s since the row before
	open  float64 // s open that arrived
	valve float64 // (1-x) times that
	depth float64 // bar, D h
	event bool    // flush, manual addition, open circuit
}

// plant holds the transition and its buffers.
type plant struct {
	p    Params
	tauS []float64 // per cell, s
	tr   transition
	s    []stepCell
}

// stepCell are one cell's coefficients for one step.
type stepCell struct{ a, ramp, kq, kv float64 }

func newPlant(p Params, cells int) *plant {
	n := iCell + cells
	pl := &plant{p: p, tauS: make([]float64, cells), s: make([]stepCell, cells)}
	pl.tr.u = make([]float64, n)
	pl.tr.f = make([][]coef, n)
	for i := range pl.tr.f {
		pl.tr.f[i] = make([]coef, 0, 6)
	}
	for range 3 {
		pl.tr.noise = append(pl.tr.noise, make([]float64, n))
	}
	return pl
}

// step sets the transition for one drive and returns it; it is valid until the
// next call. Inputs are taken as spread evenly over the step.
func (pl *plant) step(d drive) *transition {
	p, tr := &pl.p, &pl.tr
	h := math.Max(d.h, 1e-3)
	aq := math.Exp(-h / p.OvershootS)
	ar := math.Exp(-h / p.RateTimeS)
	phi := p.RateTimeS * (1 - ar) // how far r carries m in h
	meanQ := p.OvershootS * (1 - aq) / h
	for i := range tr.f {
		tr.f[i] = tr.f[i][:0]
		tr.u[i] = 0
	}
	tr.f[iM] = append(tr.f[iM], coef{iM, 1}, coef{iR, phi}, coef{iBM, d.valve})
	tr.u[iM] = d.depth
	tr.f[iQ] = append(tr.f[iQ], coef{iQ, aq}, coef{iBQ, d.valve * meanQ})
	tr.f[iR] = append(tr.f[iR], coef{iR, ar})
	tr.f[iBM] = append(tr.f[iBM], coef{iBM, 1})
	tr.f[iBQ] = append(tr.f[iBQ], coef{iBQ, 1})
	for k, tau := range pl.tauS {
		c := lagStep(h, tau, p.OvershootS, aq)
		pl.s[k] = c
		row := iCell + k
		tr.f[row] = append(tr.f[row], coef{row, c.a}, coef{iM, 1 - c.a}, coef{iR, c.ramp * phi / h},
			coef{iBM, c.ramp * d.valve / h}, coef{iQ, c.kq}, coef{iBQ, c.kv * d.valve / h})
		tr.u[row] = c.ramp * d.depth / h
	}
	pl.noise(d, h, ar, meanQ)
	return tr
}

// lagStep integrates a first-order lag tau exactly over h for an input that is
// constant, a ramp, or the overshoot with its own time to:
//
//	a    = exp(-h/tau)
//	ramp = h - tau (1 - a)                        response to slope 1
//	kq   = to (exp(-h/to) - a)/(to - tau)         response to q(0) = 1
//	kv   = to ((1 - a) - kq)                      response to a steady feed of q
func lagStep(h, tau, to, aq float64) stepCell {
	a := math.Exp(-h / tau)
	kq := h / to * aq // the limit of equal times
	if math.Abs(tau-to) > 1e-6*to {
		kq = to * (aq - a) / (to - tau)
	}
	return stepCell{a: a, ramp: h - tau*(1-a), kq: kq, kv: to * (1 - a - kq)}
}

// noise fills the directions of the process noise: of the level, of the slow
// rate, and of the overshoot.
func (pl *plant) noise(d drive, h, ar, meanQ float64) {
	p, w := &pl.p, pl.tr.noise
	level := p.MixSD * p.MixSD * h
	if d.event {
		level += p.EventSD * p.EventSD * math.Min(h, 60)
	}
	bm, bq := p.ValveMixed, p.ValveOver
	level += sq(p.DepthShare*d.depth) + sq(p.ValveShare*bm*d.valve)
	sm := math.Sqrt(level)
	sr := p.RateSDBarS * math.Sqrt(1-ar*ar)
	sqn := p.ValveShare * bq * math.Abs(d.valve) * meanQ
	w[0][iM], w[1][iR], w[2][iQ] = sm, sr, sqn
	w[1][iM] = sr * math.Min(h, p.RateTimeS) / 2
	for k, c := range pl.s {
		w[0][iCell+k] = sm * c.ramp / h
		w[1][iCell+k] = w[1][iM] * c.ramp / h
		w[2][iCell+k] = sqn * c.ramp / h
	}
}

func sq(x float64) float64 { return x * x }
