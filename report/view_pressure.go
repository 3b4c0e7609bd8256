package report

import (
	"math"

	"afterloop/analysis"
)

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
	out = append(out, endedFacts(d)...)
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
	case !d.Dive.SubmergedS.Known():
		return say("pressure.none")
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
	s := signedTo(v, decimals)
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
func (p *page) FaultRows() []faultRow { return faultRows(p.DepthPressure) }

func faultRows(d *analysis.DepthPressure) []faultRow {
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
	add(b.AmbientBar.Known(), say("fault.pressure", bar(b.AmbientBar)), func(f analysis.PressureFault) string { return changeText(f.AmbientBar, 2, "bar") })
	add(b.LoopO2Fraction.Known(), say("fault.fraction", fixed(100*b.LoopO2Fraction, 1)), func(f analysis.PressureFault) string {
		return changeText(100*f.LoopO2Fraction, 1, "%")
	})
	add(b.StopDryBar.Known(), say("fault.stop", fixed(b.StopDepthM, 1), bar(analysis.Float(math.Round(float64(b.StopDryBar)*100)/100)), bar(b.StopSetPoint)), func(f analysis.PressureFault) string {
		return changeText(f.StopDryBar, 2, "bar")
	})
	add(b.KnownGasBar.Known(), say("fault.known", fixed(b.KnownGasBar, 2)), func(f analysis.PressureFault) string { return changeText(f.KnownGasBar, 3, "bar") })
	add(b.DensityGL.Known(), say("fault.density", fixed(b.DensityGL, 2)), func(f analysis.PressureFault) string { return changeText(f.DensityGL, 2, "g/L") })
	add(d.Sensitivity[0].DepthM != 0, say("fault.depth"), func(f analysis.PressureFault) string { return changeText(f.DepthM, 1, "m") })
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

// changeText is a change with its sign; what is no change is said as none.
func changeText(v analysis.Float, decimals int, unit string) string {
	if v == 0 {
		return say("fault.none")
	}
	return signedUnit(v, decimals, unit)
}

// doses are changes of CNS and OTU; what is no change is said as none.
func doses(cns, otu analysis.Float) string {
	if cns == 0 && otu == 0 {
		return say("fault.none")
	}
	return say("fault.doses", signedUnit(cns, 1, "%"), signedUnit(otu, 1, ""))
}
