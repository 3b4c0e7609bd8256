package analysis

import (
	"math"

	"afterloop/analysis/hydro"
	"afterloop/ingest"
)

// sensors lists the columns of ambient pressure and compares each with the one in use.
func (b *bench) sensors(d *DepthPressure) {
	cols := b.pressureColumns()
	if len(cols) == 0 {
		return
	}
	saturated := make([]float64, len(cols))
	for k := range cols {
		saturated[k] = math.NaN()
	}
	for k := 1; k < len(cols); k++ {
		p := hydro.ComparePair(cols[0].Values, cols[k].Values, b.p.Pressures)
		if saturated[k] = p.SaturatedB; !(p.SaturatedA >= saturated[0]) && !math.IsNaN(p.SaturatedA) {
			saturated[0] = p.SaturatedA
		}
		b.pressureRows.pairs = append(b.pressureRows.pairs, p)
		b.pressureRows.names = append(b.pressureRows.names, [2]int{cols[0].Number, cols[k].Number})
		d.Pairs = append(d.Pairs, b.pressurePair(cols[0].Number, cols[k].Number, p))
	}
	b.markEnded(saturated[0])
	for k, c := range cols {
		s := sensor(c, k == 0, saturated[k])
		s.SaturatedS = Float(b.stoodS(c.Values, saturated[k]))
		d.Sensors = append(d.Sensors, s)
	}
}

// pressureColumns are the recorded columns of ambient pressure, the one in use first;
// 0 is the number of ambient_bar.
func (b *bench) pressureColumns() []ingest.Numbered {
	if b.dive.AmbientFrom != ingest.AmbientMeasured {
		return nil
	}
	var out, others []ingest.Numbered
	for _, c := range b.dive.AmbientByNumber {
		switch {
		case countNaN(c.Values) == len(c.Values):
		case out == nil && sameReadings(c.Values, b.dive.AmbientBar):
			out = append(out, c)
		default:
			others = append(others, c)
		}
	}
	if out == nil {
		out = append(out, ingest.Numbered{Number: 0, Values: b.dive.AmbientBar})
	}
	return append(out, others...)
}

// sameReadings tells whether two columns hold the same; a row that only one holds, as
// after a pressure that nobody was ever in was left out, is no difference.
func sameReadings(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] && !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			return false
		}
	}
	return true
}

func sensor(c ingest.Numbered, inUse bool, saturated float64) PressureSensor {
	s := PressureSensor{Number: c.Number, InUse: inUse, StepBar: Float(hydro.Step(c.Values)), MinBar: unknown, MaxBar: unknown, SaturatesBar: Float(saturated)}
	for _, v := range c.Values {
		if math.IsNaN(v) {
			continue
		}
		if s.Rows++; !(float64(s.MinBar) <= v) {
			s.MinBar = Float(v)
		}
		if !(float64(s.MaxBar) >= v) {
			s.MaxBar = Float(v)
		}
	}
	if s.StepBar == 0 {
		s.StepBar = unknown
	}
	return s
}

func (b *bench) pressurePair(a, c int, p hydro.Pair) PressurePair {
	out := PressurePair{A: a, B: c, MedianBar: Float(p.Median), SpreadBar: Float(p.Spread), Worst: noValue("bar"), OffsetBar: intervalOf(p.Offset), Scale: intervalOf(p.Scale)}
	if p.WorstRow >= 0 {
		out.Worst = at(p.DifferenceBar, b.tS, p.WorstRow, "bar")
	}
	switch {
	case p.StepA > p.StepB*1.01:
		out.Coarser = &a
	case p.StepB > p.StepA*1.01:
		out.Coarser = &c
	}
	out.DisagreeS = Float(totalSeconds(b.disagreeing(p)))
	return out
}

// disagreeing are the stretches in which two sensors differ by more than the limit.
func (b *bench) disagreeing(p hydro.Pair) []span {
	return spansWhere(b.tS, b.gapAfter, func(i int) bool { return math.Abs(p.DifferenceBar[i]) > b.sensorLimit(p, i)+tol })
}

// sensorLimit is how far two sensors may differ in row i.
func (b *bench) sensorLimit(p hydro.Pair, i int) float64 {
	l := b.p.PressureLimits
	return math.Max(math.Max(l.SensorsBar, l.SensorsFraction*b.dive.AmbientBar[i]), (p.StepA+p.StepB)/2)
}
