package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/loop"
	"afterloop/ingest"
)

// events are the fixed words of the event column, and notes that consist of one
// of them: recorders without an event column write it there.
func (b *bench) allEvents() []ingest.Event {
	out := append([]ingest.Event{}, b.dive.Events...)
	for _, n := range b.dive.Notes {
		if k, ok := fixedWord(n.Text); ok {
			out = append(out, ingest.Event{Row: n.Row, Kind: k})
		}
	}
	return out
}

// loopRecord is the dive as packages loop and cell want it. All cells are in it,
// whichever take part in the replay of the vote.
func (b *bench) loopRecord() loop.Record {
	d, m := b.dive, b.dive.Meta
	r := loop.Record{TimeS: b.tS, DepthM: d.DepthM, AmbientBar: d.AmbientBar, UnitPO2Bar: d.UnitPO2Bar, SetPointBar: d.SetPointBar,
		LoopHe: d.LoopHe, HeBasisWet: m.LoopHeBasis == "wet", HeSigma: m.LoopHeSigma, OnLoop: b.onLoop, GapAfter: b.gapAfter,
		LoopVolumeL: m.LoopVolumeL, FlowLMin: m.OxygenFlowLMin, VapourHighBar: b.p.Gas.VapourBar}
	if r.DepthM == nil { // metres of the assumed water stand in where only pressure was recorded
		r.DepthM = make([]float64, len(b.tS))
		for i, p := range d.AmbientBar {
			r.DepthM[i] = (p - m.SurfacePressureBar) * 10
		}
	}
	for k := range d.Cells {
		c := &d.Cells[k]
		r.CellsBar, r.CellStepBar, r.CellNumber = append(r.CellsBar, possible(b.renewed(k), d.AmbientBar)), append(r.CellStepBar, c.StepBar), append(r.CellNumber, c.Number)
	}
	for _, v := range d.Valves {
		r.Valves = append(r.Valves, loop.Valve{Number: v.Number, OpenS: v.OpenS, Openings: v.Openings})
	}
	r.FO2Dil, r.FHeDil = b.diluents()
	for _, e := range b.events {
		r.Events = append(r.Events, loop.Event{AtS: b.tS[e.Row], Kind: loop.EventKind(e.Kind)})
	}
	r.Known = b.twoSidedKnownGas()
	r.Masked = loop.MaskEvents(r, b.p.Mask)
	return r
}

// possible is y without readings of more than three times the ambient pressure: no gas
// and no gain makes them, and one such row, as from a recorder that stumbled, would
// outweigh an hour. They stay in the vote's replay and in what is drawn.
func possible(y, ambientBar []float64) []float64 {
	const grossGain = 3
	out := y
	for i, v := range y {
		if v > grossGain*ambientBar[i] {
			if &out[0] == &y[0] {
				out = slices.Clone(y)
			}
			out[i] = math.NaN()
		}
	}
	return out
}

// diluents are the oxygen and the helium fraction of the diluent by row; nil where the log never says.
func (b *bench) diluents() (o2, he []float64) {
	if o2 = b.diluentO2(); o2 == nil {
		return nil, nil
	}
	he = make([]float64, len(b.tS))
	for i, g := range b.dive.Diluent {
		if he[i] = math.NaN(); g.Known {
			he[i] = g.He
		}
	}
	return o2, he
}

// twoSidedKnownGas are the moments whose PO2 was known from both sides. A flush
// that may not have been complete bounds PO2 from one side only and is none.
func (b *bench) twoSidedKnownGas() []loop.KnownGas {
	var out []loop.KnownGas
	for _, k := range b.debrief.KnownGas {
		if k.Assessed && k.Kind == calibrationKind {
			out = append(out, loop.KnownGas{FromS: float64(k.AtS), ToS: float64(k.ToS), LowBar: float64(k.ExpectedLow), HighBar: float64(k.ExpectedHigh), Basis: knownGasName(k.Kind)})
		}
	}
	return out
}
