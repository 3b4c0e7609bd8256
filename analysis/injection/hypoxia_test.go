package injection

import (
	"math"
	"testing"

	"afterloop/analysis/gas"
)

// Burn-down of a 6 L loop from 0.75 to 0.16 bar at 20 C: 2.17 min at 1.5 L/min
// and 5.09 min at 0.64 L/min (consumption alone, nothing made up; NEDU 1-89 gives
// the two rates). The US Navy Diving Manual, ch. 17, says 2 to 5 minutes.
func TestBurnDown(t *testing.T) {
	for _, c := range []struct{ vo2, want float64 }{{1.5, 2.17}, {0.64, 5.09}} {
		got := MinutesLeft(0.75, 0.16, 0, gas.STPDToLoop(c.vo2, 20)/6)
		near(t, "minutes", got, c.want, 0.005)
		if got < 2 || got > 5.1 {
			t.Errorf("%g min lies outside the handbook's range", got)
		}
	}
}

// With diluent holding the volume, the closed form is what the loop equation
// gives step by step: dp/dt = [-(1-x) VO2 + (F - x) M]/V with M = VO2.
func TestMinutesLeftAgainstLoopEquation(t *testing.T) {
	const f, use, pd = 0.21, 0.0028, 2.0
	p, seconds := 1.3, 0.0
	for p > 0.16 {
		x := p / pd
		p += (-(1-x)*use + (f-x)*use) * 0.01
		seconds += 0.01
	}
	near(t, "minutes", MinutesLeft(1.3, 0.16, f, use), seconds/60, 1e-3)
}

func TestMinutesToHypoxia(t *testing.T) {
	nan := math.NaN()
	in := Input{TimeS: []float64{0, 1, 2, 3, 4}, DepthM: []float64{0.1, 10, 10, 10, 10}, FO2Diluent: []float64{0.21, 0.21, 0.21, 0.21, nan},
		OnLoop: []bool{true, true, false, true, true}, LoopVolumeL: nan, LoopTempC: 20}
	s := []float64{0.3, 1.0, 0.2, nan, 0.7}
	p := DefaultParams()

	r := MinutesToHypoxia(in, s, Interval{Value: 0.2, Low: 0.15, High: 0.25}, p)
	unit := gas.STPDToLoop(1, 20)
	near(t, "value", r.Value[1], 0.84/(0.79*0.2*unit)/60, 1e-9)
	near(t, "low", r.Low[1], 0.84/(0.79*0.25*unit)/60, 1e-9)
	near(t, "high", r.High[1], 0.84/(0.79*0.15*unit)/60, 1e-9)
	if !math.IsNaN(r.Value[2]) || !math.IsNaN(r.Value[3]) || !math.IsNaN(r.Value[4]) {
		t.Errorf("off the loop, without PO2, without diluent: %v", r.Value)
	}
	if math.IsNaN(r.Low[4]) || math.IsNaN(r.High[4]) {
		t.Error("an unknown diluent still has a range")
	}

	r = MinutesToHypoxia(in, s, unknownInterval("not known"), p)
	if !math.IsNaN(r.Value[1]) {
		t.Errorf("a value without VO2/V: %g", r.Value[1])
	}
	// 0.46 L/min of 8 L and 1.9 L/min of 5 L
	near(t, "planning high", r.High[1], 0.84/(0.79*0.46/8*unit)/60, 1e-6)
	near(t, "planning low", r.Low[1], 0.84/(0.79*1.9/5*unit)/60, 1e-6)
	in.LoopVolumeL = 6
	r = MinutesToHypoxia(in, s, unknownInterval("not known"), p)
	near(t, "stated volume, low", r.Low[1], 0.84/(0.79*1.9/6*unit)/60, 1e-6)
}

// The shortest is that under water, and 0 once PO2 is there.
func TestShortest(t *testing.T) {
	in := Input{TimeS: []float64{0, 10, 20}, DepthM: []float64{0, 20, 20}, FO2Diluent: []float64{0, 0, 0}, LoopVolumeL: math.NaN(), LoopTempC: 20}
	r := MinutesToHypoxia(in, []float64{0.2, 0.9, 0.5}, Interval{Value: 0.2, Low: 0.2, High: 0.2}, DefaultParams())
	if r.ShortestAtS != 20 {
		t.Errorf("at %g", r.ShortestAtS)
	}
	near(t, "shortest", r.ShortestMin, r.Value[2], 0)
	near(t, "there already", MinutesLeft(0.1, 0.16, 0.21, 0.002), 0, 0)
}

func TestNeed(t *testing.T) {
	// 0.1 bar at x = 0.5 with flow/V = 0.04 bar/s: 5 s; and 0.002 bar/s over 20 s: 1 s.
	near(t, "error alone", NeedS(0.1, 0.5, 0.04, 0, 20), 5, 1e-12)
	near(t, "with metabolism", NeedS(0.1, 0.5, 0.04, 0.002, 20), 6, 1e-12)
	near(t, "nothing needed", NeedS(-0.2, 0.5, 0.04, 0.002, 20), 0, 0)
	if !math.IsNaN(NeedS(0.1, 0.5, math.NaN(), 0, 20)) {
		t.Error("a need without flow/V")
	}
}

// Given so long every so often, the rig's steady state needs what it gets.
func TestNeedAgainstRig(t *testing.T) {
	r := plain()
	in := r.run(3600, 1)
	in.LoopVolumeL, in.FlowLMin = r.volumeL, r.flowLMin
	var needs []float64
	for _, b := range Analyse(in, DefaultParams()).Bursts {
		needs = append(needs, b.NeedS)
	}
	near(t, "median need", median(needs), r.pulseS, 0.5*r.pulseS)
}

func TestSupply(t *testing.T) {
	in := commanded(1, make([]float64, 1200))
	in.Valves[0].OpenS[100], in.Valves[0].OpenS[200] = 3, 2
	in.FlowLMin = 12
	s := supply(in)
	near(t, "oxygen", s.OxygenL, 1, 1e-12)

	in.Valves[0].Failed = make([]bool, 1200)
	in.Valves[0].Failed[100] = true
	near(t, "a failed opening", supply(in).OxygenL, 0.4, 1e-12)

	in.FlowLMin = math.NaN()
	s = supply(in)
	if !math.IsNaN(s.OxygenL) || s.OxygenReason == "" {
		t.Errorf("%+v", s)
	}
}
