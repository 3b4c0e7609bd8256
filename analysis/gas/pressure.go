package gas

import "math"

// Ambient is the absolute pressure in bar at depthM metres of water of density
// densityKgM3 under surfaceBar:
//
//	P = P_surface + rho g z / 1e5
func Ambient(surfaceBar, depthM, densityKgM3 float64) float64 {
	return surfaceBar + densityKgM3*StandardGravity*depthM/1e5
}

// Depth is the depth in metres at which the pressure is ambientBar, the inverse
// of [Ambient]; below surface pressure it is negative.
func Depth(surfaceBar, ambientBar, densityKgM3 float64) float64 {
	return (ambientBar - surfaceBar) * 1e5 / (densityKgM3 * StandardGravity)
}

// Dry is what is left for the dry gas once water vapour has taken its part,
// and never below 0:
//
//	Pd = P - pH2O
func Dry(ambientBar, vapourBar float64) float64 { return math.Max(0, ambientBar-vapourBar) }

// Constants of the International Standard Atmosphere (ISO 2533) up to 11 km.
const (
	isaSeaLevelBar = 1.01325
	isaSeaLevelK   = 288.15
	isaLapseKPerM  = 0.0065
	isaExponent    = 5.25588
	isaTropopauseM = 11000
	isaLowestM     = -5000
	isaLowestPBar  = 0.22 // just below the pressure at 11 km
	isaHighestPBar = 1.78 // just above the pressure at -5 km
)

// StandardPressure is the pressure in bar of the standard atmosphere at
// altitudeM metres:
//
//	P = 1.01325 (1 - 0.0065 h / 288.15)^5.25588
//
// NaN outside -5 to 11 km, where the equation does not hold.
func StandardPressure(altitudeM float64) float64 {
	if !(altitudeM >= isaLowestM && altitudeM <= isaTropopauseM) {
		return math.NaN()
	}
	return isaSeaLevelBar * math.Pow(1-isaLapseKPerM*altitudeM/isaSeaLevelK, isaExponent)
}

// StandardAltitude is the altitude in metres at which the standard atmosphere
// has the pressure pBar, the inverse of [StandardPressure]; weather alone moves
// it by some 250 m. NaN outside 0.22 to 1.78 bar.
func StandardAltitude(pBar float64) float64 {
	if !(pBar >= isaLowestPBar && pBar <= isaHighestPBar) {
		return math.NaN()
	}
	return isaSeaLevelK / isaLapseKPerM * (1 - math.Pow(pBar/isaSeaLevelBar, 1/isaExponent))
}

// STPDToLoop turns a flow in L/min STPD (dry, 0 C, 1 atm) into bar L/s at the
// loop's temperature tempC, the unit in which a flow over a volume is a rate of
// partial pressure:
//
//	Q = (1.01325/60) (T/273.15) q
func STPDToLoop(lMin, tempC float64) float64 {
	return BarPerAta / 60 * (tempC + zeroCelsiusK) / zeroCelsiusK * lMin
}
