package report

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
)

// SupplyRecorded tells whether the log holds anything of cylinders or batteries.
func (p *page) SupplyRecorded() bool { return supplyRecorded(p.Debrief) }

func supplyRecorded(d *analysis.Debrief) bool {
	s := d.Supply
	return s != nil && (s.Oxygen.StartBar.Value.Known() || s.Diluent.StartBar.Value.Known() || len(s.Batteries) > 0)
}

// cylinderRow is one cylinder of the table.
type cylinderRow struct{ Name, Reason, Start, End, UsedBar, UsedL, Rate, Phases string }

// CylinderRows are the cylinders; none where no pressure was recorded.
func (p *page) CylinderRows() []cylinderRow {
	s := p.Supply
	if !s.Oxygen.StartBar.Value.Known() && !s.Diluent.StartBar.Value.Known() {
		return nil
	}
	return []cylinderRow{p.cylinderRow(say("supply.oxygen"), s.Oxygen), p.cylinderRow(say("supply.diluent"), s.Diluent)}
}

func (p *page) cylinderRow(name string, c analysis.Cylinder) cylinderRow {
	if !c.StartBar.Value.Known() {
		return cylinderRow{Name: name, Reason: c.Reason}
	}
	return cylinderRow{Name: name, Start: p.gauge(c.StartBar), End: p.gauge(c.EndBar), UsedBar: withReason(interval(withoutReason(c.UsedBar), 0), c.Reason),
		UsedL: litresText(c.UsedL), Rate: interval(c.RateBarH, 0), Phases: phaseText(c)}
}

// gauge is a reading with its moment.
func (p *page) gauge(v analysis.Value) string {
	return say("value.at", fixed(v.Value, 0)+" bar", p.clock.since(v.AtS))
}

func withoutReason(v analysis.Interval) analysis.Interval { v.Reason = ""; return v }

func withReason(s, reason string) string {
	if reason == "" {
		return s
	}
	return s + " (" + reason + ")"
}

// litresText is a volume of gas with its interval.
// CylinderUsed is the oxygen that left its cylinder with its interval, as below
// under cylinders and batteries: without it a tenth of a litre would look known.
func (p *page) CylinderUsed() string {
	if p.Supply != nil && p.Supply.Oxygen.UsedL.Value.Known() {
		return litresText(p.Supply.Oxygen.UsedL) + " L"
	}
	return quantity(p.Injection.CylinderUsedL, "L")
}

// Maybe is an interval with its unit, or "not known" with the reason as a note.
func (p *page) Maybe(v analysis.Interval, unit string) figure {
	if !v.Value.Known() {
		return figure{Value: notKnown, Note: v.Reason}
	}
	return figure{Value: intervalUnit(v, unit)}
}

func litresText(v analysis.Interval) string {
	if v.Value.Known() {
		return fixed(v.Value, 0) + say("interval", fixed(v.Low, 0), fixed(v.High, 0))
	}
	if v.Reason == "" {
		return unknown
	}
	return notKnown + ": " + v.Reason
}

// litresUnit is the same with its unit, which a reason has none of.
func litresUnit(v analysis.Interval) string {
	if v.Value.Known() {
		return litresText(v) + " L"
	}
	return litresText(v)
}

// phaseText is the rate of fall in each kind of phase.
func phaseText(c analysis.Cylinder) string {
	var w []string
	for _, f := range c.Phases {
		w = append(w, say("supply.phase", f.Phase, fixed(f.FallBar, 0), fixed(f.HalfBar, 0), fixed(f.BarPerMin, 2)))
	}
	return strings.Join(w, "; ")
}

// accountRow is one account of the oxygen.
type accountRow struct{ Name, Litres, Basis string }

// BalanceRows are the three accounts; none where the oxygen cylinder was not recorded.
func (p *page) BalanceRows() []accountRow {
	b := p.Supply.Balance
	if !p.Supply.Oxygen.StartBar.Value.Known() {
		return nil
	}
	return []accountRow{
		{say("supply.account-cylinder"), litresText(b.Cylinder), p.cylinderBasis(b)},
		{say("supply.account-valves"), litresText(b.Given), givenBasis(b)},
		{say("supply.account-use"), litresText(b.Use), useBasis(b)},
	}
}

func (p *page) cylinderBasis(b analysis.OxygenBalance) string {
	if !b.Cylinder.Value.Known() {
		return ""
	}
	temp := say("supply.temp-assumed")
	if b.TempRecorded {
		temp = say("supply.temp-recorded")
	}
	return say("supply.cylinder-basis", p.clock.since(b.FromS), p.clock.since(b.ToS), temp, signedShare(b.IdealShare))
}

// signedShare is a fraction as a percentage with its sign and one decimal.
func signedShare(v analysis.Float) string {
	s := fixed(v*100, 1)
	if v > 0 {
		s = "+" + s
	}
	return s
}

func givenBasis(b analysis.OxygenBalance) string {
	if !b.Given.Value.Known() {
		return ""
	}
	s := say("supply.given-basis", duration(b.OpenS))
	if b.FailedS > 0 {
		s += say("supply.given-failed", duration(b.FailedS), litresUnit(b.Valves))
	}
	if b.Hand.High > 0 {
		s += say("supply.given-hand", fixed(b.Hand.High, 0))
	}
	return s
}

func useBasis(b analysis.OxygenBalance) string {
	s := say("supply.use-basis", b.UseBasis, litresUnit(b.Metabolic), fixed(b.StoredL, 0), fixed(b.VentedMostL, 0), fixed(b.FromDiluentMostL, 0))
	if b.UseFromFlow {
		s += say("supply.use-flow")
	}
	return s
}

// BalanceText says how the accounts compare.
func (p *page) BalanceText() string { return balanceText(p.Supply.Balance) }

func balanceText(b analysis.OxygenBalance) string {
	return say("supply.compare", verdictWord(b.CylinderAndGiven), verdictWord(b.CylinderAndUse), verdictWord(b.GivenAndUse))
}

func verdictWord(v string) string {
	switch v {
	case "agree":
		return say("supply.agree")
	case "apart":
		return say("supply.apart")
	}
	return say("supply.cant-tell")
}

// LevelText says what the diluent did where the depth stood; empty where it was not recorded.
func (p *page) LevelText() string {
	l := p.Supply.Level
	switch {
	case !p.Supply.Diluent.StartBar.Value.Known():
		return ""
	case l.Reason != "":
		return notKnown + ": " + sentence(l.Reason)
	}
	return say("supply.level", interval(l.FallBar, 0), duration(l.Seconds), interval(l.RateBarH, 0), fixed(l.AllowedBar, 1))
}

// batteryRow is one battery of the table.
type batteryRow struct{ Name, Ends, Lowest, Rate, Sag, Growth, Valves string }

// BatteryRows are the batteries.
func (p *page) BatteryRows() []batteryRow {
	var rows []batteryRow
	for _, b := range p.Supply.Batteries {
		r := batteryRow{Name: fmt.Sprint(b.Battery), Ends: say("range", fixed(b.StartV, 2), fixed(b.EndV, 2)), Rate: interval(b.RateVH, 3), Growth: interval(b.SagPerH, 3), Valves: valvesText(b)}
		r.Lowest = say("value.at", fixed(b.Min.Value, 2), p.clock.since(b.Min.AtS))
		if len(b.Notes) > 0 {
			r.Lowest += "; " + strings.Join(b.Notes, "; ")
		}
		r.Sag = b.SagReason
		if b.SagMedianV.Known() {
			r.Sag = say("supply.sag-figures", fixed(b.SagMedianV, 2), fixed(b.SagWorst.Value, 2), p.clock.since(b.SagWorst.AtS), b.Sags)
		}
		rows = append(rows, r)
	}
	return rows
}

func valvesText(b analysis.Battery) string {
	if !b.Stated {
		return say("supply.all-valves")
	}
	w := make([]string, len(b.Valves))
	for i, v := range b.Valves {
		w[i] = fmt.Sprint(v)
	}
	return strings.Join(w, ", ")
}

// supplyChart draws cylinders and batteries; no drawing where neither was recorded.
func (g *drawing) supplyChart() []chart {
	s := g.s
	gas := panel{name: say("chart.cylinders-bar"), height: 150, min: math.NaN(), max: auto}
	for _, l := range []line{
		g.line(colO2Cyl, say("chart.o2-cylinder"), say("chart.o2-short"), "bar", stroke{inkGreen, "solid", 2}, 0, s.O2CylBar),
		g.line(colO2Expected, say("chart.o2-expected"), say("chart.o2-expected-short"), "bar", stroke{inkStrong, "6,2", 1.6}, 0, s.O2ExpectedBar),
		g.line(colDilCyl, say("chart.dil-cylinder"), say("chart.dil-short"), "bar", stroke{inkBlue, "9,4", 2}, 0, s.DilCylBar),
	} {
		if known(l.values) {
			gas.lines = append(gas.lines, l)
		}
	}
	volts := panel{name: say("chart.batteries-v"), height: 110, min: auto, max: auto}
	for k, b := range s.Batteries {
		if known(b.V) {
			volts.lines = append(volts.lines, g.line(colBattery(b.Number), say("chart.battery", b.Number), fmt.Sprint(b.Number), "V", numbered(k), 2, b.V))
		}
	}
	if len(gas.lines)+len(volts.lines) == 0 {
		return nil
	}
	return []chart{g.build(chart{ID: "supply", Title: say("chart.supply"), Message: say("chart.supply-message")}, gas, volts)}
}
