package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// surfaceM is the depth from which a row counts as under water: METHODS, phases.
const surfaceM = 0.5

// barPerM stands in for the water's density where the log has no depth: it only tells
// rows under water and phases of the dive.
const barPerM = 0.1

// sourceList says what was read: one log, or those of two halves.
func (b *bench) sourceList() []Source {
	if b.doubled == nil {
		return []Source{sourceOf(b.dive)}
	}
	return []Source{sourceOf(b.doubled.logs[0]), sourceOf(b.doubled.logs[1])}
}

// sourceOf says what was read from one file.
func sourceOf(d *ingest.Dive) Source {
	s := Source{File: d.Source.File, SHA256: d.Source.SHA256, Bytes: d.Source.Bytes, Rows: d.Rows(),
		FormatVersion: d.Source.FormatVersion, Truncated: d.Source.Truncated, Columns: []SourceColumn{}}
	s.Mapping, s.MappingSHA256, s.Dive, s.Dives, s.FileSHA256 = d.Source.Mapping, d.Source.MappingSHA256, d.Source.Part, d.Source.PartOf, d.Source.FileSHA256
	for _, c := range d.Columns {
		s.Columns = append(s.Columns, SourceColumn{Name: c.Name, Meaning: c.Meaning, Filled: c.Filled})
	}
	return s
}

// diveFacts is what was recorded, in figures.
func (b *bench) diveFacts() DiveFacts {
	d, m := b.dive, b.dive.Meta
	n := len(b.tS)
	f := DiveFacts{Name: m.Dive, Diver: m.Diver, Unit: m.Unit, Start: m.Start,
		FirstS: Float(b.tS[0]), LastS: Float(b.tS[n-1]), DurationS: Float(b.tS[n-1] - b.tS[0]),
		SampleS: Float(b.sampleS), Cells: len(d.Cells), Valves: len(d.Valves),
		SurfaceBar: Float(m.SurfacePressureBar), SurfaceAssumed: m.SurfaceAssumed,
		DensityKgM3: Float(m.WaterDensityKgM3), DensityAssumed: m.DensityAssumed, AmbientFrom: d.AmbientFrom,
		Diluent: gasName(m.Diluent), OpenCircuitGas: gasName(m.OpenCircuitGas),
		LoopVolumeL: Float(m.LoopVolumeL), OxygenFlowLMin: Float(m.OxygenFlowLMin),
		MaxDepthM: unknown, MeanDepthM: unknown, SetPointsBar: []Float{}, Phases: []Phase{}}
	for _, s := range tracking.PhaseSpans(b.tS, b.phases, b.gapAfter) {
		f.Phases = append(f.Phases, Phase{Kind: s.Phase.String(), FromS: Float(s.FromS), ToS: Float(s.ToS)})
	}
	b.times(&f)
	b.depths(&f)
	for i, s := range d.SetPointBar {
		if !math.IsNaN(s) && (i == 0 || s != d.SetPointBar[i-1]) && !slices.Contains(f.SetPointsBar, Float(s)) {
			f.SetPointsBar = append(f.SetPointsBar, Float(s))
		}
	}
	return f
}

// times adds up the time under water, on the loop and on open circuit.
func (b *bench) times(f *DiveFacts) {
	var under, loop, open float64
	for i := range b.tS {
		w := rowSeconds(b.tS, b.gapAfter, i)
		if b.under[i] {
			under += w
		}
		if b.onLoop[i] {
			loop += w
		} else {
			open += w
		}
	}
	f.SubmergedS, f.OnLoopS, f.OpenCircuitS = Float(under), Float(loop), Float(open)
	if !slices.ContainsFunc(b.dive.AmbientBar, func(p float64) bool { return !math.IsNaN(p) }) {
		f.SubmergedS, f.Phases = unknown, []Phase{} // without a depth or a pressure nothing tells what was under water
	}
}

// depths finds the greatest and the mean depth (weighed by time, under water).
func (b *bench) depths(f *DiveFacts) {
	var sum, time float64
	deepest := math.NaN()
	for i, z := range b.dive.DepthM {
		if math.IsNaN(z) {
			continue
		}
		if !(z <= deepest) {
			deepest = z
		}
		if b.under[i] {
			w := rowSeconds(b.tS, b.gapAfter, i)
			sum, time = sum+z*w, time+w
		}
	}
	f.MaxDepthM = Float(deepest)
	if time > 0 {
		f.MeanDepthM = Float(sum / time)
	}
}

// recording is the quality of the record itself.
func (b *bench) recording() Recording {
	d := b.dive
	r := Recording{Gaps: []Span{}, MissingReadings: []int{}, RowsPerReading: []int{}, UnknownColumns: []string{}, Notes: []LogNote{}, Events: []LogEvent{},
		Truncated: d.Source.Truncated, IntervalMinS: unknown, IntervalMaxS: unknown, IntervalMedianS: Float(b.sampleS),
		FirstDepthM: unknown, LastDepthM: unknown}
	for i := 0; i+1 < len(b.tS); i++ {
		dt := b.tS[i+1] - b.tS[i]
		if b.gapAfter[i] {
			r.Gaps = append(r.Gaps, Span{Float(b.tS[i]), Float(b.tS[i+1])})
			r.GapS += Float(dt)
			continue
		}
		if !(float64(r.IntervalMinS) <= dt) {
			r.IntervalMinS = Float(dt)
		}
		if !(float64(r.IntervalMaxS) >= dt) {
			r.IntervalMaxS = Float(dt)
		}
	}
	for k := range d.Cells {
		r.MissingReadings = append(r.MissingReadings, countNaN(d.Cells[k].PO2Bar))
		n, _ := heldEvery(d.Cells[k].PO2Bar)
		r.RowsPerReading = append(r.RowsPerReading, n)
		r.CellStepBar = Float(math.Max(float64(r.CellStepBar), d.Cells[k].StepBar))
	}
	if d.UnitPO2Bar != nil {
		r.UnitPO2Missing = countNaN(d.UnitPO2Bar)
	}
	for _, u := range d.Unknown {
		r.UnknownColumns = append(r.UnknownColumns, u.Name)
	}
	for _, n := range d.Notes {
		r.Notes = append(r.Notes, LogNote{Float(b.tS[n.Row]), n.Text})
	}
	for _, e := range d.Events {
		r.Events = append(r.Events, LogEvent{Float(b.tS[e.Row]), string(e.Kind)})
	}
	for _, p := range d.Problems {
		if p.Severity != ingest.Info {
			r.ProblemLines += max(1, p.Count)
		}
	}
	if d.DepthM != nil {
		r.FirstDepthM, r.LastDepthM = Float(d.DepthM[0]), Float(d.DepthM[len(b.tS)-1])
	}
	return r
}

// assumptions are what the log left out and the figures rest on.
func (b *bench) assumptions() []Assumption {
	m := b.dive.Meta
	out := []Assumption{}
	add := func(id, format string, a ...any) { out = append(out, Assumption{id, fmt.Sprintf(format, a...)}) }
	if m.SurfaceAssumed {
		add("surface-pressure", "The log states no surface pressure: %.3f bar is assumed. At altitude every pressure and dose below would be lower.", m.SurfacePressureBar)
	}
	if m.DensityAssumed && b.dive.AmbientFrom == "depth" && b.debrief.Dive.MaxDepthM.Known() {
		deep := float64(b.debrief.Dive.MaxDepthM)
		add("water-density", "The log does not say which water density the instrument assumed: %.0f kg/m3 is used. Between 1000 and 1030 the pressure at the greatest depth differs by %.2f bar.",
			m.WaterDensityKgM3, 30*9.80665*deep/1e5)
	}
	if b.dive.AmbientFrom == "measured" {
		add("ambient-measured", "Ambient pressure was measured and is used in place of depth.")
	}
	add("humidity", "The gas in the loop is taken as saturated with water vapour at up to %.4f bar where dry gas is meant; how humid it was at the cells is not in the log.", b.p.Gas.VapourBar)
	if !m.Diluent.Known {
		add("diluent", "The log does not state the diluent: what depends on it is not assessed.")
	}
	if len(b.dive.Valves) == 0 {
		add("no-valves", "The log has no valve columns: openings can only be inferred from the saw-tooth of PO2.")
	}
	if b.dive.UnitPO2Bar == nil {
		add("no-unit-po2", "The log does not hold the PO2 that the unit controlled on: the mid-value of the cells stands in for it.")
	}
	if j := b.doubled; j != nil {
		add("halves", "Two logs were joined on the clock of half %s. The PO2 and the set point called the unit's are those of half %s, and of half %s where it recorded nothing; which half was in control is not in the logs.", j.half[0].letter, j.half[0].letter, j.half[1].letter)
		if what := j.namesDiffer(); what != "" {
			add("halves-names", "The two logs name different %s. Depth can't tell two divers who stayed together from one: make sure that both logs are of one unit.", what)
		}
	}
	for _, g := range b.doubled.gasPairsApart() {
		add("halves-"+strings.ReplaceAll(g.key, "_", "-"), "The two logs state different %s: half %s %s, half %s %s. That is no change of gas. %s is named as the dive's; what depends on it is not assessed until a row of either log states a change.",
			g.name, b.doubled.half[0].letter, gasName(g.a), b.doubled.half[1].letter, gasName(g.b), gasName(g.a))
	}
	add("between-rows", "The vote is replayed on the logged rows. A unit that votes between rows, or before rounding, can come to another result.")
	add("at-the-cells", "All PO2 figures are at the cells; what is inhaled is a little lower. Exposure uses them as a slightly high stand-in.")
	return out
}

func gasName(g ingest.Gas) string {
	if !g.Known {
		return ""
	}
	return g.String()
}
