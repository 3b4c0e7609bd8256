package mapping

import (
	"strings"

	"afterloop/analysis/gas"
)

// unit is one unit: a value in the base unit of its dimension is v*mul/div + add.
// The base units are bar, m, s, V, C, L, L/min, kg/m3 and one.
type unit struct {
	name          string
	dimension     string
	mul, div, add float64
	aliases       []string
}

// Pressures of other units. Pound and inch are exact by the agreement of 1959
// (0.45359237 kg, 0.0254 m), standard gravity is 9.80665 m/s2, so that
// 1 psi = 0.45359237*9.80665/0.0254^2 Pa; 1 mmHg is 133.322387415 Pa and
// 1 torr 101325/760 Pa (NIST SP 811, appendix B) (memory).
const (
	barPerPSI  = 0.45359237 * gas.StandardGravity / (0.0254 * 0.0254) / 1e5
	barPerMmHg = 133.322387415e-5
	barPerTorr = 1.01325 / 760
)

var units = []unit{
	{"m", "length", 1, 1, 0, []string{"meter", "metre", "meters", "metres", "mtr"}},
	{"cm", "length", 1, 100, 0, nil},
	{"mm", "length", 1, 1000, 0, nil},
	{"ft", "length", gas.MetresPerFoot, 1, 0, []string{"feet", "foot", "'"}},

	{"bar", "pressure", 1, 1, 0, []string{"bara"}},
	{"mbar", "pressure", 1, 1000, 0, []string{"millibar", "hPa"}},
	{"cbar", "pressure", 1, 100, 0, []string{"centibar"}},
	{"Pa", "pressure", 1, 100000, 0, nil},
	{"kPa", "pressure", 1, 100, 0, nil},
	{"MPa", "pressure", 10, 1, 0, nil},
	{"ata", "pressure", gas.BarPerAta, 1, 0, []string{"atm"}},
	{"psi", "pressure", barPerPSI, 1, 0, []string{"psia", "lb/in2"}},
	{"mmHg", "pressure", barPerMmHg, 1, 0, nil},
	{"torr", "pressure", barPerTorr, 1, 0, nil},
	{"msw", "pressure", 1, 1 / gas.BarPerMsw, 0, nil},
	{"fsw", "pressure", gas.BarPerFsw, 1, 0, nil},

	{"C", "temperature", 1, 1, 0, []string{"°C", "ºC", "degC", "deg C", "Celsius"}},
	{"F", "temperature", 5, 9, -160.0 / 9, []string{"°F", "ºF", "degF", "deg F", "Fahrenheit"}},
	{"K", "temperature", 1, 1, -273.15, []string{"Kelvin"}},

	{"s", "time", 1, 1, 0, []string{"sec", "secs", "second", "seconds"}},
	{"ms", "time", 1, 1000, 0, []string{"msec", "milliseconds"}},
	{"min", "time", 60, 1, 0, []string{"mins", "minute", "minutes"}},
	{"h", "time", 3600, 1, 0, []string{"hr", "hrs", "hour", "hours"}},

	{"V", "voltage", 1, 1, 0, []string{"volt", "volts"}},
	{"mV", "voltage", 1, 1000, 0, []string{"millivolt", "millivolts"}},

	{"1", "number", 1, 1, 0, []string{"fraction", "count", "counts", "openings"}},
	{"%", "number", 1, 100, 0, []string{"percent", "per cent", "pct"}},
	{"ppm", "number", 1, 1e6, 0, nil},

	{"l", "volume", 1, 1, 0, []string{"L", "litre", "litres", "liter", "liters"}},
	{"ml", "volume", 1, 1000, 0, []string{"cm3"}},
	{"l/min", "flow", 1, 1, 0, []string{"L/min", "lpm"}},
	{"ml/min", "flow", 1, 1000, 0, []string{"mL/min"}},
	{"kg/m3", "density", 1, 1, 0, []string{"kg/m^3", "kg/m³", "g/l", "g/L"}},
	{"kg/l", "density", 1000, 1, 0, []string{"kg/L", "g/cm3", "g/ml"}},
}

// find looks a unit up; brackets round it are taken off. Spelling counts first,
// because mV and MV differ; without regard to case where nothing is spelt so.
func find(s string) *unit {
	s = strings.Trim(strings.TrimSpace(s), "[](){} ")
	for _, equal := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		for i := range units {
			u := &units[i]
			if equal(u.name, s) {
				return u
			}
			for _, a := range u.aliases {
				if equal(a, s) {
					return u
				}
			}
		}
	}
	return nil
}

// Unit is the name of a unit, however it is spelt and bracketed; empty for none.
func Unit(s string) string {
	if u := find(s); u != nil {
		return u.name
	}
	return ""
}

// Dimension is what a unit measures, empty for a unit that is not known.
func Dimension(s string) string {
	if u := find(s); u != nil {
		return u.dimension
	}
	return ""
}

// Convert says how a value in one unit becomes one in another: v*mul/div + add.
// ok is false where one is not known or they measure different things.
func Convert(from, to string) (mul, div, add float64, ok bool) {
	a, b := find(from), find(to)
	switch {
	case a == nil || b == nil || a.dimension != b.dimension:
		return 0, 0, 0, false
	case a == b:
		return 1, 1, 0, true
	}
	return a.mul * b.div, a.div * b.mul, (a.add - b.add) * b.div / b.mul, true
}

// UnitsOf lists the units that convert to one, for a message.
func UnitsOf(to string) string {
	var names []string
	for _, u := range units {
		if u.dimension == Dimension(to) {
			names = append(names, u.name)
		}
	}
	return strings.Join(names, ", ")
}
