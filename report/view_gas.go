package report

import (
	"math"

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
	return quantity(m, "m")
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
		r := switchRow{When: say("gas.at-depth", p.clock.since(s.AtS), fixed(s.DepthM, 1)), What: say(gasKeys[s.Kind], orUnknown(s.From), orUnknown(s.To)), Reason: s.Reason}
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

// fact is a named figure with a note and the id of its definition.
type fact struct{ ID, Name, Value, Note string }

// PressureFacts are the figures of depth and pressure that this log has.
func (p *page) PressureFacts() []fact {
	if p.DepthPressure == nil {
		return nil
	}
	return pressureFacts(p.Debrief, p.clock)
}

func pressureFacts(debrief *analysis.Debrief, c clock) []fact {
	d := debrief.DepthPressure
	var out []fact
	if a := d.Agreement; a != nil {
		out = append(out, fact{"depth-agreement", say("pressure.agreement"), say("pressure.median", signedUnit(a.MedianM, 2, "m")),
			say("pressure.worst", signedUnit(a.Worst.Value, 2, "m"), c.since(a.Worst.AtS), fixed(a.SpreadM, 2))},
			fact{"depth-agreement", say("pressure.implied"), intervalText(d.ImpliedDensity, 0, "kg/m³"), say("pressure.in-use", fixed(d.DensityKgM3, 0)) + assumed(d.DensityAssumed)})
	}
	if s := d.Surface; s.Before.Bar.Known() || s.After.Bar.Known() {
		out = append(out, fact{"pressure-at-surface", say("pressure.surface"), say("pressure.before-after", fixed(s.Before.Bar, 3), fixed(s.After.Bar, 3)),
			say("pressure.drift", intervalSigned(s.DriftBar), fixed(s.InUseBar, 3)) + map[bool]string{true: say("pressure.presumed")}[s.Presumed]})
	}
	a := d.Altitude
	if a.M.Value.Known() {
		out = append(out, fact{"pressure-at-surface", say("pressure.altitude"), say("pressure.altitude-between", fixed(a.M.Low, 0), fixed(a.M.High, 0)),
			say("pressure.altitude-note", say(gasKeys[a.From]), fixed(1000*a.WeatherBar, 0))})
	} else {
		out = append(out, fact{"pressure-at-surface", say("pressure.altitude"), notKnown, sentence(a.M.Reason)})
	}
	return out
}

// PressureLead says where pressure and depth come from.
func (p *page) PressureLead() string {
	if p.DepthPressure == nil {
		return ""
	}
	return pressureLead(p.Debrief)
}

func pressureLead(d *analysis.Debrief) string {
	switch p := d.DepthPressure; {
	case p.PressureFrom == "depth":
		return say("pressure.from-depth", fixed(p.DensityKgM3, 0))
	case p.PressureFrom == "pressure-depth":
		return say("pressure.from-units")
	case p.DepthFrom == "pressure":
		return say("pressure.depth-follows", fixed(p.DensityKgM3, 0))
	case p.DepthFrom == "pressure-depth":
		return say("pressure.both-units")
	}
	return say("pressure.both")
}

// signedUnit is a figure with its sign and unit.
func signedUnit(v analysis.Float, decimals int, unit string) string {
	s := fixed(v, decimals)
	if v > 0 {
		s = "+" + s
	}
	if v.Known() && unit != "" {
		s += " " + unit
	}
	return s
}

func intervalText(v analysis.Interval, decimals int, unit string) string {
	if !v.Value.Known() {
		return notKnown + ": " + v.Reason
	}
	return say("pressure.interval", fixed(v.Value, decimals), fixed(v.Low, decimals), fixed(v.High, decimals), unit)
}

func intervalSigned(v analysis.Interval) string {
	if !v.Value.Known() {
		return notKnown
	}
	return say("pressure.interval", signedUnit(v.Value, 3, ""), signedUnit(v.Low, 3, ""), signedUnit(v.High, 3, ""), "bar")
}

// sensorRow is one pressure sensor in the table.
type sensorRow struct {
	Name, Step, Range, End, Median, Worst, Scale, Offset, Apart string
}

// PressureSensors are the sensors where there are several: each against the one in use.
func (p *page) PressureSensors() []sensorRow {
	d := p.DepthPressure
	if d == nil || len(d.Sensors) < 2 {
		return nil
	}
	var rows []sensorRow
	for k, s := range d.Sensors {
		r := sensorRow{Name: sensorName(s.Number), Step: fixed(s.StepBar, 4), Range: between(s.MinBar, s.MaxBar, bar), End: say("pressure.none-seen"), Median: unknown, Worst: unknown, Scale: unknown, Offset: unknown, Apart: unknown}
		if s.StepBar.Known() {
			r.Step = trimmed(s.StepBar, 0, 4)
		}
		if s.InUse {
			r.Name = say("pressure.sensor-in-use", r.Name)
		}
		if s.SaturatesBar.Known() {
			r.End = bar(s.SaturatesBar)
		}
		if k > 0 {
			x := d.Pairs[k-1]
			r.Median, r.Worst, r.Apart = signedUnit(x.MedianBar, 3, ""), p.Brief(x.Worst), duration(x.DisagreeS)
			r.Scale, r.Offset = intervalText(x.Scale, 4, ""), intervalText(x.OffsetBar, 3, "")
		}
		rows = append(rows, r)
	}
	return rows
}

func sensorName(number int) string {
	if number == 0 {
		return say("pressure.sensor-unnumbered")
	}
	return say("pressure.sensor", number)
}

// faultRow is one line of what an error of pressure would change.
type faultRow struct {
	What    string
	Changes []string
}

// FaultRows are the figures of this dive that an error of pressure moves.
func (p *page) FaultRows() []faultRow {
	d := p.DepthPressure
	if d == nil || len(d.Sensitivity) == 0 {
		return nil
	}
	b := d.SensitivityBasis
	var rows []faultRow
	add := func(yes bool, what string, change func(analysis.PressureFault) string) {
		if !yes {
			return
		}
		r := faultRow{What: what}
		for _, f := range d.Sensitivity {
			r.Changes = append(r.Changes, change(f))
		}
		rows = append(rows, r)
	}
	add(b.AmbientBar.Known(), say("fault.pressure", bar(b.AmbientBar)), func(f analysis.PressureFault) string { return signedUnit(f.AmbientBar, 2, "bar") })
	add(b.LoopO2Fraction.Known(), say("fault.fraction", fixed(100*b.LoopO2Fraction, 1)), func(f analysis.PressureFault) string {
		return signedUnit(100*f.LoopO2Fraction, 1, "%")
	})
	add(b.StopDryBar.Known(), say("fault.stop", fixed(b.StopDepthM, 1), bar(analysis.Float(math.Round(float64(b.StopDryBar)*100)/100)), bar(b.StopSetPoint)), func(f analysis.PressureFault) string {
		return signedUnit(f.StopDryBar, 2, "bar")
	})
	add(b.KnownGasBar.Known(), say("fault.known", fixed(b.KnownGasBar, 2)), func(f analysis.PressureFault) string { return signedUnit(f.KnownGasBar, 3, "bar") })
	add(b.DensityGL.Known(), say("fault.density", fixed(b.DensityGL, 2)), func(f analysis.PressureFault) string { return signedUnit(f.DensityGL, 2, "g/L") })
	add(d.Sensitivity[0].DepthM != 0, say("fault.depth"), func(f analysis.PressureFault) string { return signedUnit(f.DepthM, 1, "m") })
	add(b.CNSPercent.Known(), say("fault.dose", percent(b.CNSPercent), fixed(b.OTU, 0)), func(f analysis.PressureFault) string {
		return doses(f.CNSPercent, f.OTU)
	})
	add(b.CNSPercent.Known(), say("fault.calibrated"), func(f analysis.PressureFault) string {
		if f.CellGain == 1 {
			return say("fault.none")
		}
		return say("fault.gain", signedUnit(100*(f.CellGain-1), 1, "%"), doses(f.CalibratedCNS, f.CalibratedOTU))
	})
	return rows
}

// doses are changes of CNS and OTU; what is no change is said as none.
func doses(cns, otu analysis.Float) string {
	if cns == 0 && otu == 0 {
		return say("fault.none")
	}
	return say("fault.doses", signedUnit(cns, 1, "%"), signedUnit(otu, 1, ""))
}
