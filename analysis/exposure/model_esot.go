package exposure

import "math"

// ESOT is the equivalent surface oxygen time after tMin minutes at pAtm: t P^2.285,
// which is 60 sqrt K of the pulmonary index.
func ESOT(tMin, pAtm float64) float64 { return tMin * math.Pow(pAtm, lungExponent/2) }

var esot = Model{
	Name: "esot", Title: "Equivalent surface oxygen time", Unit: "ESOT",
	Says:     "Minutes at 1 atm of oxygen with the same pulmonary effect; 60 times the root of the pulmonary index.",
	Equation: "ESOT = t PO2^2.285, t in min, PO2 in atm, above 0.5; varying PO2: int PO2^2.285 dt",
	Source:   "Risberg and van Ooij, UHM 2022; recommended by DMAC 35 in place of UPTD (that it is: seen; equation and limits: memory)",
	Range:    lungRange + "; ESOT rests on the same power law", FromBar: lungFromBar, ToBar: lungToBar, MinInside: enoughInside,
	run: func(c course) outcome {
		r := root{exponent: lungExponent / 2, unitS: 60, unit: atm}
		for _, s := range c {
			if s.exposed {
				r.expose(s)
			}
		}
		return outcome{value: r.sum, figures: []Figure{{"share of the limit of a single day, 660 (memory)", 100 * r.sum / 660, "%"}},
			notes: []string{"Equation and limits are from memory and were not seen in print."}}
	},
}

// ESOTDay is the limit of each day in a run of days days: 660 on a single day, 500
// for up to 5 days, 420 for up to 10, then 2 days off (DMAC 35, all from memory,
// unverified). ok is false below 1 and beyond 10 days, for which no figure is known.
func ESOTDay(days int) (limit float64, ok bool) {
	switch {
	case days < 1 || days > 10:
		return math.NaN(), false
	case days == 1:
		return 660, true
	case days <= 5:
		return 500, true
	}
	return 420, true
}
