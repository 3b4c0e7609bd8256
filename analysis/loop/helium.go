package loop

import "math"

// HeliumWitness is the PO2 that the measured helium fraction implies, with the
// 95 % band of its sigma; NaN where helium says nothing. Where no sigma is stated
// the band is that of Params.HeSigmaUnknown, and it is no witness against a cell.
type HeliumWitness struct {
	PO2Bar, LowBar, HighBar []float64
	sigmaBar                []float64
}

// Helium computes the helium witness. Oxygen added or used leaves He : N2 as in
// the diluent, R = N2/He, so that
//
//	dry:  PO2 = Pd (1 - F (1+R))
//	wet:  PO2 = P - pH2O - F P (1+R)
//
// with Pd = P - pH2O; an error e of F moves PO2 by P (1+R) e. It is NaN until
// the loop's starting air is washed out, after a change of diluent, a bailout
// or a gap likewise, on open circuit, and where the diluent holds no helium.
func Helium(r Record, p Params) HeliumWitness {
	n := r.Rows()
	w := HeliumWitness{nans(n), nans(n), nans(n), nans(n)}
	if r.LoopHe == nil {
		return w
	}
	ok := heliumUsable(r, p)
	vapour, sigma := vapourMid(r), orElse(r.HeSigma, p.HeSigmaUnknown)
	for i, f := range r.LoopHe {
		fo, fh, amb := at(r.FO2Dil, i), at(r.FHeDil, i), r.AmbientAt(i)
		if !ok[i] || math.IsNaN(f) || !(fh > 0) {
			continue
		}
		k := (1 - fo) / fh // 1 + R
		w.PO2Bar[i] = heliumPO2(f, k, amb, vapour, r.HeBasisWet)
		w.sigmaBar[i] = k * amb * sigma
		w.LowBar[i], w.HighBar[i] = w.PO2Bar[i]-1.96*w.sigmaBar[i], w.PO2Bar[i]+1.96*w.sigmaBar[i]
	}
	return w
}

// heliumPO2 is the formula of [Helium]; k is 1 + R.
func heliumPO2(f, k, ambientBar, vapourBar float64, wet bool) float64 {
	if wet {
		return ambientBar - vapourBar - f*ambientBar*k
	}
	return (ambientBar - vapourBar) * (1 - f*k)
}

// heliumUsable marks the rows where He : N2 of the loop is that of the diluent:
// make-up from P0 to P leaves P0/P of what was in the loop.
func heliumUsable(r Record, p Params) []bool {
	ok := make([]bool, r.Rows())
	if r.Rows() == 0 {
		return ok
	}
	since, base := r.TimeS[0], r.AmbientAt(0)
	for i, t := range r.TimeS {
		onLoop := r.OnLoop == nil || r.OnLoop[i]
		changed := i > 0 && (at(r.FO2Dil, i) != at(r.FO2Dil, i-1) || at(r.FHeDil, i) != at(r.FHeDil, i-1))
		if !onLoop || changed || (i > 0 && r.Gap(i-1)) {
			since, base = t, r.AmbientAt(i)
		}
		base = math.Min(base, r.AmbientAt(i))
		ok[i] = onLoop && t-since >= p.HeWashOutS && ((i > 0 && ok[i-1]) || r.AmbientAt(i) >= p.HeWashOut*base)
	}
	return ok
}

func nans(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}
