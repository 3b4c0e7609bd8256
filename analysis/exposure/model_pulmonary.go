package exposure

import "math"

// arieli2002 and arieliSaturation are the papers, seen as their abstracts.
const (
	arieli2002       = "Arieli, Yalov and Goldenshluger, J Appl Physiol 92:248-256, 2002 (abstract)"
	arieliSaturation = "Arieli, Pulmonary oxygen toxicity in saturation dives with PO2 close to the lower end of the toxic range (abstract)"
)

// The power law of the lung was fitted to exposures at 1 bar and more (the
// saturation paper calls those extensively described), its recovery from 1.1 to
// 2.5 bar.
const (
	lungFromBar, lungToBar = 1.0, 2.5
	lungRange              = "PO2 from 1.0 to 2.5 bar: the toxicity is extensively described from 1 bar on, the recovery from 1.1 to 2.5 bar; about 0.5 bar is called the lower end of the toxic range"
	lungExponent           = 4.57
)

// PulmonaryIndex is K after tH hours at a constant pBar (bar): t^2 PO2^4.57.
func PulmonaryIndex(tH, pBar float64) float64 { return tH * tH * math.Pow(pBar, lungExponent) }

// PulmonaryIncidence is the share in per cent of divers with pulmonary oxygen
// toxicity at an index K: 1.85 + 0.171 K, clamped at 100, which the line passes at
// K = 574. clamped tells that it was.
func PulmonaryIncidence(k float64) (percent float64, clamped bool) {
	percent = pulmonaryOffset + 0.171*k
	return math.Min(percent, 100), percent > 100
}

// pulmonaryOffset is what the line gives for no exposure at all, in per cent.
const pulmonaryOffset = 1.85

// ofWhichOffset names the part of a figure that its formula gives for no exposure.
const ofWhichOffset = "of which the formula's offset at zero exposure"

// VitalCapacityLoss is the loss in per cent after tH hours at a constant pAtm
// (PO2 / 101.3 kPa): 0.0082 t^2 P^4.57.
func VitalCapacityLoss(tH, pAtm float64) float64 {
	return vitalFactor * tH * tH * math.Pow(pAtm, lungExponent)
}

const vitalFactor = 0.0082

// VitalCapacityRecovery is the rate per hour at which a loss heals that was taken
// at preBar (bar): -0.42 + 0.00379 PO2 with PO2 in kPa. At or below some 1.1 bar it
// is 0 or negative, a loss that would not heal or grow without oxygen: it is then
// clamped at 0.
func VitalCapacityRecovery(preBar float64) (perHour float64, clamped bool) {
	k := -0.42 + 0.00379*100*preBar
	return math.Max(0, k), k <= 0
}

const recoveryClamped = "The published recovery constant is 0 or negative for what was breathed before (below about 1.1 bar); it is clamped at 0: no recovery is counted."

var vitalCapacity = Model{
	Name: "vital-capacity", Title: "Loss of vital capacity", Unit: "%",
	Says:     "Largest loss of vital capacity that the power law gives for the dive.",
	Equation: "%dVC = 0.0082 t^2 P^4.57, t in h, P = PO2/101.3 kPa; recovery dVC e^(-(-0.42 + 0.00379 PO2) t), PO2 in kPa before the recovery; varying PO2: (int P^2.285 dt)^2",
	Source:   arieli2002, Range: lungRange, FromBar: lungFromBar, ToBar: lungToBar, MinInside: enoughInside, Verified: true,
	run: func(c course) outcome {
		r := root{exponent: lungExponent / 2, unitS: 3600, unit: atm}
		var largest, exposedS, barS float64
		var out outcome
		for _, s := range c {
			if s.exposed {
				r.expose(s)
				exposedS, barS = exposedS+s.seconds, barS+s.seconds*(s.fromBar+s.toBar)/2
				largest = math.Max(largest, r.index())
				continue
			}
			if exposedS == 0 || s.seconds == 0 {
				continue
			}
			k, clamped := VitalCapacityRecovery(barS / exposedS)
			r.recover(s.seconds, k)
			if clamped && len(out.notes) == 0 {
				out.notes = []string{recoveryClamped}
			}
		}
		out.value = vitalFactor * largest
		out.figures = []Figure{{"at the end of the record", vitalFactor * r.index(), "%"}}
		return out
	},
}

var pulmonaryIndex = Model{
	Name: "pulmonary-index", Title: "Pulmonary index and incidence", Unit: "%",
	Says:     "Share of divers with pulmonary oxygen toxicity at the index K of the dive.",
	Equation: "K = t^2 PO2^4.57, t in h, PO2 in bar; incidence % = 1.85 + 0.171 K, at most 100 (K > 574); varying PO2: K = (int PO2^2.285 dt)^2",
	Source:   arieliSaturation, Range: lungRange, FromBar: lungFromBar, ToBar: lungToBar, MinInside: enoughInside, Verified: true,
	run: func(c course) outcome {
		r := root{exponent: lungExponent / 2, unitS: 3600, unit: func(bar float64) float64 { return bar }}
		for _, s := range c {
			if s.exposed {
				r.expose(s)
			}
		}
		k := r.index()
		percent, clamped := PulmonaryIncidence(k)
		out := outcome{value: percent, figures: []Figure{{ofWhichOffset, pulmonaryOffset, "%"}, {"K", k, "h2 bar^4.57"}},
			notes: []string{"1.85 % is the line's own offset: it gives that for no exposure at all. No recovery is counted."}}
		if clamped {
			out.notes = append(out.notes, "The line passes 100 % at K = 574: clamped.")
		}
		return out
	},
}

// PulmonaryIndexSaturation is K for long exposures near 0.5 bar, where toxicity and
// recovery run together: t^2 PO2^4.57 e^(-0.0135 t), t in hours, PO2 in bar. It was
// fitted to one saturation dive and is no model of a dive of hours.
func PulmonaryIndexSaturation(tH, pBar float64) float64 {
	return PulmonaryIndex(tH, pBar) * math.Exp(-0.0135*tH)
}
