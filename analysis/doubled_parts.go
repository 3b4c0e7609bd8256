package analysis

import (
	"math"

	"afterloop/ingest"
)

// parts renumbers valves and batteries from 1.
func (m *join) parts() {
	h := &m.j.half
	for k, v := range m.a.Valves {
		m.out.Valves = append(m.out.Valves, ingest.Valve{Number: k + 1, OpenS: m.own(v.OpenS), Openings: m.own(v.Openings)})
		h[0].add("valve", v.Number, k+1)
	}
	most := make([]float64, len(m.tS))
	for i := range most {
		most[i] = math.Inf(1)
		if i > 0 {
			most[i] = m.tS[i] - m.tS[i-1]
		}
	}
	for _, v := range m.b.Valves {
		n := len(m.out.Valves) + 1
		m.out.Valves = append(m.out.Valves, ingest.Valve{Number: n, OpenS: m.c.amounts(m.tS, v.OpenS, most), Openings: m.c.amounts(m.tS, v.Openings, nil)})
		h[1].add("valve", v.Number, n)
	}
	for _, s := range m.a.BatteryV {
		n := len(m.out.BatteryV) + 1
		m.out.BatteryV = append(m.out.BatteryV, ingest.Numbered{Number: n, Values: m.own(s.Values)})
		h[0].add("battery", s.Number, n)
	}
	for _, s := range m.b.BatteryV {
		n := len(m.out.BatteryV) + 1
		m.out.BatteryV = append(m.out.BatteryV, ingest.Numbered{Number: n, Values: m.c.plain(s.Values)})
		h[1].add("battery", s.Number, n)
	}
}

// series joins what there is one of.
func (m *join) series() {
	a, b, o, h := m.a, m.b, m.out, &m.j.half
	h[0].po2, h[1].po2 = m.own(po2OfHalf(a)), m.c.line(po2OfHalf(b), m.jump, nil)
	h[0].setPoint, h[1].setPoint = m.own(a.SetPointBar), carriedNumbers(m.c, b.SetPointBar)
	o.UnitPO2Bar = m.firstElse(h[0].po2, h[1].po2)
	o.SetPointBar = m.firstElse(h[0].setPoint, h[1].setPoint)
	h[0].he, h[1].he = m.own(a.LoopHe), m.c.plain(b.LoopHe)
	switch {
	case h[0].he != nil && h[1].he != nil:
		o.LoopHe = h[0].he
		o.LoopHeByNumber = []ingest.Numbered{{Number: 1, Values: h[0].he}, {Number: 2, Values: h[1].he}}
	case h[0].he != nil:
		o.LoopHe = h[0].he
	default:
		o.LoopHe = h[1].he
	}
	o.LoopMbar, o.TempC, o.LoopTempC = m.either(a.LoopMbar, b.LoopMbar), m.either(a.TempC, b.TempC), m.either(a.LoopTempC, b.LoopTempC)
	o.O2CylBar, o.DilCylBar = m.either(a.O2CylBar, b.O2CylBar), m.either(a.DilCylBar, b.DilCylBar)
}

// firstElse is the first half's series, the second's on rows that only it recorded
// or where the first has none at all.
func (m *join) firstElse(x, y []float64) []float64 {
	if x == nil {
		return y
	}
	out := append([]float64{}, x...)
	for i, r := range m.rows {
		if r.first < 0 && y != nil {
			out[i] = y[i]
		}
	}
	return out
}

// carriedNumbers is a series of steps, from the nearest row.
func carriedNumbers(c *carrier, x []float64) []float64 {
	out := carried(c, x)
	for i := range out {
		if c.nearest(i) < 0 {
			out[i] = math.NaN()
		}
	}
	return out
}

// po2OfHalf is what a half controlled on, in its own log.
func po2OfHalf(d *ingest.Dive) []float64 {
	if d.UnitPO2Bar == nil && len(d.HalfPO2Bar) == 1 {
		return d.HalfPO2Bar[0].Values
	}
	return d.UnitPO2Bar
}
