package report

import (
	"afterloop/analysis"
)

// gasKeys are the catalogue's keys of the words that a debrief uses for kinds and sources.
var gasKeys = map[string]string{
	"densest": "gas.moment-densest", "deepest": "gas.moment-deepest", "bottom_mean": "gas.moment-bottom",
	"estimate": "gas.from-estimate", "unit": "gas.from-unit", "mid-value": "gas.from-mid-value",
	"diluent": "gas.switch-diluent", "to_open_circuit": "gas.switch-to-open", "to_loop": "gas.switch-to-loop", "open_gas": "gas.switch-open",
	"measured": "pressure.from-measured", "stated": "pressure.from-stated",
}

// gasRow is one moment of the table of gas.
type gasRow struct {
	Moment, When, Gas, Dry, Inspired string
	Density, AsBreathed              string
	NarcoticN2, NarcoticO2N2         string
}

// GasRows are the gas at its densest, at the deepest, and in the mean of the bottom.
func (p *page) GasRows() []gasRow { return gasRows(p.Debrief, p.clock) }

func gasRows(d *analysis.Debrief, c clock) []gasRow {
	if d.BreathedGas == nil {
		return nil
	}
	var rows []gasRow
	moments := d.BreathedGas.Moments
	for _, m := range moments {
		if m.Kind == "deepest" && moments[0].AtS == m.AtS { // one row says both
			rows[0].Moment = say("gas.moment-both")
			continue
		}
		r := gasRow{Moment: say(gasKeys[m.Kind]), When: say("gas.mean-depth", fixed(m.DepthM, 1)), Gas: gasOf(m), Dry: parts(m.Dry), Inspired: parts(m.Inspired),
			Density: fixed(m.DensityGL, 2), AsBreathed: fixed(m.DensityAsBreathedGL, 2), NarcoticN2: narcotic(m.NarcoticDepthN2M), NarcoticO2N2: narcotic(m.NarcoticDepthO2N2M)}
		if m.AtS.Known() {
			r.When = say("gas.at-depth", c.since(m.AtS), fixed(m.DepthM, 1))
		}
		if s := between(m.DensityRangeGL.Low, m.DensityRangeGL.High, func(v analysis.Float) string { return fixed(v, 2) }); s != r.Density {
			r.Density = say("gas.with-range", r.Density, s)
		}
		if m.Kind == "deepest" && d.BreathedGas.Reason != "" {
			r.Moment = say("gas.moment-deepest-assessed")
		}
		rows = append(rows, r)
	}
	return rows
}

// gasOf names what was breathed.
func gasOf(m analysis.GasMoment) string {
	switch m.Breathing {
	case "loop":
		return say("gas.on-loop", orUnknown(m.Gas), fixed(m.PO2Bar, 2))
	case "open_circuit":
		return say("gas.on-open", orUnknown(m.Gas))
	}
	return say("gas.on-several")
}

// parts are oxygen, nitrogen and helium in per cent, and the vapour where there is some.
func parts(f analysis.GasFractions) string {
	s := say("gas.parts", fixed(100*f.O2, 1), fixed(100*f.N2, 1), fixed(100*f.He, 1))
	if f.H2O > 0 {
		s += say("gas.vapour", fixed(100*f.H2O, 1))
	}
	return s
}

// narcotic is a narcotic depth; above the surface it is no depth.
func narcotic(m analysis.Float) string {
	if m < 0 {
		return say("gas.less-than-air")
	}
	return fixed(m, 1) + " m"
}

// GasLead says how long the gas was dense, and what it rests on.
func (p *page) GasLead() string { return gasLead(p.Debrief) }

func gasLead(d *analysis.Debrief) string {
	g, q := d.BreathedGas, d.Parameters.BreathedGas
	if g == nil || len(g.Moments) == 0 {
		return ""
	}
	limit := func(v float64) string { return fixed(analysis.Float(v), 1) }
	s := say("gas.lead", limit(q.DensityCautionGL), duration(g.AboveRecommendedS), limit(q.DensityWarningGL), duration(g.AboveMaximumS), duration(g.AssessedS), say(gasKeys[g.PO2From]))
	if g.Reason != "" {
		s += " " + say("gas.partly", sentence(g.Reason))
	}
	return s
}

// switchRow is one line of the table of changes of gas.
type switchRow struct {
	When, What, Nitrogen, Helium, Reason string
}

// GasSwitches are the changes of gas.
func (p *page) GasSwitches() []switchRow {
	if p.BreathedGas == nil {
		return nil
	}
	var rows []switchRow
	for _, s := range p.BreathedGas.Switches {
		r := switchRow{When: say("gas.switch-when", p.clock.since(s.AtS), fixed(s.DepthM, 1)), What: say(gasKeys[s.Kind], orUnknown(s.From), orUnknown(s.To)), Reason: s.Reason}
		if s.Reason == "" {
			r.Nitrogen, r.Helium = changed(s.NitrogenBeforeBar, s.NitrogenAfterBar), changed(s.HeliumBeforeBar, s.HeliumAfterBar)
			if s.UpperBound {
				r.What += say("gas.if-flushed")
			}
			if !s.Isobaric {
				r.What += say("gas.depth-changed", fixed(s.DepthChangeM, 1))
			}
		}
		rows = append(rows, r)
	}
	return rows
}

func changed(before, after analysis.Float) string {
	return say("gas.changed", signed(after-before), fixed(before, 2), fixed(after, 2))
}
