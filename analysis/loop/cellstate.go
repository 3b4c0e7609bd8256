package loop

import "math"

// CellState is what the estimate is told of one cell: where its readings may be
// used and with what lag.
type CellState struct {
	// Spans are the stretches in which the cell's readings are used, in time
	// order; a reading outside all of them is not used.
	Spans []CellSpan
	// GainOff is true where the cell's gain is known to be off: its readings then
	// follow changes, but say nothing of the scale.
	GainOff bool
	// NoiseBar is the standard deviation of one reading, rounding included; NaN or
	// 0: the default.
	NoiseBar float64
}

// CellSpan is one stretch of use.
type CellSpan struct {
	FromS, ToS float64 // s, inclusive; NaN: from the first, to the last row
	T90S       float64 // time to 90 % of a step; NaN: the default
	CeilingBar float64 // reading above which the cell does not follow; NaN: none seen
}

// Healthy is a cell used throughout with the default lag.
func Healthy() CellState {
	nan := math.NaN()
	return CellState{Spans: []CellSpan{{nan, nan, nan, nan}}, NoiseBar: nan}
}

// contains tells whether moment t lies in the span.
func (s CellSpan) contains(t float64) bool {
	return !(t < s.FromS) && !(t > s.ToS)
}

// tauS is the time constant of a T90: tau = T90 / ln 10.
func tauS(t90S, defaultS float64) float64 {
	if !(t90S > 0) {
		t90S = defaultS
	}
	return t90S / math.Ln10
}

// column is one cell's readings as the estimate uses them.
type column struct {
	z    []float64 // reading, bar; NaN where it is not used
	span []int16   // index of the span that holds the row, or -1
	tauS []float64 // by span
	r    float64   // variance of one reading, bar2
	// ln of the gain relative to the scale of the estimate.
	logGain float64
}

// columns applies the states to the readings. Cells without a state are taken
// as healthy.
func columns(r Record, cells []CellState, p Params) []column {
	out := make([]column, len(r.CellsBar))
	for k := range out {
		st := Healthy()
		if k < len(cells) {
			st = cells[k]
		}
		out[k] = newColumn(r, k, st, p)
	}
	return out
}

func newColumn(r Record, k int, st CellState, p Params) column {
	n := r.Rows()
	c := column{z: make([]float64, n), span: make([]int16, n)}
	for _, s := range st.Spans {
		c.tauS = append(c.tauS, tauS(s.T90S, p.T90DefaultS))
	}
	j := 0
	for i, t := range r.TimeS {
		for j < len(st.Spans) && t > st.Spans[j].ToS {
			j++
		}
		c.z[i], c.span[i] = math.NaN(), -1
		if j == len(st.Spans) || !st.Spans[j].contains(t) {
			continue
		}
		c.span[i] = int16(j)
		if y := r.CellsBar[k][i]; !(y > st.Spans[j].CeilingBar-p.CeilingGapBar) {
			c.z[i] = y
		}
	}
	step := 0.0
	if r.CellStepBar != nil {
		step = orElse(r.CellStepBar[k], 0)
	}
	c.r = sq(p.CellNoiseBar) + step*step/12
	if st.NoiseBar > 0 {
		c.r = math.Max(sq(st.NoiseBar), step*step/12)
	}
	if step > p.CoarseStepBar { // the error stays with a quiet PO2: a mean over rows does not take it out
		c.r = math.Max(c.r, step*step/12*math.Max(1, p.CoarseHoldS/r.UsualStepS()))
	}
	return c
}
