package supply

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// dive is an invented one: a level dive of an hour, one valve that opens every so
// often, a cylinder whose truth is known.
type dive struct {
	seconds, everyS, openS, flowLMin float64
	cylinderL, startBar, stepBar     float64
	sampleS                          float64
	startC, endC, tauS               float64
	recordTemp                       bool
	leakLMin, givesShare             float64
	noiseBar                         float64
}

func plain() dive {
	return dive{seconds: 3600, everyS: 12, openS: 1.2, flowLMin: 12, cylinderL: 3, startBar: 190, stepBar: 1, sampleS: 1, startC: 15, endC: 15, tauS: 300, givesShare: 1}
}

// barOf inverts [Litres] by bisection.
func barOf(volumeL, litres, tempC float64) float64 {
	low, high := 0.0, 320.0
	for range 60 {
		if m := (low + high) / 2; Litres(volumeL, m, tempC) < litres {
			low = m
		} else {
			high = m
		}
	}
	return low
}

// input is the record of the dive.
func (d dive) input() Input {
	in := Input{CylinderL: d.cylinderL, FlowLMin: d.flowLMin, LoopVolumeL: 6, LoopTempC: 25, UnderFromS: 0, UnderToS: d.seconds,
		VO2: unknown("not found"), PlanVO2: Range{1.2, 0.46, 1.9, ""}, PlanVolumeL: Range{6.5, 5, 8, ""}}
	left := Litres(d.cylinderL, d.startBar, d.startC)
	v := Valve{Number: 1}
	next, random := d.everyS, rand.New(rand.NewPCG(1, 2))
	for t := 0.0; t <= d.seconds+1e-9; t += d.sampleS {
		open := 0.0
		for ; next <= t; next += d.everyS {
			open += d.openS
		}
		drawn := open * d.flowLMin / 60 * d.givesShare
		if t > 0 {
			drawn += d.leakLMin * d.sampleS / 60
		}
		left -= drawn
		temp := d.endC + (d.startC-d.endC)*math.Exp(-t/d.tauS)
		bar := barOf(d.cylinderL, left, temp) + d.noiseBar*(random.Float64()-0.5)
		in.TimeS = append(in.TimeS, t)
		in.O2CylBar = append(in.O2CylBar, math.Round(bar/d.stepBar)*d.stepBar)
		v.OpenS = append(v.OpenS, open)
		in.AmbientBar, in.DryBar, in.PO2Bar = append(in.AmbientBar, 3), append(in.DryBar, 2.94), append(in.PO2Bar, 1.3)
		if d.recordTemp {
			in.TempC = append(in.TempC, d.endC)
		}
	}
	in.Valves = []Valve{v}
	return in
}

// Whatever the gauge and the sampling, and with temperatures inside of what is allowed for,
// the cylinder's interval holds what was drawn, and cylinder and valves never lie
// apart where the valve gave what it was commanded.
func TestMassBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := plain()
		d.sampleS = rapid.SampledFrom([]float64{1, 2, 5, 10}).Draw(t, "sample")
		d.stepBar = rapid.SampledFrom([]float64{0.1, 1, 2, 5}).Draw(t, "step")
		d.cylinderL = rapid.Float64Range(1.5, 7).Draw(t, "cylinder")
		d.startBar = rapid.Float64Range(120, 250).Draw(t, "start")
		d.everyS = rapid.Float64Range(8, 30).Draw(t, "every")
		d.openS = rapid.Float64Range(0.3, 2).Draw(t, "open")
		d.endC = rapid.Float64Range(8, 22).Draw(t, "water")
		d.recordTemp = rapid.Bool().Draw(t, "temperature")
		d.startC = d.endC + rapid.Float64Range(-3, 3).Draw(t, "air")
		d.noiseBar = rapid.Float64Range(0, 2).Draw(t, "noise")
		in := d.input()
		r := Analyse(in, DefaultParams())
		drawn := 0.0
		for i, x := range in.TimeS {
			if x > r.Balance.FromS && x <= r.Balance.ToS {
				drawn += in.Valves[0].OpenS[i] * d.flowLMin / 60
			}
		}
		if !(drawn >= r.Balance.Cylinder.Low-1e-6 && drawn <= r.Balance.Cylinder.High+1e-6) {
			t.Fatalf("drew %.1f L, found %+v", drawn, r.Balance.Cylinder)
		}
		if r.Balance.CylinderAndGiven == Apart || len(r.Balance.Candidates) > 0 && r.Balance.Given.Known() {
			t.Fatalf("a healthy dive lies apart: %+v against %+v", r.Balance.Cylinder, r.Balance.Given)
		}
	})
}

// The same dive sampled five times as far apart says the same, within the gauge.
func TestInvariantToSampling(t *testing.T) {
	d := plain()
	d.recordTemp = true
	fine := Analyse(d.input(), DefaultParams())
	d.sampleS = 5
	coarse := Analyse(d.input(), DefaultParams())
	near(t, "used", coarse.Oxygen.UsedBar.Value, fine.Oxygen.UsedBar.Value, 1)
	near(t, "valves", coarse.Balance.Valves.Value, fine.Balance.Valves.Value, 1)
	near(t, "rate", coarse.Oxygen.RateBarH.Value, fine.Oxygen.RateBarH.Value, 2)
	if coarse.Balance.CylinderAndGiven != fine.Balance.CylinderAndGiven {
		t.Errorf("%v and %v", coarse.Balance.CylinderAndGiven, fine.Balance.CylinderAndGiven)
	}
}

// A valve that gives half, and a leak as large as what the valve gives, lie apart.
func TestApart(t *testing.T) {
	half := plain()
	half.recordTemp, half.givesShare = true, 0.4
	r := Analyse(half.input(), DefaultParams()).Balance
	if r.CylinderAndGiven != Apart || len(r.Candidates) == 0 || r.Candidates[0] != "a valve that gave less than it was commanded, or nothing" {
		t.Errorf("%v %v %+v %+v", r.CylinderAndGiven, r.Candidates, r.Cylinder, r.Given)
	}
	leak := plain()
	leak.recordTemp, leak.leakLMin = true, 1.5
	r = Analyse(leak.input(), DefaultParams()).Balance
	if r.CylinderAndGiven != Apart || len(r.Candidates) == 0 || r.Candidates[0] != "a flow above the one stated" {
		t.Errorf("%v %v %+v %+v", r.CylinderAndGiven, r.Candidates, r.Cylinder, r.Given)
	}
}

// What can't be told is not told.
func TestCantTell(t *testing.T) {
	in := plain().input()
	in.CylinderL = math.NaN()
	if r := Analyse(in, DefaultParams()); r.Balance.CylinderAndGiven != CantTell || r.Oxygen.UsedL.Known() || !r.Oxygen.UsedBar.Known() || r.Balance.Candidates != nil {
		t.Errorf("no volume: %+v", r.Balance)
	}
	d := plain() // a gauge of 20 bar steps and a sip of oxygen
	d.stepBar, d.openS = 20, 0.1
	if r := Analyse(d.input(), DefaultParams()); r.Balance.CylinderAndGiven != CantTell {
		t.Errorf("a coarse gauge: %v, %+v %+v", r.Balance.CylinderAndGiven, r.Balance.Cylinder, r.Balance.Given)
	}
	in = plain().input()
	for i := 1800; i < len(in.O2CylBar); i++ {
		in.O2CylBar[i] += 60
	}
	if r := Analyse(in, DefaultParams()); r.Oxygen.Reason == "" || r.Balance.Cylinder.Known() {
		t.Errorf("a new cylinder: %+v", r.Oxygen)
	}
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		a, b Range
		want Verdict
	}{
		{about(50, 5), about(56, 5), Agree},
		{about(50, 5), about(61, 5), Apart},
		{about(50, 5), about(50, 30), CantTell},
		{unknown("x"), about(50, 5), CantTell},
		{about(50, 2), about(54, 2), Agree}, // touching is no exclusion
	} {
		if got := Compare(c.a, c.b, 0.5); got != c.want || Compare(c.b, c.a, 0.5) != c.want {
			t.Errorf("%+v %+v: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

// The third account takes candidates away, but not where it rests on the flow.
func TestCandidates(t *testing.T) {
	b := Balance{Cylinder: about(100, 5), Given: about(50, 5), Use: about(98, 8), CylinderAndGiven: Apart, CylinderAndUse: Agree, ValvesAgreeWithUse: Apart}
	into := b.candidates()
	for _, c := range into {
		if c == "a leak between cylinder and loop, to the outside" {
			t.Error("oxygen that was used did not leak outside")
		}
	}
	b.UseRestsOnStatedFlow = true
	if all := b.candidates(); len(all) <= len(into) {
		t.Errorf("use by the flow can't decide: %v", all)
	}
	b.UseRestsOnStatedFlow, b.CylinderAndUse, b.ValvesAgreeWithUse = false, Apart, Agree
	for _, c := range b.candidates() {
		if c == "a flow above the one stated" {
			t.Error("valves and use agree: the flow is right")
		}
	}
	b.CylinderAndGiven = Agree
	if b.candidates() != nil {
		t.Error("no candidates where they agree")
	}
	only := Balance{Cylinder: about(200, 5), Given: unknown("no valves"), Use: about(60, 30), CylinderAndUse: Apart}
	if len(only.candidates()) == 0 {
		t.Error("cylinder against use alone")
	}
}

// What an ascent of one bar vents out of 6 L at a PO2 of 1 bar: 6 ln(3/2) bar L of
// oxygen at the most, V int p/P_d (-dP_d); what a descent brings: 6 L x 0.21 x 1 bar.
func TestVenting(t *testing.T) {
	in := Input{}
	for i := range 201 {
		in.TimeS = append(in.TimeS, float64(i))
		in.DryBar = append(in.DryBar, 3-math.Min(1, float64(i)/200))
		in.PO2Bar = append(in.PO2Bar, 1)
		in.FO2Diluent = append(in.FO2Diluent, 0.21)
	}
	p := DefaultParams()
	p.PlayBar = 0
	vented, brought := in.ascents(0, 200, p)
	near(t, "vented", vented, math.Log(1.5), 0.005)
	near(t, "brought", brought, 0, 1e-12)
	for i := range in.DryBar {
		in.DryBar[i] = 5 - in.DryBar[i]
	}
	vented, brought = in.ascents(0, 200, p)
	near(t, "vented", vented, 0, 1e-12)
	near(t, "brought", brought, 0.21, 1e-9)
}

// Three hours once a second, with two cylinders, two batteries and 900 openings:
// within some milliseconds.
func BenchmarkAnalyse(b *testing.B) {
	d := plain()
	d.seconds = 3 * 3600
	in := d.input()
	in.DilCylBar = in.O2CylBar
	volts := make([]float64, len(in.TimeS))
	for i := range volts {
		volts[i] = 7.4 - float64(i%13)/100
	}
	in.Batteries = []Voltage{{Number: 1, V: volts}, {Number: 2, V: volts}}
	in.Level = []Span{{"level", 300, 9000}}
	in.Phases = []Span{{"descent", 0, 300}, {"bottom", 300, 9000}, {"ascent", 9000, 10800}}
	for b.Loop() {
		Analyse(in, DefaultParams())
	}
}
