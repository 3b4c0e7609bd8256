package exposure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// The exponents of the CNS index. The abstract prints K with 6.8 and Z with 3.38,
// half of 6.76: the figures below keep each as printed.
const (
	cnsExponent  = 6.8
	cnsZExponent = 3.38
	// cnsRecovery is per minute, scaled from rats: a half-time of 8.8 min for K.
	cnsRecovery = 0.079
)

// CNSIndex is K after tMin minutes at a constant pAtm (PO2 / 101.3 kPa): t^2 P^6.8.
func CNSIndex(tMin, pAtm float64) float64 { return tMin * tMin * math.Pow(pAtm, cnsExponent) }

// CNSRisk is the probit and the risk, a fraction, of CNS oxygen toxicity after
// tMin minutes of active diving at a constant pAtm:
//
//	Z = (ln t - 9.63 + 3.38 ln P) / 2.02,  risk = Phi(Z)
func CNSRisk(tMin, pAtm float64) (z, risk float64) {
	return cnsRiskOf(tMin * math.Pow(pAtm, cnsZExponent))
}

// cnsRiskOf is the same for the root of K, int P^3.38 dt. No exposure has no risk.
func cnsRiskOf(root float64) (z, risk float64) {
	z = (math.Log(root) - 9.63) / 2.02
	return z, distuv.UnitNormal.CDF(z)
}

var cnsIndex = Model{
	Name: "cns-index", Title: "CNS index of active diving", Unit: "%",
	Says:     "Risk of CNS oxygen toxicity that the power law gives for the dive, at its highest.",
	Equation: "K = t^2 P^6.8, t in min, P = PO2/101.3 kPa; Z = (ln t - 9.63 + 3.38 ln P)/2.02, risk = Phi(Z); recovery K e^(-0.079 t); varying PO2: t P^c/2 becomes int P^(c/2) dt",
	Source:   arieli2002,
	Range:    "closed-circuit oxygen diving and dry chambers (2039 and 661 exposures); the abstract gives no range of PO2, 1.2 to 2.5 bar is taken (memory)",
	FromBar:  1.2, ToBar: 2.5, MinInside: enoughInside, Verified: true,
	run: func(c course) outcome {
		k := root{exponent: cnsExponent / 2, unitS: 60, unit: atm}
		z := root{exponent: cnsZExponent, unitS: 60, unit: atm}
		var largestK, largestRoot float64
		for _, s := range c {
			if s.exposed {
				k.expose(s)
				z.expose(s)
				largestK, largestRoot = math.Max(largestK, k.index()), math.Max(largestRoot, z.sum)
				continue
			}
			k.recover(s.seconds, cnsRecovery)
			z.recover(s.seconds, cnsRecovery)
		}
		probit, risk := cnsRiskOf(largestRoot)
		return outcome{value: 100 * risk, figures: []Figure{{"K", largestK, "min2 atm^6.8"}, {"Z", probit, ""}},
			notes: []string{"Recovery is counted at or below 0.5 bar only (ours); its constant is scaled from rats. The model knows nothing of work, carbon dioxide or the person."}}
	},
}
