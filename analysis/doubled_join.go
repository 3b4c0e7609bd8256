package analysis

import (
	"fmt"
	"math"
	"sort"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// join puts two logs together; see [JoinHalves] for the rules.
type join struct {
	j    *Doubled
	a, b *ingest.Dive
	rows []joinedRow
	tS   []float64
	c    *carrier
	out  *ingest.Dive
	jump float64 // bar between neighbouring readings
	// apartS is how long two readings of one serial must differ by more than jump to be two cells, s.
	apartS float64
}

func newJoin(j *Doubled, p Parameters) *join {
	m := &join{j: j, a: j.logs[0], b: j.logs[1], jump: p.Vote.OutBar, apartS: p.HalvesLimits.AfterS}
	m.rows = joinRows(m.a, m.b, j.Clock.ToA)
	m.tS = make([]float64, len(m.rows))
	for i, r := range m.rows {
		m.tS[i] = r.tS
	}
	m.c = newCarrier(m.tS, m.b, j.Clock.ToA)
	return m
}

func (m *join) join() {
	a, b := m.a, m.b
	m.out = &ingest.Dive{TimeS: m.tS, Line: make([]int, len(m.rows)), AmbientFrom: a.AmbientFrom, DepthStepM: a.DepthStepM, Meta: m.meta(),
		Problems: append(append(append([]ingest.Problem{}, a.Problems...), b.Problems...), m.j.contradicting()...)}
	m.out.Source = ingest.Source{File: a.Source.File + " + " + b.Source.File, SHA256: a.Source.SHA256, Bytes: a.Source.Bytes + b.Source.Bytes,
		FormatVersion: a.Source.FormatVersion, TimeForm: a.Source.TimeForm, Truncated: a.Source.Truncated || b.Source.Truncated}
	for i, r := range m.rows {
		if r.first >= 0 {
			m.out.Line[i] = a.Line[r.first]
		} else {
			m.out.Line[i] = b.Line[r.second]
		}
	}
	names := letters(a, b)
	for k := range m.j.half {
		m.j.half[k] = halfRecord{letter: names[k], file: m.j.logs[k].Source.File, log: m.j.logs[k], recorded: make([]bool, len(m.rows))}
	}
	for i, r := range m.rows {
		m.j.half[0].recorded[i], m.j.half[1].recorded[i] = r.first >= 0, m.c.nearest(i) >= 0
	}
	m.pressure()
	m.cells()
	m.parts()
	m.series()
	m.words()
	m.marks()
	for k := range m.j.half {
		h := &m.j.half[k]
		m.out.Meta.Halves = append(m.out.Meta.Halves, ingest.Half{Letter: h.letter, Cells: h.cells, Valves: h.valves, Batteries: h.batteries})
		if h.po2 != nil {
			m.out.HalfPO2Bar = append(m.out.HalfPO2Bar, ingest.Lettered{Letter: h.letter, Values: h.po2})
		}
	}
	sort.SliceStable(m.out.HalfPO2Bar, func(i, k int) bool { return m.out.HalfPO2Bar[i].Letter < m.out.HalfPO2Bar[k].Letter })
	m.j.Dive = m.out
}

// own is a series of the first log on the joined rows, NaN on rows of the second.
func (m *join) own(x []float64) []float64 {
	if x == nil {
		return nil
	}
	out := make([]float64, len(m.rows))
	for i, r := range m.rows {
		if out[i] = math.NaN(); r.first >= 0 {
			out[i] = x[r.first]
		}
	}
	return out
}

// ownAny is own for words; rows of the second log hold the zero value.
func ownAny[T any](m *join, x []T) []T {
	if x == nil {
		return nil
	}
	out := make([]T, len(m.rows))
	for i, r := range m.rows {
		if r.first >= 0 {
			out[i] = x[r.first]
		}
	}
	return out
}

// either is the first log's series, and the second's on rows of its own or where
// the first has no such column.
func (m *join) either(x, y []float64) []float64 {
	other := m.c.plain(y)
	if x == nil {
		return other
	}
	out := m.own(x)
	for i, r := range m.rows {
		if r.first < 0 && other != nil {
			out[i] = other[i]
		}
	}
	return out
}

// pressure takes depth and pressure from the first log; where it recorded
// nothing, the second's are brought to its sensor.
func (m *join) pressure() {
	a, b, clock := m.a, m.b, m.j.Clock
	m.out.DepthM, m.out.AmbientBar = m.own(a.DepthM), m.own(a.AmbientBar)
	zB, pB := m.c.plain(b.DepthM), m.c.plain(b.AmbientBar)
	var apart []float64
	for i := range pB {
		if d := m.out.AmbientBar[i] - pB[i]; !math.IsNaN(d) {
			apart = append(apart, d)
		}
	}
	shift := medianOf(apart)
	for i, r := range m.rows {
		if r.first >= 0 {
			continue
		}
		z := (zB[i] - clock.DepthZeroM) / clock.DepthFactor
		m.out.DepthM[i] = math.Round(z*1000) / 1000
		if a.AmbientFrom == ingest.AmbientFromDepth {
			m.out.AmbientBar[i] = gas.Ambient(a.Meta.SurfacePressureBar, m.out.DepthM[i], a.Meta.WaterDensityKgM3)
			continue
		}
		m.out.AmbientBar[i] = math.Round((pB[i]+shift)*1e5) / 1e5
	}
	h := &m.j.half
	h[0].depthM, h[1].depthM = m.own(a.DepthM), m.asFirst(zB)
	if a.AmbientFrom != ingest.AmbientFromDepth && b.AmbientFrom != ingest.AmbientFromDepth {
		h[0].ambientBar, h[1].ambientBar = m.own(a.AmbientBar), pB
	}
	if a.AmbientFrom == ingest.AmbientMeasured && b.AmbientFrom == ingest.AmbientMeasured {
		m.out.AmbientByNumber = []ingest.Numbered{{Number: 1, Values: h[0].ambientBar}, {Number: 2, Values: pB}}
	}
}

// asFirst is a depth of the second log in the water that the first instrument
// assumed, where both logs state theirs: the same pressure, shown otherwise, is no
// difference between sensors.
func (m *join) asFirst(z []float64) []float64 {
	x, y := m.a.Meta, m.b.Meta
	if x.DensityAssumed || y.DensityAssumed || x.WaterDensityKgM3 == y.WaterDensityKgM3 {
		return z
	}
	m.j.rules = append(m.j.rules, fmt.Sprintf("depths of half %s, shown for water of %.0f kg/m3, are compared as for the %.0f kg/m3 of half %s", m.j.half[1].letter, y.WaterDensityKgM3, x.WaterDensityKgM3, m.j.half[0].letter))
	out := make([]float64, len(z))
	for i := range z {
		out[i] = z[i] * y.WaterDensityKgM3 / x.WaterDensityKgM3
	}
	return out
}

// cells renumbers the cells of both from 1.
func (m *join) cells() {
	bySerial := map[string]int{}
	for k := range m.a.Cells {
		c := m.a.Cells[k]
		was := c.Number
		c.Number = k + 1
		c.PO2Bar, c.MV, c.Vote, c.AtDisplayLimit = m.own(c.PO2Bar), m.own(c.MV), ownAny(m, c.Vote), ownAny(m, c.AtDisplayLimit)
		m.out.Cells = append(m.out.Cells, c)
		m.j.half[0].add("cell", was, c.Number)
		if c.Serial != "" {
			bySerial[c.Serial] = c.Number
		}
	}
	for k := range m.b.Cells {
		c := m.b.Cells[k]
		was := c.Number
		apart := c.AtDisplayLimit
		c.PO2Bar, c.MV, c.FromMV = m.c.line(c.PO2Bar, m.jump, apart), m.c.plain(c.MV), false
		c.Vote, c.AtDisplayLimit = carried(m.c, c.Vote), carried(m.c, c.AtDisplayLimit)
		n := bySerial[c.Serial]
		if n > 0 && m.readApart(m.out.Cells[n-1].PO2Bar, c.PO2Bar) {
			m.keepApart(n, was, c.PO2Bar)
			n = 0
		}
		if n > 0 {
			m.shared(&m.out.Cells[n-1], c.PO2Bar)
			m.j.half[1].add("cell", was, n)
			m.j.rules = append(m.j.rules, fmt.Sprintf("cell %d of half %s has the serial number of cell %d of half %s: it is one cell, read by both", was, m.j.half[1].letter, n, m.j.half[0].letter))
			continue
		}
		c.Number = len(m.out.Cells) + 1
		m.out.Cells = append(m.out.Cells, c)
		m.j.half[1].add("cell", was, c.Number)
	}
	for k := range m.j.half {
		sort.Ints(m.j.half[k].cells)
	}
}

// shared fills the reading of a cell that both read where the first recorded nothing.
func (m *join) shared(c *ingest.Cell, other []float64) {
	c.FromMV = false
	for i, r := range m.rows {
		if r.first < 0 {
			c.PO2Bar[i] = other[i]
		}
	}
}

// words joins what was breathed and the gases.
func (m *join) words() {
	a, b, o := m.a, m.b, m.out
	o.Breathing = ownAny(m, a.Breathing)
	o.OpenGas, o.Diluent = m.gasesOf(a.OpenGas, b.OpenGas, a.Meta.OpenCircuitGas, b.Meta.OpenCircuitGas), m.gasesOf(a.Diluent, b.Diluent, a.Meta.Diluent, b.Meta.Diluent)
	breathing := carried(m.c, b.Breathing)
	for i, r := range m.rows {
		if o.Breathing[i] == ingest.BreathingNotRecorded {
			o.Breathing[i] = breathing[i]
		}
		if r.first < 0 && i > 0 && o.Breathing[i] == ingest.BreathingNotRecorded {
			o.Breathing[i] = o.Breathing[i-1]
		}
	}
	for _, u := range a.Unknown {
		o.Unknown = append(o.Unknown, ingest.TextColumn{Name: u.Name, Values: ownAny(m, u.Values)})
	}
	for _, u := range b.Unknown {
		o.Unknown = append(o.Unknown, ingest.TextColumn{Name: u.Name + " (half " + m.j.half[1].letter + ")", Values: carried(m.c, u.Values)})
	}
}
