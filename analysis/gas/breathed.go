package gas

import "math"

// LoopMix is the dry gas of a loop whose oxygen has the pressure po2Bar of the
// dry pressure dryBar, and whose inert part holds the share heOfInert of helium
// (0 to 1, see [Mix.HeOfInert]):
//
//	O2 = PO2/P_d,  He = (1 - O2) h,  N2 = (1 - O2)(1 - h)
//
// Oxygen added or used leaves h as it is; only diluent and starting air set it.
// PO2 above P_d, which only an error of reading can give, counts as pure oxygen.
// NaN where an argument is not known or the pressure is none.
func LoopMix(po2Bar, dryBar, heOfInert float64) Mix {
	if !(dryBar > 0) || math.IsNaN(po2Bar) || math.IsNaN(heOfInert) {
		return Mix{O2: math.NaN(), He: math.NaN()}
	}
	o2 := math.Min(math.Max(po2Bar/dryBar, 0), 1)
	return Mix{O2: o2, He: (1 - o2) * heOfInert}
}

// HeOfInert is the share of helium in the inert part, He/(He + N2), which adding
// or using oxygen leaves as it is. NaN for pure oxygen, which has no inert part.
func (m Mix) HeOfInert() float64 {
	inert := m.He + m.N2()
	if !(inert > 0) {
		return math.NaN()
	}
	return m.He / inert
}

// Known tells whether both fractions are numbers.
func (m Mix) Known() bool { return !math.IsNaN(m.O2) && !math.IsNaN(m.He) }

// Inspired are the fractions of what reaches the lungs: the dry gas diluted by
// the water vapour that the airways (and a humid loop) add.
type Inspired struct{ O2, N2, He, H2O float64 }

// Wet is the dry mix saturated with vapourBar of water vapour at pBar:
//
//	F_wet = F_dry (P - pH2O)/P,  F_H2O = pH2O/P
//
// Respiratory physiology takes 47 mmHg, 0.0627 bar, at 37 C.
func (m Mix) Wet(pBar, vapourBar float64) Inspired {
	if !(pBar > 0) {
		return Inspired{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	water := math.Min(vapourBar/pBar, 1)
	dry := 1 - water
	return Inspired{O2: m.O2 * dry, N2: m.N2() * dry, He: m.He * dry, H2O: water}
}

// molarMassH2O is that of water, g/mol (IUPAC).
const molarMassH2O = 18.015

// WetDensity is the density in g/L of the mix as it is breathed, saturated with
// vapourBar of water vapour at tempC, as an ideal gas:
//
//	rho = [ (P - pH2O) M + pH2O 18.015 ] / (R T)
//
// It is what the airways move, but not what the published limits compare with:
// those fit dry gas at 0 C, see [Density].
func WetDensity(m Mix, pBar, vapourBar, tempC float64) float64 {
	dry := Density(m, Dry(pBar, vapourBar), tempC)
	return dry + math.Min(pBar, vapourBar)*molarMassH2O/(gasConstant*(tempC+zeroCelsiusK))
}

// NarcoticDepth is the depth in metres at which air, in the same water under the
// same surface pressure, has as much narcotic gas as the dry mix m at pBar:
//
//	P_eq = P N2/0.79              oxygen not counted
//	P_eq = P (1 - He)             oxygen counted like nitrogen
//	z    = (P_eq - P_surface) 1e5 / (rho g)
//
// Helium counts as not narcotic: common practice. Counting oxygen like nitrogen
// is what the NOAA Diving Manual does for trimix (section 16.3.1.2.4, as quoted
// by others); it makes air its own measure at every depth. Negative where the
// gas holds less than air at the surface.
func NarcoticDepth(m Mix, pBar, surfaceBar, densityKgM3 float64, countOxygen bool) float64 {
	equivalent := pBar * m.N2() / Air().N2()
	if countOxygen {
		equivalent = pBar * (1 - m.He)
	}
	return Depth(surfaceBar, equivalent, densityKgM3)
}
