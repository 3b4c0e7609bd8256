package supply

import (
	"math"

	"afterloop/analysis/gas"
)

const zeroC = 273.15

// zTerms are the coefficients of (p/100 bar)^(i+1) ((t - 15 C)/10)^j.
var zTerms = [4][3]float64{
	{-0.075163, 0.012046, -0.000710},
	{0.009597, 0.001220, -0.000328},
	{0.007786, -0.002215, 0.000300},
	{-0.001208, 0.000335, -0.000046},
}

// Compressibility is Z = p v/(R T) of oxygen at tempC and absolute pressure bar:
// 1 for an ideal gas, 0.931 at 15 C and 200 bar, so that a cylinder holds 7.4 %
// more than the ideal gas law says.
//
//	Z = 1 + sum c_ij (p/100)^i ((t-15)/10)^j
//
// fitted to the equation of state of Stewart, Jacobsen and Wagner (1991), whose
// densities are good to 0.1 %; the fit keeps within 0.04 % of it from -2 to 42 C
// and up to 320 bar. Outside it takes the nearest end. NaN stays NaN.
func Compressibility(tempC, bar float64) float64 {
	t := (math.Max(-2, math.Min(42, tempC)) - 15) / 10
	p := math.Max(0, math.Min(320, bar)) / 100
	if math.IsNaN(tempC) || math.IsNaN(bar) {
		return math.NaN()
	}
	z := 1.0
	power := p
	for _, c := range zTerms {
		z += power * (c[0] + t*(c[1]+t*c[2]))
		power *= p
	}
	return z
}

// Litres is the oxygen in a cylinder of volumeL at absolute pressure bar, L STPD
// (dry, 0 C, 1.01325 bar):
//
//	L = V p/Z / 1.01325 * 273.15/T
func Litres(volumeL, bar, tempC float64) float64 {
	return IdealLitres(volumeL, bar, tempC) / Compressibility(tempC, bar)
}

// IdealLitres is the same by the ideal gas law alone.
func IdealLitres(volumeL, bar, tempC float64) float64 {
	return volumeL * bar / gas.BarPerAta * zeroC / (zeroC + tempC)
}

// stpd turns bar L at loop temperature into litres STPD.
func stpd(barL, tempC float64) float64 { return barL / gas.BarPerAta * zeroC / (zeroC + tempC) }
