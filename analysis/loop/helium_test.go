package loop_test

import (
	"math"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/analysis/loop"
)

// heliumRecord goes from the surface to bar 5 in ten minutes and stays.
func heliumRecord(mix gas.Mix) loop.Record {
	r := loop.Record{HeSigma: 0.01}
	for i := range 1200 {
		r.TimeS = append(r.TimeS, float64(i))
		r.AmbientBar = append(r.AmbientBar, 1+4*math.Min(1, float64(i)/600))
		r.FO2Dil, r.FHeDil = append(r.FO2Dil, mix.O2), append(r.FHeDil, mix.He)
		r.LoopHe = append(r.LoopHe, math.NaN())
	}
	return r
}

// From partial pressures: helium and nitrogen stand as in the diluent, what is
// left of the dry pressure is oxygen; a wet fraction is of the whole pressure.
func TestHeliumClosedForm(t *testing.T) {
	mix := gas.Mix{O2: 0.18, He: 0.45}
	const po2, vapour, last = 1.3, 0.06, 1199
	for _, wet := range []bool{false, true} {
		r := heliumRecord(mix)
		r.HeBasisWet, r.VapourLowBar, r.VapourHighBar = wet, vapour, vapour
		for i, p := range r.AmbientBar {
			he := (p - vapour - po2) / (1 + mix.N2PerHe())
			r.LoopHe[i] = he / (p - vapour)
			if wet {
				r.LoopHe[i] = he / p
			}
		}
		w := loop.Helium(r, loop.DefaultParams())
		if d := math.Abs(w.PO2Bar[last] - po2); d > 1e-12 {
			t.Errorf("wet %v: off by %g bar", wet, d)
		}
	}
}

// METHODS.md: an error e of the fraction moves PO2 by P (1+R) e, 0.09 bar at
// 5 bar and 1 % (with R = 0.82).
func TestHeliumBand(t *testing.T) {
	r := heliumRecord(gas.Mix{O2: 0.18, He: 0.45})
	for i := range r.LoopHe {
		r.LoopHe[i] = 0.4
	}
	w := loop.Helium(r, loop.DefaultParams())
	if got := (w.HighBar[1199] - w.PO2Bar[1199]) / 1.96; math.Abs(got-0.0911) > 1e-4 {
		t.Errorf("sigma %.4f bar, want 0.0911", got)
	}
}

func TestHeliumIsNoWitness(t *testing.T) {
	p := loop.DefaultParams()
	fill := func(r loop.Record) loop.Record {
		for i := range r.LoopHe {
			r.LoopHe[i] = 0.4
		}
		return r
	}
	tx := gas.Mix{O2: 0.18, He: 0.45}
	early := loop.Helium(fill(heliumRecord(tx)), p)
	if !math.IsNaN(early.PO2Bar[100]) || math.IsNaN(early.PO2Bar[900]) {
		t.Error("want NaN while the starting air is in the loop, a number afterwards")
	}
	none := loop.Helium(fill(heliumRecord(gas.Mix{O2: 0.21})), p)
	if !math.IsNaN(none.PO2Bar[900]) {
		t.Error("a diluent without helium gives no witness")
	}
	changed := fill(heliumRecord(tx))
	for i := 800; i < 1200; i++ {
		changed.FHeDil[i] = 0.5
	}
	if w := loop.Helium(changed, p); math.IsNaN(w.PO2Bar[799]) || !math.IsNaN(w.PO2Bar[1199]) {
		t.Error("want NaN after a change of diluent at constant depth")
	}
	open := fill(heliumRecord(tx))
	open.OnLoop = make([]bool, 1200)
	for i := range open.OnLoop {
		open.OnLoop[i] = i < 700 || i > 760
	}
	if w := loop.Helium(open, p); !math.IsNaN(w.PO2Bar[730]) || !math.IsNaN(w.PO2Bar[1199]) {
		t.Error("want NaN on open circuit and after the return from it")
	}
	if w := loop.Helium(loop.Record{}, p); len(w.PO2Bar) != 0 {
		t.Error("an empty record has no rows")
	}
}
