package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/gas"
	"afterloop/analysis/injection"
	"afterloop/analysis/supply"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// runSupply looks at cylinders and batteries.
func (b *bench) runSupply() {
	r := supply.Analyse(b.supplyInput(), b.p.Supply)
	b.supply = &r
	s := &Supply{Oxygen: b.cylinder(r.Oxygen), Diluent: b.cylinder(r.Diluent), Balance: oxygenBalance(r.Balance),
		Level:     LevelFall{Float(r.Level.Seconds), r.Level.Stretches, supplyRange(r.Level.FallBar), Float(r.Level.AllowedBar), supplyRange(r.Level.RateBarH), r.Level.Reason},
		Batteries: []Battery{}}
	for _, x := range r.Batteries {
		s.Batteries = append(s.Batteries, describeBattery(x))
		s.Batteries[len(s.Batteries)-1].Notes = b.besideBattery(x)
	}
	b.debrief.Supply = s
	if i := b.debrief.Injection; i != nil { // one figure for one thing
		i.CylinderUsedL, i.CylinderReason = s.Oxygen.UsedL.Value, s.Oxygen.UsedL.Reason
	}
}

func supplyRange(r supply.Range) Interval {
	return Interval{Float(r.Value), Float(r.Low), Float(r.High), r.Reason}
}

func (b *bench) cylinder(c supply.Cylinder) Cylinder {
	out := Cylinder{StartBar: Value{Float(c.Start.Bar), "bar", Float(c.Start.AtS)}, EndBar: Value{Float(c.End.Bar), "bar", Float(c.End.AtS)},
		StepBar: Float(c.StepBar), UsedBar: supplyRange(c.UsedBar), UsedL: supplyRange(c.UsedL), RateBarH: supplyRange(c.RateBarH), Phases: []PhaseFall{}, Reason: c.Reason}
	for _, p := range c.Phases {
		out.Phases = append(out.Phases, PhaseFall{p.Kind, Float(p.Seconds), Float(p.FallBar), Float(p.HalfBar), Float(p.BarPerMin)})
	}
	return out
}

func oxygenBalance(x supply.Balance) OxygenBalance {
	out := OxygenBalance{FromS: Float(x.FromS), ToS: Float(x.ToS), Cylinder: supplyRange(x.Cylinder), IdealShare: Float(x.IdealShare),
		Valves: supplyRange(x.Valves), Working: supplyRange(x.Working), Hand: supplyRange(x.Hand), Given: supplyRange(x.Given), OpenS: Float(x.OpenS), FailedS: Float(x.FailedS),
		Use: supplyRange(x.Use), UseBasis: x.UseBasis, UseFromFlow: x.UseRestsOnStatedFlow, Metabolic: supplyRange(x.MetabolicL), StoredL: Float(x.StoredL),
		VentedMostL: Float(x.VentedMostL), FromDiluentMostL: Float(x.FromDiluentMostL), TempRecorded: x.TempKnown,
		CylinderAndGiven: x.CylinderAndGiven.String(), CylinderAndUse: x.CylinderAndUse.String(), GivenAndUse: x.ValvesAgreeWithUse.String(), Candidates: []string{}}
	out.Candidates = append(out.Candidates, x.Candidates...)
	return out
}

func describeBattery(x supply.Battery) Battery {
	out := Battery{Battery: x.Number, Valves: append([]int{}, x.Valves...), Stated: x.Stated, StartV: Float(x.StartV), EndV: Float(x.EndV),
		Min: Value{Float(x.MinV), "V", Float(x.MinAtS)}, RateVH: supplyRange(x.RateVH), SagMedianV: Float(x.SagMedianV), SagWorst: Value{Float(x.SagWorstV), "V", Float(x.SagWorstAtS)},
		Sags: x.Sags, SagPerH: supplyRange(x.SagPerH), Drops: []Value{}, Lost: []Float{}, BelowS: Float(x.BelowS), Reason: x.Reason, SagReason: x.SagReason}
	for _, d := range x.Drops {
		out.Drops = append(out.Drops, Value{Float(d.FromV - d.ToV), "V", Float(d.AtS)})
	}
	for _, l := range x.Lost {
		out.Lost = append(out.Lost, Float(l.AtS))
	}
	return out
}

// supplyInput is the record as package supply wants it.
func (b *bench) supplyInput() supply.Input {
	d, m, p := b.dive, b.dive.Meta, b.p.Injection
	in := supply.Input{TimeS: b.tS, GapAfter: b.gapAfter, AmbientBar: d.AmbientBar, TempC: d.TempC, O2CylBar: d.O2CylBar, DilCylBar: d.DilCylBar,
		OnLoop: b.onLoop, PO2Bar: b.best, FO2Diluent: b.diluentO2(), CylinderL: m.OxygenCylinderL, FlowLMin: m.OxygenFlowLMin, LoopVolumeL: m.LoopVolumeL, LoopTempC: b.loopTempC(),
		PlanVO2:     supply.Range{Value: (p.PlanVO2LowLMin + p.PlanVO2HighLMin) / 2, Low: p.PlanVO2LowLMin, High: p.PlanVO2HighLMin},
		PlanVolumeL: supply.Range{Value: (p.PlanVolumeLowL + p.PlanVolumeHighL) / 2, Low: p.PlanVolumeLowL, High: p.PlanVolumeHighL},
		VO2:         supply.Range{Value: math.NaN(), Low: math.NaN(), High: math.NaN()}}
	if b.diag != nil {
		in.PO2Bar = b.diag.estimate.PO2Bar
	}
	if i := b.debrief.Injection; i != nil && i.VO2LMin.Known() {
		in.VO2 = supply.Range{Value: float64(i.VO2LMin), Low: float64(i.VO2LowLMin), High: float64(i.VO2HighLMin)}
		in.VO2UsesFlow = i.FlowFrom == injection.FromStated || !(m.LoopVolumeL > 0)
	}
	if i := b.debrief.Injection; i != nil {
		for _, w := range i.Windows {
			if w.Used {
				in.VO2From = append(in.VO2From, supply.Span{FromS: float64(w.FromS), ToS: float64(w.ToS)})
			}
		}
	}
	in.UnderFromS, in.UnderToS = math.NaN(), math.NaN()
	for i, t := range b.tS {
		if b.under[i] {
			if math.IsNaN(in.UnderFromS) {
				in.UnderFromS = t
			}
			in.UnderToS = t
		}
	}
	in.DryBar = make([]float64, len(b.tS))
	for i, v := range d.AmbientBar {
		in.DryBar[i] = gas.Dry(v, b.p.Gas.VapourBar)
	}
	for _, v := range d.Valves {
		in.Valves = append(in.Valves, supply.Valve{Number: v.Number, OpenS: v.OpenS, Failed: b.failed(v.Number)})
	}
	b.addHands(&in)
	b.addStretches(&in)
	b.addBatteries(&in)
	return in
}

// addHands lists the additions of gas that the log holds.
func (b *bench) addHands(in *supply.Input) {
	for _, e := range b.events {
		switch e.Kind {
		case ingest.OxygenFlush, ingest.DiluentFlush, ingest.ManualOxygen, ingest.ManualDiluent:
			in.Hands = append(in.Hands, supply.Hand{AtS: b.tS[e.Row], Oxygen: e.Kind == ingest.OxygenFlush || e.Kind == ingest.ManualOxygen,
				IsFlush: e.Kind == ingest.OxygenFlush || e.Kind == ingest.DiluentFlush})
		}
	}
}

// addStretches lists the phases, and the stretches at one depth under water in
// which nothing was added that the log holds.
func (b *bench) addStretches(in *supply.Input) {
	for _, s := range tracking.PhaseSpans(b.tS, b.phases, b.gapAfter) {
		in.Phases = append(in.Phases, supply.Span{Kind: s.Phase.String(), FromS: s.FromS, ToS: s.ToS})
	}
	masked := b.masked()
	for _, s := range spansWhere(b.tS, b.gapAfter, func(i int) bool {
		return (b.phases[i] == tracking.Bottom || b.phases[i] == tracking.Stop) && b.onLoop[i] && !masked[i]
	}) {
		in.Level = append(in.Level, supply.Span{Kind: "level", FromS: s.fromS, ToS: b.tS[s.to]})
	}
}

// addBatteries lists the batteries with the valves of their half and the rows that
// lack readings which the row before had.
func (b *bench) addBatteries(in *supply.Input) {
	for _, x := range b.dive.BatteryV {
		v := supply.Voltage{Number: x.Number, V: x.Values, Lost: b.lostRows(x.Values)}
		for _, h := range b.dive.Meta.Halves {
			if slices.Contains(h.Batteries, x.Number) {
				v.Valves = append(v.Valves, h.Valves...)
			}
		}
		in.Batteries = append(in.Batteries, v)
	}
}

// lostRows marks rows in which the voltage, or every cell, lacks a reading that the
// row before had.
func (b *bench) lostRows(v []float64) []bool {
	out := make([]bool, len(v))
	for i := 1; i < len(v); i++ {
		cells := math.IsNaN(b.median[i]) && !math.IsNaN(b.median[i-1])
		out[i] = cells || math.IsNaN(v[i]) && !math.IsNaN(v[i-1])
	}
	return out
}
