package loop

import (
	"math"
	"math/bits"
)

// scalePosterior is the belief about the scale that all cells share, on a grid:
// gain of cell k = exp(logGain_k + delta).
type scalePosterior struct {
	delta []float64 // grid, even
	w     []float64 // probability of each, sums to 1
}

const (
	scaleHalfWidth = 0.4
	scaleStep      = 0.0005
)

// newScalePosterior weighs each delta by how well the gains that it gives agree
// with calibrated cells of which any may be off (GainSD, OffGainSD, OffOdds),
// and a pair may be off alike (AlikeOdds). Cells known to be off say nothing.
//
//	p(delta) ~ N(delta's own; SharedGainSD) sum over sets B of off cells: odds(B) prod_k p_k
//
// Two against one alike is then two peaks: the mean lies between them and the
// interval spans both. Only a witness from outside settles it.
func newScalePosterior(logGain []float64, off []bool, p Params) scalePosterior {
	var known []float64
	for k, l := range logGain {
		if !off[k] {
			known = append(known, l)
		}
	}
	if len(known) > 8 {
		known = known[:8]
	}
	sp := scalePosterior{}
	g := make([]float64, len(known))
	for d := -scaleHalfWidth; d <= scaleHalfWidth+scaleStep/2; d += scaleStep {
		for k, l := range known {
			g[k] = l + d
		}
		sp.delta = append(sp.delta, d)
		sp.w = append(sp.w, gainDensity(g, p))
	}
	if len(known) == 0 {
		for i, d := range sp.delta {
			sp.w[i] = normal(d, p.OffGainSD)
		}
	}
	sp.w = blur(sp.w, p.SharedGainSD/scaleStep)
	sp.w = humid(sp.w, p.HumidOdds, p.HumidGain/scaleStep)
	sp.normalise()
	return sp
}

// gainDensity sums over the sets of cells that are off.
func gainDensity(g []float64, p Params) float64 {
	total := 0.0
	for set := range 1 << len(g) {
		total += setDensity(g, uint(set), p)
	}
	return total
}

// setDensity is the density of the gains where the cells in set are off and the
// rest healthy: off each for itself, or off alike around a common gain.
func setDensity(g []float64, set uint, p Params) float64 {
	healthy, apart, alike, mean := 1.0, 1.0, 1.0, 0.0
	m := float64(bits.OnesCount(set))
	for k, l := range g {
		if set>>k&1 == 0 {
			healthy *= normal(l, p.GainSD)
			continue
		}
		apart *= p.OffOdds * normal(l, p.OffGainSD)
		mean += l / m
	}
	if m < 2 {
		return healthy * apart
	}
	for k, l := range g {
		if set>>k&1 == 1 {
			alike *= normal(l-mean, p.GainSD)
		}
	}
	alike *= p.OffOdds * p.AlikeOdds * normal(mean, p.OffGainSD) * math.Sqrt(2*math.Pi*p.GainSD*p.GainSD/m)
	return healthy * (apart + alike)
}

// normal is the density of a Gaussian of mean 0.
func normal(x, sd float64) float64 {
	return math.Exp(-x*x/(2*sd*sd)) / (sd * math.Sqrt(2*math.Pi))
}

// blur spreads w by a Gaussian of sd grid steps.
func blur(w []float64, sd float64) []float64 {
	if !(sd > 0.2) {
		return w
	}
	out := make([]float64, len(w))
	reach := int(4*sd) + 1
	kernel := make([]float64, reach+1)
	for j := range kernel {
		kernel[j] = normal(float64(j), sd)
	}
	for i, v := range w {
		for j := max(0, i-reach); j <= min(len(w)-1, i+reach); j++ {
			out[j] += v * kernel[max(i-j, j-i)]
		}
	}
	return out
}

// humid mixes in a calibration in humid gas that was taken as dry, which makes
// all cells read high alike, by P/(P - pH2O): evenly up to so many grid steps.
// No comparison of the cells shows it.
func humid(w []float64, odds, steps float64) []float64 {
	n := int(steps)
	if n < 1 || !(odds > 0) {
		return w
	}
	out, sum := make([]float64, len(w)), 0.0 // sum of w[i-n+1..i]
	for i := range w {
		sum += w[i]
		if i >= n {
			sum -= w[i-n]
		}
		out[i] = (1-odds)*w[i] + odds*math.Max(sum, 0)/float64(n)
	}
	return out
}

// times multiplies the belief by a likelihood given as its logarithm.
func (sp *scalePosterior) times(logLik func(delta float64) float64) {
	l := make([]float64, len(sp.delta))
	top := math.Inf(-1)
	for i, d := range sp.delta {
		l[i] = logLik(d)
		if sp.w[i] > 0 {
			top = math.Max(top, l[i])
		}
	}
	for i := range l {
		sp.w[i] *= math.Exp(l[i] - top)
	}
	sp.normalise()
}

func (sp *scalePosterior) normalise() {
	s := 0.0
	for _, w := range sp.w {
		s += w
	}
	if !(s > 0) { // nothing fits: all are alike
		for i := range sp.w {
			sp.w[i] = 1 / float64(len(sp.w))
		}
		return
	}
	for i := range sp.w {
		sp.w[i] /= s
	}
}

// factor is the mean and the 2.5 and 97.5 % quantiles of exp(-delta): what a
// PO2 read at delta = 0 is to be multiplied with.
func (sp *scalePosterior) factor() (mean, low, high float64) {
	cum := 0.0
	low, high = math.NaN(), math.NaN()
	for i, w := range sp.w {
		mean += w * math.Exp(-sp.delta[i])
		if cum < 0.025 && cum+w >= 0.025 {
			high = math.Exp(-sp.delta[i] + scaleStep*(0.5-(0.025-cum)/w))
		}
		if cum < 0.975 && cum+w >= 0.975 {
			low = math.Exp(-sp.delta[i] + scaleStep*(0.5-(0.975-cum)/w))
		}
		cum += w
	}
	return mean, low, high
}
