package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/injection"
	"afterloop/analysis/loop"
	"afterloop/ingest"
)

// maskAfterS is how long after a flush or a manual addition the balance of oxygen
// is not that of metabolism and valves alone. Ours: a flush and a few breaths.
const maskAfterS = 60

// runInjection looks at the oxygen side of the dive.
func (b *bench) runInjection() {
	r := injection.Analyse(b.injectionInput(), b.p.Injection)
	out := &Injection{Inferred: r.Inferred, InferredReason: r.InferReason, DelayS: Float(r.DelayS), DelayResolutionS: Float(r.DelayResolutionS), ResponseReason: r.ResponseReason,
		OxygenL: Float(r.Supply.OxygenL), OxygenReason: r.Supply.OxygenReason, CylinderUsedL: unknown,
		VO2LMin: Float(r.Oxygen.VO2LMin.Value), VO2LowLMin: Float(r.Oxygen.VO2LMin.Low), VO2HighLMin: Float(r.Oxygen.VO2LMin.High), VO2Reason: r.Oxygen.VO2LMin.Reason, VO2Basis: r.Oxygen.VO2Basis,
		VO2PerVolume: interval(r.Oxygen.VO2PerVolume), FlowPerVolume: interval(r.Oxygen.FlowPerVolume), FlowFrom: r.Oxygen.FlowFrom,
		TurnsAlternate: r.Turns.Alternate, TurnsReason: r.Turns.Reason, Valves: []Valve{}, Bursts: []Burst{}, Windows: []Balance{},
		ShortestToHypoxia: Value{Float(r.Remaining.ShortestMin), "min", Float(r.Remaining.ShortestAtS)},
		ShortestLowMin:    Float(r.Remaining.ShortestLowMin), ShortestHighMin: Float(r.Remaining.ShortestHighMin), HypoxiaBasis: r.Remaining.Basis}
	for _, v := range r.Valves {
		out.Valves = append(out.Valves, Valve{Valve: v.Valve, Count: v.Count, CountIsLowerBound: v.CountIsLowerBound, OpenS: Float(v.OpenS), MeanOpenS: Float(v.MeanOpenS),
			MedianIntervalS: Float(v.MedianIntervalS), LongestIntervalS: Float(v.LongestIntervalS), TurnsTaken: v.TurnsTaken, TurnsMissed: v.TurnsMissed,
			DelayS: Float(v.DelayS), ResponseBar: Float(v.ResponseBar), GainPerOpenS: Float(v.GainBarPerS), Responses: v.Responses, ResponseReason: v.ResponseReason})
	}
	for _, x := range r.Bursts {
		out.Bursts = append(out.Bursts, Burst{x.Valve, Float(x.AtS), Float(x.OpenS), x.AtLeast, Float(x.ResponseBar), Float(x.DelayS), Float(x.NeedS)})
	}
	for _, w := range r.Oxygen.Windows {
		out.Windows = append(out.Windows, Balance{Float(w.FromS), Float(w.ToS), Float(w.DepthM), Float(w.OpenS), interval(w.VO2PerVolume), w.Used, w.Reason})
	}
	b.minutesToHypoxia = r.Remaining.Value
	b.debrief.Injection = out
}

func interval(v injection.Interval) Interval {
	return Interval{Float(v.Value), Float(v.Low), Float(v.High), v.Reason}
}

// injectionInput is the record as package injection wants it.
func (b *bench) injectionInput() injection.Input {
	d, m := b.dive, b.dive.Meta
	in := injection.Input{TimeS: b.tS, DepthM: d.DepthM, AmbientBar: d.AmbientBar, SetPointBar: d.SetPointBar, PO2Bar: d.UnitPO2Bar,
		CellsBar: b.cells, OnLoop: b.onLoop, GapAfter: b.gapAfter, Masked: b.masked(), FO2Diluent: b.diluentO2(),
		LoopVolumeL: m.LoopVolumeL, FlowLMin: m.OxygenFlowLMin,
		VapourBar: b.p.Gas.VapourBar, LoopTempC: b.loopTempC(), CellT90S: math.NaN()}
	for _, v := range d.Valves {
		in.Valves = append(in.Valves, injection.Valve{Number: v.Number, OpenS: v.OpenS, Openings: v.Openings, Failed: b.failed(v.Number)})
	}
	b.trusted(&in)
	return in
}

// trusted narrows the input to the cells that served as reference, with their own
// lag: a slow or limited majority shrinks every response.
func (b *bench) trusted(in *injection.Input) {
	if b.diag == nil || len(b.diag.cells.Reference) == 0 {
		return
	}
	var cells [][]float64
	var t90 []float64
	for k := range b.dive.Cells {
		if n := b.dive.Cells[k].Number; slices.Contains(b.diag.cells.Reference, n) {
			cells, t90 = append(cells, b.dive.Cells[k].PO2Bar), append(t90, b.diag.cells.Cells[k].T90S.Value)
		}
	}
	if len(cells) > 0 {
		in.CellsBar, in.CellT90S = cells, medianOf(t90)
	}
}

// failed marks the rows in which a valve is judged to have delivered nothing; nil for none.
func (b *bench) failed(valve int) []bool {
	if b.diag == nil {
		return nil
	}
	var out []bool
	for _, f := range b.diag.valves.Faults {
		if f.Confidence == loop.Possible || f.Kind == loop.LeakingValve || f.Kind == loop.DeadValve && f.Valve != valve {
			continue
		}
		if out == nil {
			out = make([]bool, len(b.tS))
		}
		for i, t := range b.tS {
			out[i] = out[i] || t >= f.FromS && !(t > f.ToS)
		}
	}
	return out
}

// masked marks the rows after a flush or an addition by hand.
func (b *bench) masked() []bool {
	out := make([]bool, len(b.tS))
	for _, e := range b.events {
		switch e.Kind {
		case ingest.DiluentFlush, ingest.OxygenFlush, ingest.ManualOxygen, ingest.ManualDiluent, ingest.Bailout, ingest.BackOnLoop:
			for i := e.Row; i < len(b.tS) && b.tS[i]-b.tS[e.Row] <= maskAfterS; i++ {
				out[i] = true
			}
		}
	}
	return out
}

// diluentO2 is the oxygen fraction of the diluent by row, or nil where the log never says.
func (b *bench) diluentO2() []float64 {
	out, any := make([]float64, len(b.tS)), false
	for i, g := range b.dive.Diluent {
		if out[i] = math.NaN(); g.Known {
			out[i], any = g.O2, true
		}
	}
	if !any {
		return nil
	}
	return out
}
