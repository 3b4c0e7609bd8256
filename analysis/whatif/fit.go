package whatif

import (
	"math"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
)

// corner is one set of what the log leaves open.
type corner struct {
	Name string
	// flow is flow/V in bar/s, mixing a factor on the ventilation, t90S added to the
	// cells' T90, scale a factor on the estimate.
	flow, mixing, t90S, scale float64
}

// model is the loop fitted to the dive for one corner, in a loop of the nominal volume.
type model struct {
	corner
	p        Params
	flowLMin float64   // STPD, of one valve while open
	vo2LMin  []float64 // by row: the use from this row to the next
	shares   []float64 // sizes of the events, as shares of the loop's volume
	estBar   []float64 // the estimate by this corner
	// drivenBar is the PO2 that the model gives under the recorded openings.
	drivenBar []float64
}

// barLSPerLMin is what one L/min STPD is in bar L/s in the simulated loop.
func barLSPerLMin() float64 { return 1.01325 / 60 * (273.15 + rigTempC) / 273.15 }

// rigTempC is the temperature of the simulated loop; it scales flow and use alike.
const rigTempC = 30

// fitModel finds the oxygen use and the sizes of what was added by hand with which the loop,
// under the recorded openings, gives the estimate.
//
// Use is one number for each stretch of BlockS. From the state at a stretch's start two
// trial runs give PO2 as a straight line in the use; weighted least squares with the
// stretch before as prior gives it, later rows weighing more.
func fitModel(c *course, k corner, p Params) *model {
	unit := barLSPerLMin() / p.NominalVolumeL
	m := &model{corner: k, p: p, flowLMin: k.flow / unit, vo2LMin: make([]float64, len(c.tS)), shares: make([]float64, len(c.events)),
		estBar: scaled(c.estBar, k.scale), drivenBar: make([]float64, len(c.tS))}
	mean := c.meanUse(m.flowLMin, p)
	use := mean
	w := walker{c: c, startS: c.tS[0]}
	rig := m.newRig(c)
	for from := 0; from < len(c.tS)-1; {
		to := c.blockEnd(from, p)
		m.fitEvents(c, rig, w, from, to, use)
		use = m.fitUse(c, rig, w, from, to, use, mean)
		rig, w = m.drive(c, rig, w, to, use, m.drivenBar)
		for i := from; i < to; i++ {
			m.vo2LMin[i] = use
		}
		from = to
	}
	m.vo2LMin[len(c.tS)-1] = use
	m.drivenBar[0] = m.estBar[0]
	return m
}

func scaled(v []float64, by float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = v[i] * by
	}
	return out
}

// newRig fills the loop as the estimate has it at the first row.
func (m *model) newRig(c *course) scenario.Rig {
	start := math.Min(m.estBar[0], 0.98*c.dryBar[0])
	return scenario.NewRig(scenario.Loop{VolumeL: m.p.NominalVolumeL, StartPO2Bar: math.Max(start, 0.02), TempC: rigTempC}, c.diluent[0], c.dryBar[0])
}

// blockEnd is the last row of the stretch that begins at a row; a short rest belongs to it.
func (c *course) blockEnd(from int, p Params) int {
	i := from + 1
	for i < len(c.tS)-1 && c.tS[i]-c.tS[from] < p.BlockS {
		i++
	}
	if c.tS[len(c.tS)-1]-c.tS[i] < p.BlockS/2 {
		return len(c.tS) - 1
	}
	return i
}

// drive runs the rig under the recorded openings until row to, filling po2 by row.
func (m *model) drive(c *course, rig scenario.Rig, w walker, to int, useLMin float64, po2 []float64) (scenario.Rig, walker) {
	for w.row < to {
		row := w.row
		in := m.input(c, row, w.now(), useLMin)
		in.OxygenLMin = m.flowLMin*c.gaveRate(row) + c.leakLMin(w.now(), m.p)
		rig.SetDiluent(c.diluent[row])
		rig.Step(w.next(), in)
		for i := row + 1; i <= w.row; i++ {
			po2[i] = rig.SensedBar()
		}
	}
	return rig, w
}

// gaveRate is how many valves were open on average between a row and the next.
func (c *course) gaveRate(row int) float64 {
	if row+1 >= len(c.tS) {
		return 0
	}
	sum := 0.0
	for _, v := range c.gaveS {
		sum += v[row+1]
	}
	return sum / (c.tS[row+1] - c.tS[row])
}

// input is what flows at a moment, the valves apart.
func (m *model) input(c *course, row int, tS, useLMin float64) scenario.RigInput {
	in := scenario.RigInput{VO2LMin: useLMin, VentilationLMin: m.mixing * (m.p.VentilationBaseLMin + m.p.VentilationPerVO2*useLMin), OffLoop: !c.onLoop[row]}
	for k, e := range c.events {
		if tS < e.atS-1e-6 {
			break
		}
		if tS < e.atS+e.forS-1e-6 && m.shares[k] > 0 {
			litres := m.shares[k] * m.p.NominalVolumeL * scenario.RigStepS / e.forS
			if e.oxygen {
				in.HandO2L += litres
			} else {
				in.HandDilL += litres
			}
			in.ToAll = in.ToAll || e.toAll
		}
	}
	return in
}

// rowAt is the first row at or after a moment, the last row at most.
func (c *course) rowAt(tS float64) int {
	lo, hi := 0, len(c.tS)-1
	for lo < hi {
		if mid := (lo + hi) / 2; c.tS[mid] < tS {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

func sq(x float64) float64 { return x * x }

// rmse is how far the driven model is from the estimate over the usable rows: in bar,
// and in per cent of oxygen in dry gas.
func (c *course) rmse(po2, est []float64) (bar, percentO2 float64) {
	var b, f, n float64
	for i := range c.tS {
		if c.usable[i] && !math.IsNaN(po2[i]) {
			w := analysis.RowSeconds(c.tS, c.gapAfter, i)
			b, f, n = b+w*sq(po2[i]-est[i]), f+w*sq(100*(po2[i]-est[i])/c.dryBar[i]), n+w
		}
	}
	return math.Sqrt(b / n), math.Sqrt(f / n)
}
