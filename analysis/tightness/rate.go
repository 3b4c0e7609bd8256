package tightness

import (
	"math"

	"afterloop/analysis/fit"
)

// rate fills the rates from the given bins.
func (r *Result) rate(in Input, t, u []float64, g []int, p Params) {
	f := slopes(t, u, g, p.Confidence)
	spanS := judgedSpan(t, g)
	gauge := 60 * math.Max(in.StepMbar, p.ResolutionMbar) / spanS
	r.RawMbarMin = Estimate{-60 * f.Value, -60*f.High - gauge, -60*f.Low + gauge}
	r.temperature(in, t[0], t[len(t)-1], p)
	r.correct(in, t[0], t[len(t)-1], p)
	limit := p.LimitMbarMin
	switch {
	case r.RateMbarMin.High < limit:
		r.State = BelowLimit
	case r.RateMbarMin.Low > limit:
		r.State = AboveLimit
	default:
		r.State = OpenLimit
	}
}

// slopes is the mean slope over the stretches, each by a robust line and weighed
// by its length: a leak sinks with the pressure, so that one slope for all of
// them would be that of the longest.
func slopes(t, u []float64, g []int, level float64) Estimate {
	sum, half2, w := 0.0, [2]float64{}, 0.0
	for i := 0; i < len(t); {
		j := i
		for j < len(t) && g[j] == g[i] {
			j++
		}
		f := fit.TheilSen(t[i:j], u[i:j], nil, level, true)
		if d := t[j-1] - t[i]; !math.IsInf(f.High-f.Low, 0) && !math.IsNaN(f.Slope) {
			sum, w = sum+d*f.Slope, w+d
			half2[0] += d * d * (f.Slope - f.Low) * (f.Slope - f.Low)
			half2[1] += d * d * (f.High - f.Slope) * (f.High - f.Slope)
		}
		i = j
	}
	if w == 0 { // nothing bounds it
		f := fit.TheilSen(t, u, g, level, true)
		return Estimate{f.Slope, f.Low, f.High}
	}
	return Estimate{sum / w, sum/w - math.Sqrt(half2[0])/w, sum/w + math.Sqrt(half2[1])/w}
}

// judgedSpan is the seconds between the ends of each group, added up.
func judgedSpan(t []float64, g []int) float64 {
	s := 0.0
	for i := 1; i < len(t); i++ {
		if g[i] == g[i-1] {
			s += t[i] - t[i-1]
		}
	}
	return math.Max(s, 1e-9)
}

// temperature is the drift of temperature over the judged time, K/min. Rounding
// of the sensor may hide half a step at either end.
func (r *Result) temperature(in Input, fromS, toS float64, p Params) {
	var t, c []float64
	for i, a := range in.TimeS {
		if in.TempC != nil && a >= fromS && a <= toS && !math.IsNaN(in.TempC[i]) {
			t, c = append(t, a), append(c, in.TempC[i])
		}
	}
	if r.TempKnown = len(t) >= 3 && t[len(t)-1]-t[0] > 0.5*(toS-fromS); !r.TempKnown {
		r.TempKMin = Estimate{0, -p.UnknownTempKMin, p.UnknownTempKMin}
		return
	}
	l := fit.LeastSquares(t, c, nil, false)
	half := math.Max(fit.StudentT(p.Confidence, l.DF)*l.SlopeSE*2, 0.5*in.TempStepK/(toS-fromS))
	r.TempKMin = Estimate{60 * l.Slope, 60 * (l.Slope - half), 60 * (l.Slope + half)}
}

// correct takes the share of the temperature off the rate. A rising temperature
// lifts the pressure: it hides a leak of a positive test and fakes one of a
// negative test. Where the loop's softness k is not known, the rate is that of a
// rigid vessel and the interval holds every k from 0 to 1.
func (r *Result) correct(in Input, fromS, toS float64, p Params) {
	pAbs, tK := meanState(in, fromS, toS)
	sign := 1.0
	if !in.Positive {
		sign = -1
	}
	k, kLow := r.softness(in, pAbs)
	perK := sign * pAbs / tK // mbar per K of a rigid vessel, seen as a loss of difference
	raw, temp := r.RawMbarMin, r.TempKMin
	shift, half := k*perK*temp.Value, k*math.Abs(perK)*(temp.High-temp.Low)/2
	if !r.TempKnown {
		shift = 0
	}
	v := raw.Value + shift
	r.RateMbarMin = Estimate{v, v - math.Hypot(raw.Value-raw.Low, half), v + math.Hypot(raw.High-raw.Value, half)}
	if kLow < k && r.TempKnown {
		soft := raw.Value + kLow*perK*temp.Value
		r.RateMbarMin.Low = math.Min(r.RateMbarMin.Low, soft-(raw.Value-raw.Low))
		r.RateMbarMin.High = math.Max(r.RateMbarMin.High, soft+(raw.High-raw.Value))
	}
}

// softness is k of the temperature correction and the lowest that it may be.
func (r *Result) softness(in Input, pAbsMbar float64) (k, low float64) {
	storage := r.StorageLMbar.Value
	if math.IsNaN(storage) || math.IsNaN(in.LoopVolumeL) || !(storage > 0) {
		r.Softness = Estimate{nan, 0, 1}
		return 1, 0
	}
	k = math.Min(1, in.LoopVolumeL/pAbsMbar/storage)
	r.Softness = Estimate{k, math.Min(1, in.LoopVolumeL/pAbsMbar/r.StorageLMbar.High), math.Min(1, in.LoopVolumeL/pAbsMbar/r.StorageLMbar.Low)}
	return k, r.Softness.Low
}

// meanState is the mean absolute pressure, mbar, and temperature, K.
func meanState(in Input, fromS, toS float64) (pAbsMbar, tK float64) {
	var ps, ts []float64
	for i, t := range in.TimeS {
		if t < fromS || t > toS {
			continue
		}
		if v := 1000*in.AmbientBar[i] + in.LoopMbar[i]; !math.IsNaN(v) {
			ps = append(ps, v)
		}
		if in.TempC != nil && !math.IsNaN(in.TempC[i]) {
			ts = append(ts, in.TempC[i])
		}
	}
	tK = fit.Median(ts) + zeroCelsiusK
	if math.IsNaN(tK) {
		tK = 293.15
	}
	return fit.Median(ps), tK
}

// certainty finds the earliest second from which on the verdict stayed the same.
func (r *Result) certainty(in Input, t, u []float64, g []int, p Params) {
	if r.State == OpenLimit {
		return
	}
	at := nan
	for n := len(t); n >= 5; n -= max(1, len(t)/120) {
		c := *r
		c.rate(in, t[:n], u[:n], g[:n], p)
		if c.State != r.State {
			break
		}
		at = t[n-1] - r.BeginS
	}
	r.CertainAfterS = at
}
