package cell_test

import (
	"testing"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
)

// BenchmarkDiagnose is three hours at 1 Hz with four cells, two of them faulty.
func BenchmarkDiagnose(b *testing.B) {
	one := base(with(4, func(c []smallCell) { c[0].t90S, c[3].ceiling = 40, 1.1 })).record(1)
	r := one
	for len(r.TimeS) < 10800 {
		r = joined(r, one)
	}
	for b.Loop() {
		cell.Diagnose(r, cell.DefaultParams())
	}
}

// joined is one dive after another.
func joined(a, b loop.Record) loop.Record {
	out := a
	out.TimeS = append(out.TimeS[:len(a.TimeS):len(a.TimeS)], shifted(b.TimeS, a.TimeS[len(a.TimeS)-1]+1)...)
	both := func(x, y []float64) []float64 { return append(x[:len(x):len(x)], y...) }
	out.DepthM, out.AmbientBar = both(a.DepthM, b.DepthM), both(a.AmbientBar, b.AmbientBar)
	out.FO2Dil, out.FHeDil = both(a.FO2Dil, b.FO2Dil), both(a.FHeDil, b.FHeDil)
	out.CellsBar = nil
	for i := range a.CellsBar {
		out.CellsBar = append(out.CellsBar, both(a.CellsBar[i], b.CellsBar[i]))
	}
	out.Valves = []loop.Valve{{Number: 1, OpenS: both(a.Valves[0].OpenS, b.Valves[0].OpenS)}}
	return out
}
