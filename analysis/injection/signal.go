package injection

import (
	"math"
	"slices"
)

// signal is the PO2 that responses are read from and what belongs to it, by row.
type signal struct {
	// poBar is the PO2 by the cells, NaN where unknown.
	poBar []float64
	// dryBar is the pressure of the dry gas, Pd = P - pH2O.
	dryBar []float64
	// x is the oxygen fraction of the dry gas, poBar/dryBar, held over unknown
	// rows and within 0 to 1.
	x []float64
	// usable rows have a PO2, are on the loop and are not masked.
	usable []bool
}

func newSignal(in Input) signal {
	n := len(in.TimeS)
	s := signal{poBar: responseColumn(in), dryBar: make([]float64, n), x: make([]float64, n), usable: make([]bool, n)}
	last := math.NaN()
	for i := range n {
		s.dryBar[i] = math.Max(0, value(in.AmbientBar, i)-in.VapourBar)
		if x := s.poBar[i] / s.dryBar[i]; !math.IsNaN(x) && !math.IsInf(x, 0) {
			last = math.Max(0, math.Min(1, x))
		}
		s.x[i] = last
		s.usable[i] = !math.IsNaN(s.poBar[i]) && !math.IsNaN(s.dryBar[i]) && on(in.OnLoop, i, true) && !on(in.Masked, i, false)
	}
	return s
}

func responseColumn(in Input) []float64 {
	n := len(in.TimeS)
	out := make([]float64, n)
	if in.ResponseFrom == UnitPO2 || len(in.CellsBar) == 0 {
		for i := range out {
			out[i] = value(in.PO2Bar, i)
		}
		return out
	}
	buffer := make([]float64, 0, len(in.CellsBar))
	for i := range out {
		buffer = buffer[:0]
		for _, c := range in.CellsBar {
			if !math.IsNaN(c[i]) {
				buffer = append(buffer, c[i])
			}
		}
		out[i] = median(buffer)
	}
	return out
}

// median of v, which it sorts; the mean of the two in the middle where their
// number is even; NaN of nothing.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	m := len(v) / 2
	if len(v)%2 == 1 {
		return v[m]
	}
	return (v[m-1] + v[m]) / 2
}
