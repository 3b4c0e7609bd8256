package exposure

import "math"

// The power law of oxygen toxicity (Arieli, Yalov and Goldenshluger, J Appl
// Physiol 92:248-256, 2002) has, for a constant PO2,
//
//	K = t^2 P^c
//
// Its rate grows with what was already taken. For a PO2 that changes, the same
// exposure at another PO2 is the one that has the same K, so that not K but its
// root adds up:
//
//	sqrt K = int P^(c/2) dt,  K = (int P^(c/2) dt)^2
//
// A constant PO2 gives back t^2 P^c, and cutting an exposure in two changes
// nothing; adding up K piece by piece would make it depend on how it was cut.
// A recovery K e^(-kt) takes e^(-kt/2) off the root.

// root is sqrt K as it grows. Unit turns bar into the unit of the equation, time
// is in units of unitS seconds, exponent is c/2.
type root struct {
	sum             float64
	exponent, unitS float64
	unit            func(bar float64) float64
}

// expose adds a stretch above 0.5 bar.
func (r *root) expose(s stretch) {
	r.sum += s.seconds / r.unitS * meanOfPower(r.unit(s.fromBar), r.unit(s.toBar), r.exponent)
}

// recover takes off what a time heals at rate k of K.
func (r *root) recover(seconds, k float64) { r.sum *= math.Exp(-k * seconds / r.unitS / 2) }

// index is K.
func (r *root) index() float64 { return r.sum * r.sum }

// meanOfPower is the mean of x^e while x runs straight from a to b, both above 0:
//
//	(b^(e+1) - a^(e+1)) / ((e+1) (b - a))
//
// Where the ends are close it uses the first terms of the series about the middle,
// as [meanPower] does.
func meanOfPower(a, b, e float64) float64 {
	m := (a + b) / 2
	w := (b - a) / (b + a)
	if math.Abs(w) < 0.01 {
		w2 := w * w
		return math.Pow(m, e) * (1 + e*(e-1)/6*w2*(1+(e-2)*(e-3)/20*w2))
	}
	return (math.Pow(b, e+1) - math.Pow(a, e+1)) / ((e + 1) * (b - a))
}
