package analysis

import (
	"fmt"
	"math"
)

// densitySource is where the limits of density come from.
const densitySource = "Anthony and Mitchell, in Pollock, Sellers and Godfrey (eds), Rebreathers and Scientific Diving, 2016: 5.2 g/L recommended, 6.2 g/L at most, as air at 31 and 39 m (6.2 and the depths: memory); dry gas at 0 °C, where these fit"

// checkGasDensity looks for gas that was denser than the published limits for long.
func checkGasDensity(b *bench) verdict {
	r, g, q := b.breathedRows, b.debrief.BreathedGas, b.p.BreathedGas
	if r == nil {
		return notAssessed(g.Reason)
	}
	known := func(i int) bool { return b.under[i] && !math.IsNaN(r.densityGL[i]) }
	fraction := b.usable(known)
	if fraction == 0 {
		return notAssessed("no row under water with a known gas")
	}
	above := func(v []float64, limit float64) []span {
		ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return b.under[i] && v[i] > limit+tol })
		return lasting(ss, q.DensityAfterS)
	}
	var fs []Finding
	if ss := merge(above(r.densityGL, q.DensityCautionGL), b.p.Limits.MergeS); len(ss) > 0 {
		fs = append(fs, b.denseFinding(r, ss, merge(above(r.densityGL, q.DensityWarningGL), b.p.Limits.MergeS)))
	}
	v := ran(fraction, fs...)
	if len(fs) == 0 && r.densityHigh != nil && len(above(r.densityHigh, q.DensityCautionGL)) > 0 {
		v.outcome = Borderline
		v.reason = fmt.Sprintf("below %.1f g/L with the diluent's own ratio of helium, above it if the loop's first gas was never flushed out", q.DensityCautionGL)
	}
	return v
}

// denseFinding is the dense gas of a dive: one finding over all its stretches above
// the graver limit that was passed, with the time above the other as evidence.
func (b *bench) denseFinding(r *breathedRows, caution, warning []span) Finding {
	q := b.p.BreathedGas
	ss, grave := caution, len(warning) > 0
	if grave {
		ss = warning
	}
	e := span{from: ss[0].from, to: ss[len(ss)-1].to}
	w, total := extreme(r.densityGL, ss[0], 1), 0.0
	limit, severity := q.DensityCautionGL, Caution
	if grave {
		limit, severity = q.DensityWarningGL, Warning
	}
	for _, s := range ss {
		total += b.secondsAbove(r.densityGL, limit, s)
		if k := extreme(r.densityGL, s, 1); r.densityGL[k] > r.densityGL[w] {
			w = k
		}
	}
	m := b.gasMoment("", r, w)
	f := Finding{Kind: "gas-dense", Severity: severity, Confidence: Likely,
		WhySure: "one line of evidence: pressure, with the gas that the log states",
		FromS:   Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("The gas breathed was denser than %.1f g/L for %s%s from %s; at its densest %.2f g/L at %s, %s, on %s.",
			limit, duration(total), stretches(len(ss)), b.clock(ss[0].fromS), r.densityGL[w], b.clock(b.tS[w]), b.place(w), b.gasWords(w)),
		Onset: at(r.densityGL, b.tS, e.from, "g/L"), Worst: at(r.densityGL, b.tS, w, "g/L"), End: at(r.densityGL, b.tS, e.to, "g/L"),
		Limit: constant(limit, "g/L"), LimitSource: densitySource,
		Others: fmt.Sprintf("the same gas is %.2f g/L as it is breathed, humid at %.0f C; the limits were not drawn up for that figure", float64(m.DensityAsBreathedGL), q.BodyTempC),
		Evidence: []string{fmt.Sprintf("dry gas there: oxygen %.1f %%, nitrogen %.1f %%, helium %.1f %%, at %.2f bar (PO2 by %s)",
			100*float64(m.Dry.O2), 100*float64(m.Dry.N2), 100*float64(m.Dry.He), float64(m.AmbientBar), r.po2From)}}
	if grave {
		sum := 0.0
		for _, s := range caution {
			sum += b.secondsAbove(r.densityGL, q.DensityCautionGL, s)
		}
		f.Evidence = append(f.Evidence, fmt.Sprintf("denser than %.1f g/L for %s%s, from %s", q.DensityCautionGL, duration(sum), stretches(len(caution)), b.clock(caution[0].fromS)))
	}
	if r.densityHigh != nil {
		f.Others += fmt.Sprintf("; with what the loop may still have held from before %.2f to %.2f g/L", r.densityLow[w], r.densityHigh[w])
		if r.densityLow[w] <= limit+tol {
			f.Confidence, f.WhySure = Possible, "the gas that the loop held before could make it thinner than the limit"
		}
	}
	return f
}

// stretches says in how many stretches something was; nothing for one.
func stretches(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(", in %d stretches,", n)
}

// place is the depth of row i, or its pressure where no depth is known.
func (b *bench) place(i int) string {
	if math.IsNaN(b.depthAt(i)) {
		return bar(b.dive.AmbientBar[i])
	}
	return b.depthText(i)
}

// gasWords names what was breathed in row i.
func (b *bench) gasWords(i int) string {
	if !b.onLoop[i] {
		return "open circuit with " + gasName(b.dive.OpenGas[i])
	}
	return "the loop with diluent " + gasName(b.dive.Diluent[i])
}

// secondsAbove is the time within e in which v is above limit.
func (b *bench) secondsAbove(v []float64, limit float64, e span) float64 {
	var t float64
	for i := e.from; i <= e.to; i++ {
		if v[i] > limit+tol {
			t += rowSeconds(b.tS, b.gapAfter, i)
		}
	}
	return t
}

// checkGasSwitch looks for changes of gas at constant depth in which nitrogen rose much.
func checkGasSwitch(b *bench) verdict {
	g, q := b.debrief.BreathedGas, b.p.BreathedGas
	if b.breathedRows == nil {
		return notAssessed(g.Reason)
	}
	var fs []Finding
	unknowns := 0
	for _, s := range g.Switches {
		switch {
		case s.Reason != "":
			unknowns++
		case s.Isobaric && float64(s.NitrogenAfterBar-s.NitrogenBeforeBar) > q.SwitchNitrogenRiseBar+tol:
			fs = append(fs, b.switchFinding(s))
		}
	}
	if len(g.Switches) == 0 {
		return doesNotApply("the gas was not changed under water")
	}
	if unknowns == len(g.Switches) {
		return notAssessed("the gases of the changes are not known: " + g.Switches[0].Reason)
	}
	return ran(float64(len(g.Switches)-unknowns)/float64(len(g.Switches)), fs...)
}

func (b *bench) switchFinding(s GasSwitch) Finding {
	rise, fall := float64(s.NitrogenAfterBar-s.NitrogenBeforeBar), float64(s.HeliumBeforeBar-s.HeliumAfterBar)
	row := b.rowAt(float64(s.AtS))
	f := Finding{Kind: "isobaric-switch", Severity: Note, Confidence: Likely, WhySure: "one line of evidence: the gases that the log names, and the pressure",
		FromS: s.AtS, ToS: s.AtS + Float(rowSeconds(b.tS, b.gapAfter, row)),
		Observed: fmt.Sprintf("%s: from %s to %s at %s, %s. Inspired nitrogen rose by %.2f bar (%.2f to %.2f)%s.",
			switchWords(s.Kind), s.From, s.To, b.clock(float64(s.AtS)), b.place(row), rise, float64(s.NitrogenBeforeBar), float64(s.NitrogenAfterBar), heliumWords(fall, s)),
		Onset: constant(float64(s.NitrogenBeforeBar), "bar"), Worst: Value{Value: Float(rise), Unit: "bar", AtS: s.AtS}, End: constant(float64(s.NitrogenAfterBar), "bar"),
		Limit: constant(b.p.BreathedGas.SwitchNitrogenRiseBar, "bar"), LimitSource: "ours: no print states a rise that is safe",
		Others: "a rise of nitrogen while helium falls is the direction of isobaric counterdiffusion (Doolette and Mitchell, J Appl Physiol 94:2145-2150, 2003); there is no tissue model here, so no decompression verdict"}
	if s.UpperBound {
		f.Confidence, f.WhySure = Possible, "the loop takes on the new diluent only as far as it is flushed, and how far is not in the log"
	}
	if s.NitrogenPerHelium.Known() {
		f.Evidence = []string{fmt.Sprintf("nitrogen rose by %.2f of what helium fell; a rule of thumb (common practice, disputed) asks for at most 0.20", float64(s.NitrogenPerHelium))}
	}
	return f
}

func switchWords(kind string) string {
	return map[string]string{"diluent": "The diluent was changed", "to_open_circuit": "The diver left the loop for open circuit",
		"to_loop": "The diver went back to the loop", "open_gas": "The open-circuit gas was changed"}[kind]
}

func heliumWords(fall float64, s GasSwitch) string {
	if math.Abs(fall) <= tol {
		return ", helium stayed"
	}
	verb := "fell"
	if fall < 0 {
		verb = "rose"
	}
	return fmt.Sprintf(", helium %s by %.2f bar (%.2f to %.2f)", verb, math.Abs(fall), float64(s.HeliumBeforeBar), float64(s.HeliumAfterBar))
}
