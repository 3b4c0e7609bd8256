package whatif

import (
	"math"

	"afterloop/analysis"
	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
	"afterloop/analysis/scenario"
)

// sensor is one cell as the diagnosis has it. What it showed beyond lag, gain and ceiling
// (noise, rounding, drift, excursions, errors of the estimate) is carried over from the
// record as leftBar, so that with the recorded PO2 it reads what was recorded.
type sensor struct {
	readBar   []float64 // as recorded
	gain      float64
	tauS      float64
	lateFromS float64 // NaN, or from when lateTauS holds
	lateTauS  float64
	// decay and lateDecay are what one step of the rig leaves of a difference.
	decay, lateDecay float64
	kneeBar, slope   float64 // kneeBar NaN: no ceiling
	frozen           []cell.Span
	leftBar          []float64
	lagBar           []float64 // lagged estimate
}

// usualT90S stands in where the diagnosis found no T90: new cells reach 90 % in 5 to 10 s
// (common practice).
const usualT90S = 6

// newSensors are the cells of the vote, in its order, by one corner.
func newSensors(c *course, ev analysis.Evidence, m *model) []*sensor {
	out := make([]*sensor, len(ev.Vote.Cells))
	for j, n := range ev.Vote.Numbers {
		s := &sensor{readBar: ev.Vote.Cells[j], gain: 1, tauS: tau(usualT90S + m.t90S), lateFromS: math.NaN(), kneeBar: math.NaN(), slope: m.p.CeilingSlope}
		k := indexOf(ev.Record.CellNumber, n)
		if g := ev.Estimate.GainBy; k < len(g) && g[k] > 0.3 && g[k] < 3 {
			s.gain = g[k] / m.scale
		}
		s.lag(ev.States[k], m.t90S)
		s.judged(ev.CellFaults, n)
		s.decay, s.lateDecay = math.Exp(-scenario.RigStepS/s.tauS), math.Exp(-scenario.RigStepS/s.lateTauS)
		s.leave(c, m.estBar)
		out[j] = s
	}
	return out
}

func tau(t90S float64) float64 { return math.Max(t90S, 0.5) / math.Ln10 }

func indexOf(v []int, n int) int {
	for i := range v {
		if v[i] == n {
			return i
		}
	}
	return len(v)
}

// lag takes the T90 that the estimate uses.
func (s *sensor) lag(st loop.CellState, more float64) {
	first := true
	for _, span := range st.Spans {
		if !(span.T90S > 0) {
			continue
		}
		t := tau(span.T90S + more)
		switch {
		case first:
			s.tauS, first = t, false
		case math.Abs(t-s.tauS) > 1e-9 && span.FromS > 0:
			s.lateFromS, s.lateTauS = span.FromS, t
		}
	}
}

// judged takes ceiling and standing still from the verdicts.
func (s *sensor) judged(faults []cell.Fault, number int) {
	for _, f := range faults {
		if f.Cell != number || f.Borderline {
			continue
		}
		switch f.Kind {
		case cell.Limited:
			s.kneeBar = f.Value
		case cell.Frozen:
			s.frozen = append(s.frozen, cell.Span{FromS: f.FromS, ToS: f.ToS})
		}
	}
}

// leave fills what the reading holds beyond the model.
func (s *sensor) leave(c *course, est []float64) {
	n := len(c.tS)
	s.leftBar, s.lagBar = make([]float64, n), make([]float64, n)
	l := est[0]
	for i := range n {
		if i > 0 {
			l = lagged(l, est[i-1], est[i], c.tS[i]-c.tS[i-1], s.tauAt(c.tS[i]))
		}
		s.lagBar[i] = l
		s.leftBar[i] = s.readBar[i] - s.bend(s.gain*l)
	}
}

// lagged is a first-order lag after h seconds of an input that ran straight from a to b:
//
//	L(h) = b - r tau + (L - a + r tau) exp(-h/tau),   r = (b - a)/h
func lagged(l, a, b, h, tauS float64) float64 {
	r := (b - a) / h
	return b - r*tauS + (l-a+r*tauS)*math.Exp(-h/tauS)
}

// step is lagged over one step of the rig.
func (s *sensor) step(l, a, b, tS float64) float64 {
	tauS, decay := s.tauS, s.decay
	if tS >= s.lateFromS {
		tauS, decay = s.lateTauS, s.lateDecay
	}
	r := (b - a) / scenario.RigStepS * tauS
	return b - r + (l-a+r)*decay
}

func (s *sensor) tauAt(tS float64) float64 {
	if tS >= s.lateFromS {
		return s.lateTauS
	}
	return s.tauS
}

// bend applies the ceiling.
func (s *sensor) bend(y float64) float64 {
	if y > s.kneeBar {
		return s.kneeBar + s.slope*(y-s.kneeBar)
	}
	return y
}

// reading is what the cell shows at a moment at or after a row, lagBar its lagged PO2. It
// is absent where the record has none.
func (s *sensor) reading(c *course, row int, tS, lagBar float64) float64 {
	if math.IsNaN(s.readBar[row]) {
		return math.NaN()
	}
	for _, f := range s.frozen {
		if tS >= f.FromS && !(tS > f.ToS) {
			return s.readBar[row]
		}
	}
	left := s.leftBar[row]
	if row+1 < len(s.leftBar) && !math.IsNaN(s.leftBar[row+1]) {
		left = c.at(s.leftBar, row, tS)
	}
	return math.Max(0, s.bend(s.gain*lagBar)+left)
}
