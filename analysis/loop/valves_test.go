package loop_test

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis/loop"
)

func judge(s synthetic) (loop.Record, loop.ValveDiagnosis) {
	r, _ := s.run()
	p := loop.DefaultParams()
	return r, loop.Valves(r, nil, loop.Smooth(r, nil, p).PO2Bar, p)
}

func TestValveFaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		dive   synthetic
		kind   loop.ValveFaultKind
		valve  int
		onsetS float64
	}{
		{"dead valve", synthetic{deadValve: 2, deadFromS: 700}, loop.DeadValve, 2, 700},
		{"dead from the start", synthetic{deadValve: 1, deadFromS: 1}, loop.DeadValve, 1, 1},
		{"dead, read every 2 s", synthetic{deadValve: 1, deadFromS: 700, stepS: 2}, loop.DeadValve, 1, 700},
		{"supply lost", synthetic{lostFromS: 800, lostToS: 1050}, loop.SupplyLost, 0, 800},
		{"supply lost, read every 5 s", synthetic{lostFromS: 800, lostToS: 1050, stepS: 5}, loop.SupplyLost, 0, 800},
		{"leak", synthetic{leakFromS: 700, leakLMin: 3}, loop.LeakingValve, 0, 700},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, d := judge(c.dive)
			if len(d.Faults) != 1 {
				t.Fatalf("found %+v, want one %s", d.Faults, c.kind)
			}
			f := d.Faults[0]
			// Openings every 6 s to the second, one dead from the first on: PO2 written 4 s late
			// would make it the other.
			turned := c.name == "dead from the start" && strings.Contains(strings.Join(f.Alternatives, "; "), "valve 2 is the dead one")
			if f.Kind != c.kind || f.Valve != c.valve || (f.Confidence == loop.Possible) != turned {
				t.Errorf("found %+v, want %s of valve %d", f, c.kind, c.valve)
			}
			if math.Abs(f.FromS-c.onsetS) > 90 {
				t.Errorf("onset %.0f s, want %.0f", f.FromS, c.onsetS)
			}
			if !(f.Low <= f.Value && f.Value <= f.High) || len(f.Evidence) == 0 || len(f.Alternatives) == 0 {
				t.Errorf("incomplete: %+v", f)
			}
		})
	}
}

// PO2 written later than the openings must not make a sound valve dead with confidence.
func TestDeadValveInALateRecord(t *testing.T) {
	for _, late := range []int{2, 4, 6} {
		for _, dead := range []int{1, 2} {
			r, _ := synthetic{deadValve: dead, deadFromS: 700}.run()
			for k, y := range r.CellsBar {
				r.CellsBar[k] = append(append([]float64{}, y[:late]...), y[:len(y)-late]...)
			}
			p := loop.DefaultParams()
			for _, f := range loop.Valves(r, nil, loop.Smooth(r, nil, p).PO2Bar, p).Faults {
				if f.Kind == loop.DeadValve && f.Valve != dead && f.Confidence != loop.Possible {
					t.Errorf("%d s late, valve %d dead: valve %d is named, %s", late, dead, f.Valve, f.Confidence)
				}
			}
		}
	}
}

func TestHealthyValves(t *testing.T) {
	for _, c := range []struct {
		name string
		dive synthetic
	}{
		{"plain", synthetic{}},
		{"hard work for three minutes", synthetic{workFromS: 700, workToS: 880, work: 2.5}},
		{"a flush", synthetic{flushAtS: 800}},
		{"oxygen by hand, not logged", synthetic{byHandAtS: 900, byHandL: 1}},
		{"much oxygen by hand, read every 10 s", synthetic{byHandAtS: 900, byHandL: 2, stepS: 10}},
		{"read every 5 s", synthetic{stepS: 5}},
		{"read every 10 s", synthetic{stepS: 10}},
		{"slow cells", synthetic{t90S: []float64{40, 38, 42}}},
		{"deep", synthetic{depthM: 45}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, d := judge(c.dive); len(d.Faults) != 0 {
				t.Errorf("false alarm: %+v", d.Faults)
			}
		})
	}
}

// Before the dive a loop lies open in air and is then filled, which no log tells of: PO2
// goes up with all valves shut.
func TestFillingTheLoopIsNoLeak(t *testing.T) {
	for _, stepS := range []float64{1, 5, 10} {
		r, _ := synthetic{stepS: stepS}.run()
		var o loop.Record
		o.CellsBar, o.Valves = make([][]float64, len(r.CellsBar)), make([]loop.Valve, len(r.Valves))
		for at := 0.0; at < 1800; at += stepS {
			o.TimeS, o.DepthM, o.AmbientBar = append(o.TimeS, at), append(o.DepthM, 0), append(o.AmbientBar, r.AmbientBar[0])
			o.FO2Dil, o.FHeDil = append(o.FO2Dil, r.FO2Dil[0]), append(o.FHeDil, r.FHeDil[0])
			for k := range o.CellsBar {
				o.CellsBar[k] = append(o.CellsBar[k], 0.21)
			}
			for k := range o.Valves {
				o.Valves[k].OpenS = append(o.Valves[k].OpenS, 0)
			}
		}
		for i := range r.TimeS {
			r.TimeS[i] += 1800
		}
		r.TimeS, r.DepthM, r.AmbientBar = append(o.TimeS, r.TimeS...), append(o.DepthM, r.DepthM...), append(o.AmbientBar, r.AmbientBar...)
		r.FO2Dil, r.FHeDil = append(o.FO2Dil, r.FO2Dil...), append(o.FHeDil, r.FHeDil...)
		for k := range r.CellsBar {
			r.CellsBar[k] = append(o.CellsBar[k], r.CellsBar[k]...)
		}
		for k := range r.Valves {
			r.Valves[k].OpenS = append(o.Valves[k].OpenS, r.Valves[k].OpenS...)
		}
		p := loop.DefaultParams()
		r.Masked = loop.MaskEvents(r, loop.DefaultMaskParams())
		for _, f := range loop.Valves(r, nil, loop.Smooth(r, nil, p).PO2Bar, p).Faults {
			t.Errorf("rows every %g s: %+v", stepS, f)
		}
	}
}

// A diver who flies by hand above the set point, which the log does not say, lifts PO2 in
// portions with all valves shut. That is possible as a leak at most, however often it
// repeats and however far PO2 rises.
func TestOxygenByHandIsNoSureLeak(t *testing.T) {
	seen := 0
	for _, everyS := range []float64{45, 60, 120, 240} {
		for _, litres := range []float64{1, 1.5, 2, 3} {
			_, d := judge(synthetic{handEveryS: everyS, handL: litres})
			for _, f := range d.Faults {
				seen++
				if f.Kind != loop.LeakingValve || f.Confidence != loop.Possible || f.LinesOfEvidence != 1 {
					t.Errorf("%g L every %g s: %+v", litres, everyS, f)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no rise was told at all: the test tries nothing")
	}
}

// An inflow smaller than consumption looks like a lower VO2 and must not be named.
func TestSmallLeakIsNotNamed(t *testing.T) {
	_, d := judge(synthetic{leakFromS: 700, leakLMin: 0.4})
	if len(d.Faults) != 0 {
		t.Errorf("named: %+v", d.Faults)
	}
}

func TestLeakRateInLitres(t *testing.T) {
	s := synthetic{leakFromS: 700, leakLMin: 3}
	r, _ := s.run()
	r.LoopVolumeL = 6.6
	p := loop.DefaultParams()
	d := loop.Valves(r, nil, loop.Smooth(r, nil, p).PO2Bar, p)
	if len(d.Faults) != 1 || !(d.Faults[0].Low <= 3 && 3 <= d.Faults[0].High) {
		t.Errorf("found %+v, want 3 L/min within the interval", d.Faults)
	}
}

// Openings of a dead valve delivered nothing: without them the estimate is no
// worse, and the other valve's stay.
func TestDelivered(t *testing.T) {
	r, d := judge(synthetic{deadValve: 2, deadFromS: 700})
	got := loop.Delivered(r, d.Faults)
	late, other := 0.0, 0.0
	for i, s := range r.TimeS {
		if s > 760 {
			late += got.Valves[1].OpenS[i]
		}
		other += got.Valves[0].OpenS[i] - r.Valves[0].OpenS[i]
	}
	if late != 0 || other != 0 {
		t.Errorf("dead valve still delivers %.1f s; the other changed by %.1f s", late, other)
	}
}

func TestValvesWithoutData(t *testing.T) {
	p := loop.DefaultParams()
	nan := math.NaN()
	for _, r := range []loop.Record{
		{},
		{TimeS: []float64{1}, CellsBar: [][]float64{{1}}},
		{TimeS: []float64{1, 2, 3, 4}, CellsBar: [][]float64{{nan, nan, nan, nan}}, Valves: []loop.Valve{{Number: 1, OpenS: []float64{nan, nan, nan, nan}}}},
	} {
		d := loop.Valves(r, nil, make([]float64, r.Rows()), p)
		if len(d.Faults) != 0 {
			t.Errorf("found %+v in nothing", d.Faults)
		}
		for _, c := range d.Checks {
			if c.Kind != loop.LeakingValve && (c.Assessed || c.Reason == "") {
				t.Errorf("check %+v claims to have been assessed, or gives no reason", c)
			}
		}
	}
}
