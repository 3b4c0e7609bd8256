package analysis

import (
	"math"
	"sort"

	"afterloop/ingest"
)

// Analyze turns a dive into a debrief. It assumes what [ingest.Dive.Check]
// verifies, and panics on nothing that a file can hold. Cost is linear in rows.
func Analyze(d *ingest.Dive, p Parameters) *Debrief { return analyzed(d, nil, p).debrief }

// analyzed is the dive taken apart, all steps done; j is nil for a dive that one log holds.
func analyzed(d *ingest.Dive, j *Doubled, p Parameters) *bench {
	d, said := chooseSensor(d, p)
	b := newBench(d, p)
	b.doubled = j
	b.debrief.Sources = b.sourceList()
	b.debrief.Recording = b.recording()
	b.prepareVote()
	b.chooseBest()
	b.prepareHalves()
	b.runPhases()
	b.debrief.Dive = b.diveFacts()
	b.debrief.Assumptions = b.assumptions()
	if said != "" {
		b.debrief.Assumptions = append(b.debrief.Assumptions, Assumption{ID: "pressure-sensor", Text: said})
	}
	b.debrief.KnownGas = b.knownGas()
	b.diagnose()
	b.runTracking()
	b.runInjection()
	b.debrief.KnownGas = b.knownGas() // again: now the use of this dive is known
	b.runSupply()
	b.describeCells()
	b.runExposure()
	b.runModels()
	b.keepInhaled()
	b.describeVotes()
	b.runPressures()
	b.runBreathed()
	b.runSensitivity()
	b.describeHalves()
	b.assess()
	runChecks(b)
	b.linkJudgements()
	b.describePeople()
	b.debrief.Definitions = b.definitions()
	b.debrief.Problems = append(b.debrief.Problems, d.Problems...)
	b.fillSeries()
	return b
}

func newBench(d *ingest.Dive, p Parameters) *bench {
	b := &bench{dive: d, p: p, tS: d.TimeS, gapAfter: d.GapAfter(), sampleS: d.UsualIntervalS()}
	if b.p.Cells == nil {
		b.p.Cells = []int{}
	}
	if b.p.Models == nil {
		b.p.Models = []string{}
	}
	b.debrief = &Debrief{Schema: SchemaID, Tool: Tool{Name: "afterloop"}, Parameters: b.p, Sources: []Source{}, Findings: []Finding{},
		Checks: []Check{}, Votes: []Vote{}, Cells: []Cell{}, KnownGas: []KnownGas{}, Problems: []ingest.Problem{}}
	b.onLoop, b.under = make([]bool, len(b.tS)), make([]bool, len(b.tS))
	for i := range b.tS {
		b.onLoop[i] = d.Breathing[i] != ingest.OpenCircuit
		b.under[i] = b.isUnder(i)
	}
	b.events = b.allEvents()
	b.chooseCells()
	b.describeRows()
	return b
}

// isUnder tells whether row i is under water: by depth, else by pressure.
func (b *bench) isUnder(i int) bool {
	if z := b.dive.DepthM; z != nil && !math.IsNaN(z[i]) {
		return z[i] >= surfaceM
	}
	return b.dive.AmbientBar[i] >= b.dive.Meta.SurfacePressureBar+surfaceM*barPerM
}

// chooseCells picks the cells that take part in the replay.
func (b *bench) chooseCells() {
	want := map[int]bool{}
	for _, n := range b.p.Cells {
		want[n] = true
	}
	for k := range b.dive.Cells {
		if c := &b.dive.Cells[k]; len(want) == 0 || want[c.Number] {
			b.cells, b.numbers = append(b.cells, c.PO2Bar), append(b.numbers, c.Number)
		}
	}
}

// describeRows computes, row by row, the range, the median and the spread of the readings.
func (b *bench) describeRows() {
	n := len(b.tS)
	b.spread, b.lowest, b.highest, b.median = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	buf := make([]float64, 0, len(b.cells))
	for i := 0; i < n; i++ {
		buf = buf[:0]
		for k := range b.cells {
			if v := b.cells[k][i]; !math.IsNaN(v) {
				buf = append(buf, v)
			}
		}
		b.spread[i], b.lowest[i], b.highest[i], b.median[i] = math.NaN(), math.NaN(), math.NaN(), math.NaN()
		if len(buf) == 0 {
			continue
		}
		sort.Float64s(buf)
		b.lowest[i], b.highest[i] = buf[0], buf[len(buf)-1]
		b.median[i] = (buf[(len(buf)-1)/2] + buf[len(buf)/2]) / 2
		if len(buf) > 1 {
			b.spread[i] = b.highest[i] - b.lowest[i]
		}
	}
}

// chooseBest takes the unit's PO2 where it was recorded, else the policy mid-value,
// in which manual votes stand: the median of all readings would be another number.
func (b *bench) chooseBest() {
	b.best, b.bestName = b.median, "mid-value"
	if r, ok := b.replay("mid-value"); ok {
		b.best = r.PO2Bar
	}
	if b.dive.UnitPO2Bar != nil {
		b.best, b.bestName = b.dive.UnitPO2Bar, "unit"
	}
}

// assess says how much of the record could be judged at all.
func (b *bench) assess() {
	b.debrief.Assessable.TimeFraction = Float(b.usable(func(i int) bool { return b.onLoop[i] && !math.IsNaN(b.best[i]) }))
}

// describeCells fills what each cell read; verdicts come from package cell.
func (b *bench) describeCells() {
	for k := range b.dive.Cells {
		b.debrief.Cells = append(b.debrief.Cells, b.describeCell(&b.dive.Cells[k]))
	}
}

func (b *bench) describeCell(c *ingest.Cell) Cell {
	none := Interval{unknown, unknown, unknown, b.notDiagnosed()}
	out := Cell{Cell: c.Number, Serial: c.Serial, Installed: c.Installed, StepBar: Float(c.StepBar), MinBar: unknown, MaxBar: unknown,
		MeanFromMedianBar: unknown, MaxFromMedian: noValue("bar"), UnitOutS: unknown, ManualVotes: []VotedOut{},
		T90S: none, Gain: none, CeilingBar: none, DriftPerH: none, NoiseBar: none}
	if c.StepBar == 0 {
		out.StepBar = unknown
	}
	var sum, time float64
	far := -1
	for i, v := range c.PO2Bar {
		if math.IsNaN(v) {
			continue
		}
		out.Readings++
		if !(float64(out.MinBar) <= v) {
			out.MinBar = Float(v)
		}
		if !(float64(out.MaxBar) >= v) {
			out.MaxBar = Float(v)
		}
		w, d := rowSeconds(b.tS, b.gapAfter, i), v-b.median[i]
		if c.AtDisplayLimit != nil && c.AtDisplayLimit[i] {
			out.AtDisplayLimitS += Float(w)
		}
		if math.IsNaN(d) || len(b.dive.Cells) == 1 { // a cell alone is its own median
			continue
		}
		sum, time = sum+d*w, time+w
		if far < 0 || math.Abs(d) > math.Abs(float64(out.MaxFromMedian.Value)) {
			far = i
			out.MaxFromMedian = Value{Float(d), "bar", Float(b.tS[i])}
		}
	}
	if time > 0 {
		out.MeanFromMedianBar = Float(sum / time)
	}
	b.describeUnitVote(c, &out)
	b.judge(&out)
	out.MV = b.describeMV(c)
	return out
}

// describeUnitVote adds up what the unit recorded of its own vote on the cell.
func (b *bench) describeUnitVote(c *ingest.Cell, out *Cell) {
	if c.Vote == nil {
		return
	}
	isOut := func(v ingest.UnitVote) bool { return v == ingest.VoteOut || v == ingest.VoteManualOut }
	manual := func(v ingest.UnitVote) bool { return v == ingest.VoteManualIn || v == ingest.VoteManualOut }
	out.UnitOutS = Float(totalSeconds(spansWhere(b.tS, b.gapAfter, func(i int) bool { return isOut(c.Vote[i]) })))
	for _, s := range spansWhere(b.tS, b.gapAfter, func(i int) bool { return manual(c.Vote[i]) }) {
		out.ManualVotes = append(out.ManualVotes, VotedOut{c.Number, Float(s.fromS), Float(s.toS), "recorded as " + c.Vote[s.from].String()})
	}
}

// describeMV compares the millivolts, where recorded, with the PO2 that the vote saw.
func (b *bench) describeMV(c *ingest.Cell) *CellMV {
	if c.MV == nil {
		return nil
	}
	m := &CellMV{CalMV: Float(c.CalMV), CalPO2Bar: Float(c.CalPO2Bar), MVPerBar: Float(c.CalMV / c.CalPO2Bar), MinMV: unknown, MaxMV: unknown, LargestDifferenceBar: noValue("bar")}
	for i, v := range c.MV {
		if math.IsNaN(v) {
			continue
		}
		if !(float64(m.MinMV) <= v) {
			m.MinMV = Float(v)
		}
		if !(float64(m.MaxMV) >= v) {
			m.MaxMV = Float(v)
		}
		d := c.PO2Bar[i] - v*c.CalPO2Bar/c.CalMV
		if !c.FromMV && !math.IsNaN(d) && !(math.Abs(d) <= math.Abs(float64(m.LargestDifferenceBar.Value))) {
			m.LargestDifferenceBar = Value{Float(d), "bar", Float(b.tS[i])}
		}
	}
	return m
}
