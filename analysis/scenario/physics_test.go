package scenario

import (
	"math"
	"testing"

	"afterloop/analysis/gas"
	"pgregory.net/rapid"
)

// tight is a loop whose volume hardly moves, so that the closed forms for a
// constant volume hold.
func tight(volumeL, startBar, tempC float64) Loop {
	l := Loop{VolumeL: volumeL, StartPO2Bar: startBar, TempC: tempC, RangeL: 0.01, MakeUpL: 0.005}
	return l.withDefaults(0.7)
}

// secondsTo lets oxygen be used up at a constant pressure and returns when the
// PO2 at the cells passes below a limit.
func secondsTo(limitBar float64, b *breathingLoop, vo2LMin float64) float64 {
	in := inflow{onLoop: true, vo2BarLS: gas.STPDToLoop(vo2LMin, b.spec.TempC), ventLS: 0.75}
	for i := 0; i < 100*60*stepsPerS; i++ {
		b.step(b.pdBar, in)
		if b.sensedBar() < limitBar {
			return float64(i+1) / stepsPerS
		}
	}
	return math.Inf(1)
}

// Without oxygen a loop is hypoxic in "2-5 minutes" (US Navy manual, ch. 17).
// The single-compartment model gives for 6 L, PO2 0.75 to 0.16 bar, 20 C: 2.17
// min at 1.5 L/min and 5.09 min at 0.64 L/min (standards.md 0.10, 5.3). The
// diluent of that case brings no oxygen.
func TestBurnDownTakesTwoToFiveMinutes(t *testing.T) {
	for _, c := range []struct{ vo2, wantMin float64 }{{1.5, 2.17}, {0.64, 5.09}} {
		b := newBreathingLoop(tight(6, 0.75, 20), gas.Mix{He: 1}, 4)
		got := secondsTo(0.16, b, c.vo2) / 60
		// The head follows the breathing side by a few seconds: a little later.
		if got < c.wantMin-0.01 || got > c.wantMin+0.12 {
			t.Errorf("VO2 %g L/min: hypoxic after %.2f min; want %.2f and a few seconds", c.vo2, got, c.wantMin)
		}
	}
}

// 1.5 L/min STPD out of 6 L at 20 C is 0.2719 bar/min, at any depth
// (standards.md 5.3).
func TestConsumptionRate(t *testing.T) {
	for _, pd := range []float64{2, 7} {
		b := newBreathingLoop(tight(6, 1.2, 20), gas.Mix{He: 1}, pd)
		in := inflow{onLoop: true, vo2BarLS: gas.STPDToLoop(1.5, 20), ventLS: 0.75}
		for range 60 * stepsPerS { // until both compartments fall alike
			b.step(pd, in)
		}
		before := b.sensedBar()
		for range 60 * stepsPerS {
			b.step(pd, in)
		}
		if got := before - b.sensedBar(); math.Abs(got-0.2719) > 0.001 {
			t.Errorf("at %g bar PO2 fell by %.4f bar in a minute; want 0.2719", pd, got)
		}
	}
}

// Descent made up with air diluent from 0 to 40 m raises PO2 by 0.84 bar
// (standards.md 5.3: F_dil dP).
func TestDescentOnAirDiluent(t *testing.T) {
	b := newBreathingLoop(tight(6.5, 0.4, 25), gas.Air(), 1.013)
	in := inflow{ventLS: 0.5}
	for i := range 160 * stepsPerS {
		b.step(gas.Ambient(1.013, math.Min(40, float64(i)/stepsPerS/3), gas.SeaWater), in)
	}
	if got := b.sensedBar() - 0.4; math.Abs(got-0.84) > 0.01 {
		t.Errorf("PO2 rose by %.3f bar; want 0.84", got)
	}
}

// On an ascent without use or injection the fraction stays, so PO2/P does.
func TestAscentKeepsTheFraction(t *testing.T) {
	b := newBreathingLoop(tight(6.5, 1.2, 25), gas.Air(), 5)
	for i := range 240 * stepsPerS {
		b.step(5-4*float64(i+1)/(240*stepsPerS), inflow{ventLS: 0.5})
	}
	if got := b.sensedBar() / b.pdBar; math.Abs(got-1.2/5) > 1e-12 {
		t.Errorf("fraction %.15g; want %.15g", got, 1.2/5)
	}
}

// An opening raises the mixed loop by (1 - x) flow / V (METHODS.md, "Injection"):
// the loop is full, so as much is vented.
func TestOpeningRaisesPO2(t *testing.T) {
	l := tight(6.5, 1.2, 25)
	b := newBreathingLoop(l, gas.Air(), 4)
	b.step(4, inflow{handDilL: 0.02, ventLS: 1}) // fills the loop to its upper bound
	for range 300 * stepsPerS {
		b.step(4, inflow{ventLS: 1})
	}
	before, x := b.sensedBar(), b.sensedBar()/4
	for range 2 * stepsPerS {
		b.step(4, inflow{oxygenBarLS: 0.1, ventLS: 1})
	}
	for range 300 * stepsPerS {
		b.step(4, inflow{ventLS: 1})
	}
	want := (1 - x) * 0.2 / b.volumeL()
	if got := b.sensedBar() - before; math.Abs(got-want) > 0.02*want {
		t.Errorf("0.2 bar L raised PO2 by %.5f bar; want %.5f", got, want)
	}
}

// A cell reaches 90 % of a step after its T90 (definition), and lags a ramp by
// slope x tau.
func TestCellStepAndRamp(t *testing.T) {
	spec := Spec{Cells: []Cell{{T90S: 7, Gain: 1}}}
	c := newSensor(spec, 0, 1, 0)
	for i := range 70 {
		c.respond(float64(i+1)/stepsPerS, 1, 1)
	}
	if math.Abs(c.lagged-0.9) > 1e-12 {
		t.Errorf("after T90 the cell is at %.15f of the step; want 0.9", c.lagged)
	}
	c = newSensor(spec, 0, 1, 0)
	for i := range 2000 {
		c.respond(float64(i+1)/stepsPerS, 0.001*float64(i), 0.001*float64(i+1))
	}
	want := 2 - 0.01*7/math.Ln10
	if math.Abs(c.lagged-want) > 1e-9 {
		t.Errorf("on a ramp the cell is at %.9f; want %.9f", c.lagged, want)
	}
}

func TestCeilingBendsAndSinks(t *testing.T) {
	spec := Spec{Cells: []Cell{{T90S: 5, Gain: 1}}, Faults: []Fault{{Kind: Limited, Cell: 1, CeilingBar: 1, Slope: 0.2, SinkBarPerH: 0.1}}}
	c := newSensor(spec, 0, 1, 0.7)
	for _, x := range []struct{ tS, in, want float64 }{{0, 0.9, 0.9}, {0, 1.5, 1.1}, {3600, 1.4, 1.0}, {3600, 0.89, 0.89}} {
		if got := c.bend(x.tS, x.in); math.Abs(got-x.want) > 1e-12 {
			t.Errorf("at %g s %g bar reads %g; want %g", x.tS, x.in, got, x.want)
		}
	}
}

// Oxygen in = used + vented + left, and the PO2 never exceeds the dry pressure,
// whatever is drawn.
func TestOxygenBalanceCloses(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kind := rapid.SampledFrom([]string{"plain", "hard-healthy", "difficult", "wide"}).Draw(r, "kind")
		s, err := Draw(kind, rapid.Uint64().Draw(r, "seed"))
		if err != nil {
			r.Fatal(err)
		}
		d, err := newDive(s)
		if err != nil {
			r.Fatal(err)
		}
		for i := range int(d.endS * stepsPerS / 4) {
			tS := float64(i) / stepsPerS
			if i%steps(tickS) == 0 {
				d.sense(tS)
				d.unit.decide(tS, d.setBar)
			}
			d.advance(tS, tS+stepS)
			if p := d.sensedBar; !(p >= 0 && p <= d.loop.pdBar*(1+1e-12)) {
				r.Fatalf("at %.1f s PO2 is %g at a dry pressure of %g", tS, p, d.loop.pdBar)
			}
			if v := d.loop.volumeL(); math.Abs(v-s.Loop.VolumeL) > d.spec.Loop.RangeL+d.spec.Loop.MakeUpL+1e-9 {
				r.Fatalf("at %.1f s the loop holds %g L", tS, v)
			}
		}
		b := d.loop.balance
		in, out := b.Start+b.In, b.Used+b.Vented+d.loop.oxygen()
		if math.Abs(in-out) > 1e-9*in {
			r.Fatalf("oxygen in %.12g bar L, out and left %.12g", in, out)
		}
	})
}
