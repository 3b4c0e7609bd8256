package loop

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// heliumScale is the log-likelihood of the scale shared by the cells, given the
// helium witness and the PO2 estimated at scale 0; nil where there is too little.
//
// Blocks of a minute are compared: d = PO2_he - c exp(-delta). What is unknown
// besides is the vapour (a Gaussian whose one sigma spans its range, acting as
// -c/Pd), a constant error of the sensor and one that wanders; the error of a
// fraction moves PO2 by P (1+R), a scale by c: as depth changes, they part.
//
// Without a stated sigma helium names no cell. For this alone its wandering
// error is then estimated from the dive itself, with the constant one left wide.
func heliumScale(r Record, w HeliumWitness, c []float64, p Params) func(delta float64) float64 {
	blocks := heliumBlocks(r, w, c)
	if len(blocks) < 8 {
		return nil
	}
	vapourSD := math.Max(orElse(r.VapourHighBar-r.VapourLowBar, 0), 1e-4) / 2
	size, bias := []float64{0.8}, 0.6 // one sigma in all
	if !(r.HeSigma > 0) {
		size, bias = []float64{0.08, 0.15, 0.3, 0.6, 1.2}, 1
	}
	var fits []*wander
	for _, s := range size {
		f := newWander(p.HeWanderS, p.HeWhiteShare, s, vapourSD, bias)
		for _, b := range blocks {
			f.add(b)
		}
		fits = append(fits, f)
	}
	return func(delta float64) float64 {
		l := make([]float64, len(fits))
		for i, f := range fits {
			l[i] = f.logLik(math.Exp(-delta))
		}
		return logSumExp(l)
	}
}

func logSumExp(l []float64) float64 {
	top, s := math.Inf(-1), 0.0
	for _, v := range l {
		top = math.Max(top, v)
	}
	for _, v := range l {
		s += math.Exp(v - top)
	}
	return top + math.Log(s)
}

// heBlock is the mean over a minute of the witness h, the estimate c and the
// vapour's effect v, all over sigmaBar, so that a constant error of the fraction
// of one sigma is 1.
type heBlock struct{ tS, h, c, v float64 }

func heliumBlocks(r Record, w HeliumWitness, c []float64) []heBlock {
	var out []heBlock
	var b heBlock
	n, from := 0.0, math.NaN()
	flush := func() {
		if n >= 3 {
			out = append(out, heBlock{b.tS / n, b.h / n, b.c / n, b.v / n})
		}
		b, n = heBlock{}, 0
	}
	for i, h := range w.PO2Bar {
		if math.IsNaN(h) || !r.Usable(i) {
			continue
		}
		if !(r.TimeS[i]-from < 60) {
			flush()
			from = r.TimeS[i]
		}
		s := w.sigmaBar[i]
		share := 1.0
		if !r.HeBasisWet {
			share = c[i] / r.AmbientAt(i)
		}
		b.tS, b.h, b.c, b.v, n = b.tS+r.TimeS[i], b.h+h/s, b.c+c[i]/s, b.v-share/s, n+1
	}
	flush()
	return out
}

// wander whitens an error that is a first-order process of standard deviation
// size (in sigmas) and white besides, and accumulates the normal equations of h
// against c, the vapour and a constant.
type wander struct {
	timeS, white, size float64
	prior              [2]float64 // precision of vapour and of the constant error
	last               heBlock
	started            bool
	n                  float64
	hh, hc, cc         float64
	hz, cz             [2]float64
	zz                 [2][2]float64
}

func newWander(timeS, white, size, vapourSD, biasSD float64) *wander {
	return &wander{timeS: timeS, white: white, size: size, prior: [2]float64{1 / sq(vapourSD), 1 / sq(biasSD)}}
}

func (f *wander) add(b heBlock) {
	a := 0.0
	if f.started {
		a = math.Exp(-(b.tS - f.last.tS) / f.timeS)
	}
	s := 1 / (f.size * math.Sqrt(1-a*a+f.white))
	h, c := s*(b.h-a*f.last.h), s*(b.c-a*f.last.c)
	z := [2]float64{s * (b.v - a*f.last.v), s * (1 - a)}
	f.hh, f.hc, f.cc = f.hh+h*h, f.hc+h*c, f.cc+c*c
	for i := range z {
		f.hz[i], f.cz[i] = f.hz[i]+h*z[i], f.cz[i]+c*z[i]
		for j := range z {
			f.zz[i][j] += z[i] * z[j]
		}
	}
	f.last, f.started, f.n = b, true, f.n+1
}

// logLik is the log-likelihood at factor s on c, vapour and constant error
// integrated out:
//
//	chi2 = |h - s c|^2 - g' (Z'Z + prior)^-1 g,  g = Z'(h - s c)
//	ln L = -chi2/2 - n ln size - ln det(Z'Z + prior)/2
func (f *wander) logLik(s float64) float64 {
	m := mat.NewSymDense(2, []float64{f.zz[0][0] + f.prior[0], f.zz[0][1], f.zz[1][0], f.zz[1][1] + f.prior[1]})
	g := mat.NewVecDense(2, []float64{f.hz[0] - s*f.cz[0], f.hz[1] - s*f.cz[1]})
	var ch mat.Cholesky
	var x mat.VecDense
	chi := f.hh - 2*s*f.hc + s*s*f.cc
	if !ch.Factorize(m) || ch.SolveVecTo(&x, g) != nil {
		return 0
	}
	return -(chi-mat.Dot(g, &x))/2 - f.n*math.Log(f.size) - ch.LogDet()/2
}
