package gas

import "math"

// Molar masses, g/mol (IUPAC standard atomic weights), and the gas constant
// (CODATA) in bar L/(mol K).
const (
	molarMassO2 = 31.998
	molarMassN2 = 28.0134
	molarMassHe = 4.002602
	gasConstant = 0.08314462618
)

// Density is the density of the dry mix in g/L at pBar absolute and tempC, as an
// ideal gas:
//
//	rho = p M / (R T), M = O2 31.998 + N2 28.0134 + He 4.0026
//
// The limits in use, 5.2 g/L recommended and 6.2 g/L at most (Anthony and
// Mitchell 2016), fit their own examples (air at 31 m and 39 m) at 0 C only.
// Argon is counted with nitrogen, so the figure for air is 0.4 % low.
func Density(m Mix, pBar, tempC float64) float64 {
	molarMass := m.O2*molarMassO2 + m.N2()*molarMassN2 + m.He*molarMassHe
	return pBar * molarMass / (gasConstant * (tempC + zeroCelsiusK))
}

// SaturatedVapourBar is the pressure in bar of water vapour over water at tempC:
//
//	6.1094 hPa exp(17.625 t / (243.04 + t))
//
// the Magnus form with the coefficients of Alduchov and Eskridge, J Appl
// Meteorol 35:601-609, 1996, who state it to within 0.4 % from -40 to 50 C. At
// 37 C it gives 0.0627 bar, 47 mmHg, the figure of respiratory physiology.
func SaturatedVapourBar(tempC float64) float64 {
	return 6.1094e-3 * math.Exp(17.625*tempC/(243.04+tempC))
}
