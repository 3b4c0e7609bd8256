// Package gas answers what a depth, a gas and a temperature mean as pressures:
// ambient pressure in water, water vapour, partial pressures, gas density, and
// the standard atmosphere at altitude.
//
// It is the bottom of the module: it imports nothing of it, and everything else
// may import it. Pressures are absolute bar, depths metres, fractions are of
// dry gas. NaN in gives NaN out.
//
// Sources: the units of depth from EN 13319 and the US Navy Diving Manual's
// foot of sea water; the International Standard Atmosphere (ISO 2533); water
// vapour from Alduchov and Eskridge (1996); molar masses from IUPAC. Limits of
// gas density from Anthony and Mitchell (2016) serve as check values.
package gas

// Units of pressure and depth.
const (
	// StandardGravity is the standard acceleration of free fall, m/s2.
	StandardGravity = 9.80665
	// BarPerAta is one standard atmosphere in bar: 101325 Pa.
	BarPerAta = 1.01325
	// BarPerMsw is one metre of sea water, a unit of pressure: 10 000 Pa exactly.
	BarPerMsw = 0.1
	// BarPerFsw is one foot of sea water, a unit of pressure: 64 lbf/ft3, 3064.34 Pa.
	// Other practice takes 1/33 of an atmosphere, 3070.45 Pa.
	BarPerFsw = 0.0306434
	// MetresPerFoot is the international foot.
	MetresPerFoot = 0.3048
	// StandardSurfaceBar is the surface pressure assumed where a log states none.
	StandardSurfaceBar = 1.013
	// zeroCelsiusK is 0 degrees Celsius in kelvin.
	zeroCelsiusK = 273.15
)

// Densities of water, kg/m3, that instruments assume when they turn pressure
// into depth.
const (
	SeaWater     = 1025.0
	FreshWater   = 1000.0
	EN13319Water = 1019.7 // 10 m to the bar
)
