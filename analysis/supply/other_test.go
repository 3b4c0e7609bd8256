package supply

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// level is a diluent cylinder on a dive at one depth.
func level(bar func(t float64) float64) Input {
	in := plain().input()
	in.O2CylBar = nil
	for _, t := range in.TimeS {
		in.DilCylBar = append(in.DilCylBar, math.Round(bar(t)))
	}
	in.Level = []Span{{"level", 300, 1500}, {"level", 1600, 3400}}
	in.Phases = []Span{{"descent", 0, 300}, {"bottom", 300, 3400}, {"ascent", 3400, 3600}}
	return in
}

func TestDiluentAtLevel(t *testing.T) {
	p := DefaultParams()
	r := Analyse(level(func(t float64) float64 { return 180 }), p)
	if r.Level.Falls || r.Level.Reason != "" {
		t.Errorf("a standing gauge: %+v", r.Level)
	}
	r = Analyse(level(func(t float64) float64 { return 200 - 20*math.Min(t/300, 1) }), p)
	if r.Level.Falls {
		t.Errorf("a descent is no fall at level: %+v", r.Level)
	}
	near(t, "descent", r.Diluent.Phases[0].FallBar, 20, 1.5)
	near(t, "descent, bar/min", r.Diluent.Phases[0].BarPerMin, 4, 0.3)
	r = Analyse(level(func(t float64) float64 { return 190 - 40*t/3600 }), p)
	if !r.Level.Falls {
		t.Errorf("40 bar/h: %+v", r.Level)
	}
	near(t, "rate", r.Level.RateBarH.Value, 40, 3)
	r = Analyse(level(func(t float64) float64 { return 190 - 12*t/3600 }), p)
	if r.Level.Falls {
		t.Errorf("12 bar/h is below the limit: %+v", r.Level)
	}
	in := level(func(t float64) float64 { return 180 })
	in.Level = nil
	if r = Analyse(in, p); r.Level.Reason == "" {
		t.Error("no level stretch, no verdict")
	}
}

// cells is a battery over an hour with an opening every 20 s.
func cells(v func(t float64, open bool) float64) Input {
	d := plain()
	d.everyS = 20
	in := d.input()
	b := Voltage{Number: 1}
	for i, t := range in.TimeS {
		b.V = append(b.V, math.Round(100*v(t, in.Valves[0].OpenS[i] > 0))/100)
	}
	in.Batteries = []Voltage{b}
	return in
}

func sagging(start, fallVH, sagV, growVH float64) func(float64, bool) float64 {
	return func(t float64, open bool) float64 {
		v := start - fallVH*t/3600
		if open {
			v -= sagV + growVH*t/3600
		}
		return v
	}
}

func TestBattery(t *testing.T) {
	p := DefaultParams()
	b := Analyse(cells(sagging(7.4, 0.3, 0.2, 0)), p).Batteries[0]
	near(t, "start", b.StartV, 7.4, 0.02)
	near(t, "end", b.EndV, 7.1, 0.02)
	near(t, "rate", b.RateVH.Value, 0.3, 0.02)
	near(t, "sag", b.SagMedianV, 0.2, 0.011)
	near(t, "lowest", b.MinV, 6.9, 0.02)
	if b.Grows || len(b.Drops) > 0 || len(b.Lost) > 0 || b.Stated || !math.IsNaN(b.BelowS) {
		t.Errorf("a healthy battery: %+v", b)
	}
	b = Analyse(cells(sagging(7.4, 0.3, 0.1, 0.3)), p).Batteries[0]
	if !b.Grows {
		t.Errorf("a growing sag: %+v", b)
	}
	near(t, "growth", b.SagPerH.Value, 0.3, 0.03)
	step := cells(func(t float64, open bool) float64 {
		v := sagging(7.4, 0.1, 0.1, 0)(t, open)
		if t >= 2000 {
			v -= 0.5
		}
		return v
	})
	if b = Analyse(step, p).Batteries[0]; len(b.Drops) != 1 || math.Abs(b.Drops[0].AtS-2000) > 120 {
		t.Errorf("a step: %+v", b.Drops)
	}
}

// A dip of a minute is no step that stayed, and one reading makes no median.
func TestDipIsNoStep(t *testing.T) {
	in := cells(func(t float64, open bool) float64 {
		if t > 1000 && t < 1070 {
			return 6.5
		}
		return 7.4
	})
	if b := Analyse(in, DefaultParams()).Batteries[0]; len(b.Drops) != 0 {
		t.Errorf("%+v", b.Drops)
	}
}

func TestBatteryLimit(t *testing.T) {
	p := DefaultParams()
	p.BatteryMinV = 7.2
	b := Analyse(cells(sagging(7.4, 0.4, 0, 0)), p).Batteries[0] // 7.2 after half an hour
	near(t, "below", b.BelowS, 1800, 60)
	near(t, "since", b.LowFromS, 1800, 60)
	b = Analyse(cells(sagging(7.4, 0.1, 0, 0)), p).Batteries[0]
	if b.BelowS != 0 || !math.IsNaN(b.LowFromS) {
		t.Errorf("never below: %+v", b)
	}
}

// Readings that go missing right after an opening are set beside its sag; those
// that go missing elsewhere are not. One of two may be chance, three of three not.
func TestLostAfterSag(t *testing.T) {
	in := cells(sagging(7.4, 0.1, 0.2, 0))
	lost := make([]bool, len(in.TimeS))
	lost[2001], lost[1010] = true, true // 2000 is a multiple of 20 s, 1010 is not
	in.Batteries[0].Lost = lost
	b := Analyse(in, DefaultParams()).Batteries[0]
	if len(b.Lost) != 1 || b.Lost[0].AtS != 2001 || b.Lost[0].Gap || b.LostInAll != 2 || b.LossChance < 0.2 {
		t.Errorf("%+v", b)
	}
	in.Batteries[0].Lost, in.GapAfter = nil, make([]bool, len(in.TimeS))
	for _, i := range []int{1000, 1400, 2000} {
		in.GapAfter[i] = true
	}
	b = Analyse(in, DefaultParams()).Batteries[0]
	if len(b.Lost) != 3 || !b.Lost[0].Gap || !(b.LossChance < 0.03) {
		t.Errorf("%+v", b)
	}
}

// C(3,2) 0.5^3 + 0.5^3 = 0.5; all of two at 0.1: 0.01; none or more is sure.
func TestAtLeast(t *testing.T) {
	near(t, "2 of 3", atLeast(2, 3, 0.5), 0.5, 1e-12)
	near(t, "2 of 2", atLeast(2, 2, 0.1), 0.01, 1e-12)
	near(t, "0 of 5", atLeast(0, 5, 0.3), 1, 0)
}

// The battery of a half is held against its own valve alone.
func TestBatteryOfAHalf(t *testing.T) {
	in := cells(sagging(7.4, 0, 0.2, 0))
	other := make([]float64, len(in.TimeS))
	for i := 10; i < len(other); i += 20 {
		other[i] = 1
	}
	in.Valves = append(in.Valves, Valve{Number: 2, OpenS: other})
	in.Batteries[0].Valves = []int{2}
	b := Analyse(in, DefaultParams()).Batteries[0]
	near(t, "sag by the other valve", b.SagMedianV, 0, 1e-9)
	in.Batteries[0].Valves = []int{1}
	near(t, "sag by its own", Analyse(in, DefaultParams()).Batteries[0].SagMedianV, 0.2, 1e-9)
}

func TestEdges(t *testing.T) {
	p := DefaultParams()
	Analyse(Input{}, p)
	nan := math.NaN()
	one := Input{TimeS: []float64{3}, O2CylBar: []float64{180}, DilCylBar: []float64{nan}, Batteries: []Voltage{{Number: 1, V: []float64{7}}}, CylinderL: nan, FlowLMin: nan, LoopVolumeL: nan, UnderFromS: nan, UnderToS: nan}
	if r := Analyse(one, p); r.Oxygen.Reason == "" || r.Balance.CylinderAndGiven != CantTell || r.ExpectedBar != nil {
		t.Errorf("one row: %+v", r)
	}
	defer func() {
		if recover() == nil {
			t.Error("columns of different length are a mistake of the caller")
		}
	}()
	Analyse(Input{TimeS: []float64{1, 2}, O2CylBar: []float64{1}}, p)
}

// Anything at all may be in the columns.
func TestAnythingIsAnalysed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 400).Draw(t, "rows")
		dt := rapid.Float64Range(0.1, 60).Draw(t, "interval")
		value := rapid.OneOf(rapid.Just(math.NaN()), rapid.Float64Range(0, 300), rapid.Just(0.0))
		column := func(name string) []float64 {
			if rapid.Bool().Draw(t, "no "+name) {
				return nil
			}
			return rapid.SliceOfN(value, n, n).Draw(t, name)
		}
		in := Input{O2CylBar: column("o2"), DilCylBar: column("dil"), TempC: column("temp"), PO2Bar: column("po2"), AmbientBar: column("ambient"), DryBar: column("dry"), FO2Diluent: column("fo2"),
			CylinderL: value.Draw(t, "cylinder"), FlowLMin: value.Draw(t, "flow"), LoopVolumeL: value.Draw(t, "loop"), LoopTempC: 25, VO2: unknown(""), PlanVO2: Range{1.2, 0.46, 1.9, ""}, PlanVolumeL: Range{6.5, 5, 8, ""}}
		for i := range n {
			in.TimeS = append(in.TimeS, float64(i)*dt)
		}
		in.UnderFromS, in.UnderToS = value.Draw(t, "under"), value.Draw(t, "until")
		in.Level = []Span{{"level", value.Draw(t, "from"), value.Draw(t, "to")}}
		in.Phases = in.Level
		in.Valves = []Valve{{Number: 1, OpenS: column("open")}}
		in.Batteries = []Voltage{{Number: 1, V: rapid.SliceOfN(value, n, n).Draw(t, "battery")}}
		Analyse(in, DefaultParams())
	})
}
