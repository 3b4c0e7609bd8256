package loop_test

import (
	"math"
	"math/rand"
	"testing"

	"afterloop/analysis/loop"
)

// threeHours is a plain three-hour dive at 1 Hz with four cells.
func threeHours(rows int) loop.Record {
	rng := rand.New(rand.NewSource(3))
	r := loop.Record{HeSigma: math.NaN(), LoopVolumeL: math.NaN(), FlowLMin: math.NaN(), VapourHighBar: 0.0627,
		CellsBar: make([][]float64, 4), CellStepBar: []float64{0.01, 0.01, 0.01, 0.01}, CellNumber: []int{1, 2, 3, 4}}
	v := loop.Valve{Number: 1}
	p := 0.7
	for i := range rows {
		t := float64(i)
		depth := 30 * math.Min(1, t/120)
		open := 0.0
		if p < 1.2 && i%6 == 0 {
			open = 0.4
		}
		p += 0.04*open*(1-p/4) - 0.0025
		if t < 120 {
			p += 0.21 * 30 / 120 / 10
		}
		r.TimeS, r.DepthM, r.AmbientBar = append(r.TimeS, t), append(r.DepthM, depth), append(r.AmbientBar, 1.013+depth/10)
		r.FO2Dil, r.FHeDil = append(r.FO2Dil, 0.21), append(r.FHeDil, 0)
		v.OpenS = append(v.OpenS, open)
		for k := range r.CellsBar {
			r.CellsBar[k] = append(r.CellsBar[k], math.Round(100*(p+0.004*rng.NormFloat64()))/100)
		}
	}
	r.Valves = []loop.Valve{v}
	return r
}

func BenchmarkSmoothThreeHours(b *testing.B) {
	r := threeHours(10800)
	b.ReportAllocs()
	for b.Loop() {
		loop.Smooth(r, nil, loop.DefaultParams())
	}
}

func BenchmarkValvesThreeHours(b *testing.B) {
	r := threeHours(10800)
	po2 := loop.Smooth(r, nil, loop.DefaultParams()).PO2Bar
	for b.Loop() {
		loop.Valves(r, nil, po2, loop.DefaultParams())
	}
}
