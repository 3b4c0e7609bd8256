package tightness

import (
	"math"

	"afterloop/analysis/fit"
)

// storage is how much gas one mbar holds: measured with a known volume, else
// from the stated volume and compliance.
//
//	V/P + C = dV / dp
func (r *Result) storage(s series, ps []piece, in Input, p Params) {
	var v []Estimate
	for _, m := range in.KnownS {
		if e, ok := s.stepAt(m, ps, in, p); ok {
			v = append(v, e)
		}
	}
	pAbs, _ := meanState(in, math.Inf(-1), math.Inf(1))
	switch {
	case len(v) > 0:
		r.StorageLMbar, r.StorageFrom = pool(v), "measured"
	case !math.IsNaN(in.ComplianceLMbar) && !math.IsNaN(in.LoopVolumeL):
		k := in.LoopVolumeL/pAbs + in.ComplianceLMbar
		r.StorageLMbar, r.StorageFrom = Estimate{k, 0.9 * k, 1.1 * k}, "given"
	}
}

// stepAt measures the step of pressure at a known volume, the lines before and
// after drawn to the moment itself.
func (s *series) stepAt(m float64, ps []piece, in Input, p Params) (Estimate, bool) {
	var before, after *piece
	for k := range ps {
		if s.t[ps[k].to-1] < m {
			before = &ps[k]
		} else if s.t[ps[k].from] > m && after == nil {
			after = &ps[k]
		}
	}
	if before == nil || after == nil || math.IsNaN(in.KnownVolumeL) || in.KnownVolumeL == 0 {
		return Estimate{}, false
	}
	sign := 1.0
	if !in.Positive {
		sign = -1
	}
	step := sign * (after.line.At(m) - before.line.At(m))
	half := 2*math.Hypot(before.line.SEAt(m), after.line.SEAt(m)) + math.Max(in.StepMbar, p.ResolutionMbar)
	if math.IsNaN(half) || math.Abs(step) < 2*half || step*in.KnownVolumeL < 0 {
		return Estimate{}, false
	}
	for i, t := range s.t { // a relief valve that opens at the step would make the storage look large
		if t > m+s.stepS && t < s.t[after.from] && math.Abs(s.u[i]-after.line.At(t)) > math.Max(0.25*math.Abs(step), 3*half) {
			return Estimate{}, false
		}
	}
	size, vol := math.Abs(step), math.Abs(in.KnownVolumeL)
	return Estimate{vol / size, vol / (size + half), vol / (size - half)}, true
}

func pool(v []Estimate) Estimate {
	var c, low, high []float64
	for _, e := range v {
		c, low, high = append(c, e.Value), append(low, e.Low), append(high, e.High)
	}
	return Estimate{fit.Median(c), fit.Median(low), fit.Median(high)}
}

// figures follow from the rate.
func (r *Result) figures(in Input, p Params) {
	pAbs, tK := meanState(in, r.FromS, r.ToS)
	if k := r.StorageLMbar; !math.IsNaN(k.Value) {
		v := r.RateMbarMin
		edges := []float64{k.Low * v.Low, k.High * v.Low, k.Low * v.High, k.High * v.High}
		r.LeakLMin = Estimate{k.Value * v.Value, minOf(edges), maxOf(edges)}
	}
	if !math.IsNaN(in.LoopVolumeL) {
		minutes := (r.ToS - r.FromS) / 60
		drop := r.RateMbarMin.Value * minutes * 100 // Pa
		r.RigidMolS = -DecayMolS(in.LoopVolumeL/1000, pAbs*100, tK, pAbs*100-drop, tK, r.ToS-r.FromS)
	}
	r.Ratio = math.Abs(r.StartMbar-r.EndMbar) / pAbs
	r.Resolution, r.LimitTotal = math.Max(in.StepMbar, p.ResolutionMbar), p.LimitMbarMin*r.JudgedS/60
	r.FitsResolution = r.Resolution*10 <= r.LimitTotal+1e-9
}

// pinned tells whether the pressure stands where it was held while gas still went
// in: a relief valve that holds it would hide an inflow as well as a small leak.
func (r *Result) pinned(in Input, s series, from int) {
	const lookS, spanMbar, leastMbar = 15, 0.5, 5
	if !in.Positive || math.IsNaN(in.ClosedS) {
		return
	}
	var v []float64
	for i := from - 1; i >= 0 && s.t[from]-s.t[i] <= lookS; i-- {
		v = append(v, s.u[i])
	}
	r.Pinned = len(v) >= 5 && maxOf(v)-minOf(v) <= spanMbar && math.Abs(fit.Median(v)-s.u[from]) <= spanMbar && s.u[from] > leastMbar
}

func minOf(v []float64) float64 {
	m := math.Inf(1)
	for _, a := range v {
		m = math.Min(m, a)
	}
	return m
}

func maxOf(v []float64) float64 {
	m := math.Inf(-1)
	for _, a := range v {
		m = math.Max(m, a)
	}
	return m
}
