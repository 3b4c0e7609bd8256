package tightness

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// TestDecayExample is the worked example of 40 CFR 1065.644: V 0.002 m3, 25 300 to
// 50 600 Pa at 293.15 K from 10:56:25 to 10:57:35, R 8.314472: 2.9657e-4 mol/s.
func TestDecayExample(t *testing.T) {
	if got := DecayMolS(0.002, 25300, 293.15, 50600, 293.15, 70); math.Abs(got-2.9657e-4) > 5e-9 {
		t.Errorf("%v mol/s, want 2.9657e-4", got)
	}
	// A vessel that only warms up has no leak.
	if got := DecayMolS(0.002, 100000, 290, 101000, 292.9, 60); math.Abs(got) > 1e-18 {
		t.Errorf("warming alone gives %v mol/s", got)
	}
}

// loopSim is a simulated test at 1 Hz, rounded to 0.1 mbar.
type loopSim struct {
	start, rate   float64 // mbar, mbar/min at the start pressure
	seconds       int
	settle        float64 // mbar that settle away, time constant 8 s
	tempKMin      float64
	reliefAbove   float64 // a relief valve lets what is above it go within seconds
	jumpAt, jump  float64
	known, knownL float64
	storage, k    float64 // L/mbar, softness
	noTemp        bool
	positive      bool
	seed          uint64
	heldS         int
	negative      bool
}

func (c loopSim) input() Input {
	r := rand.New(rand.NewPCG(c.seed, 3))
	in := Input{StepMbar: 0.1, TempStepK: 0.01, Positive: !c.negative, ClosedS: nan, OpenedS: nan, LoopVolumeL: nan, ComplianceLMbar: nan, KnownVolumeL: nan}
	sign := 1.0
	if c.negative {
		sign = -1
	}
	u := c.start
	settled := c.settle
	for i := range c.seconds {
		t := float64(i)
		switch {
		case c.reliefAbove > 0 && u > c.reliefAbove:
			u -= math.Min(2.5, u-c.reliefAbove)
		case i >= c.heldS:
			u -= c.rate / 60 * u / c.start
		}
		d := settled * (1 - math.Exp(-1.0/8))
		settled -= d
		u -= d
		if c.jump != 0 && t == c.jumpAt {
			u += c.jump
		}
		if c.known > 0 && t == c.known {
			u += sign * c.knownL / c.storage
			in.KnownS, in.KnownVolumeL = append(in.KnownS, t), c.knownL
		}
		dT := c.tempKMin * t / 60
		k := c.k
		if k == 0 {
			k = 1
		}
		p := sign*u + k*1035*dT/293.15
		in.TimeS = append(in.TimeS, t)
		in.LoopMbar = append(in.LoopMbar, math.Round((p+0.03*r.NormFloat64())*10)/10)
		in.AmbientBar = append(in.AmbientBar, 1.013)
		if !c.noTemp {
			in.TempC = append(in.TempC, math.Round((20+dT+0.003*r.NormFloat64())*100)/100)
		}
	}
	return in
}

// TestRates: the rate's interval holds the truth, whatever else happens.
func TestRates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := loopSim{start: 25, seconds: 120, seed: rapid.Uint64().Draw(t, "seed")}
		c.rate = rapid.Float64Range(0, 8).Draw(t, "rate")
		c.negative = rapid.Bool().Draw(t, "negative")
		c.settle = rapid.SampledFrom([]float64{0, 1, 2}).Draw(t, "settle")
		c.tempKMin = rapid.SampledFrom([]float64{0, 0.3, -0.3}).Draw(t, "temp")
		c.jump = rapid.SampledFrom([]float64{0, 3, -3}).Draw(t, "jump")
		c.jumpAt = rapid.Float64Range(45, 80).Draw(t, "at")
		c.jumpAt = math.Floor(c.jumpAt)
		r := Analyze(c.input(), DefaultParams())
		if r.Reason != "" {
			t.Fatalf("%+v: %s", c, r.Reason)
		}
		mean := c.rate * judgedMean(r, c) / c.start // the true rate sinks with the pressure
		slack := 0.15 + 0.08*mean                   // creep has a tail
		if mean < r.RateMbarMin.Low-slack || mean > r.RateMbarMin.High+slack {
			t.Fatalf("rate %+v does not hold %v; stretches %+v", r.RateMbarMin, mean, r.Stretches)
		}
		if r.State == BelowLimit && mean > 2.2 || r.State == AboveLimit && mean < 1.8 {
			t.Fatalf("verdict %s for %v", r.State, mean)
		}
	})
}

// judgedMean is the mean pressure difference over the judged time, without what
// the temperature adds to it.
func judgedMean(r Result, c loopSim) float64 {
	perS := 1035 * c.tempKMin / 60 / 293.15
	if c.negative {
		perS = -perS
	}
	sum, w := 0.0, 0.0
	for _, s := range r.Stretches {
		if s.Kind == Judged {
			sum, w = sum+(s.ToS-s.FromS)*(s.MeanMbar-perS*(s.FromS+s.ToS)/2), w+s.ToS-s.FromS
		}
	}
	return sum / w
}

// TestTemperature: 0.3 K/min hides a leak of 1 mbar/min of a positive test.
func TestTemperature(t *testing.T) {
	r := Analyze(loopSim{start: 25, rate: 1, seconds: 90, tempKMin: 0.3}.input(), DefaultParams())
	if r.RawMbarMin.High > 0.4 {
		t.Errorf("raw rate %+v: the temperature should hide it", r.RawMbarMin)
	}
	if !(r.RateMbarMin.Low <= 1 && 1 <= r.RateMbarMin.High) || math.Abs(r.RateMbarMin.Value-1) > 0.2 {
		t.Errorf("corrected %+v, true is 1", r.RateMbarMin)
	}
	soft := Analyze(loopSim{start: 25, rate: 1, seconds: 90, tempKMin: 0.3, k: 0.4}.input(), DefaultParams())
	if !(soft.RateMbarMin.Low <= 1 && 1 <= soft.RateMbarMin.High) {
		t.Errorf("a soft loop: %+v must hold 1", soft.RateMbarMin)
	}
	none := Analyze(loopSim{start: 25, rate: 1, seconds: 90, noTemp: true}.input(), DefaultParams())
	if none.TempKnown || none.RateMbarMin.High-none.RateMbarMin.Low < 1.2 {
		t.Errorf("without a temperature the interval is %+v", none.RateMbarMin)
	}
}

// TestParts: settling, a relief valve, a late start and a jump are told from a leak.
func TestParts(t *testing.T) {
	kinds := func(r Result) map[string]bool {
		m := map[string]bool{}
		for _, s := range r.Stretches {
			m[s.Kind] = true
		}
		return m
	}
	settling := Analyze(loopSim{start: 25, rate: 0.3, seconds: 120, settle: 6}.input(), DefaultParams())
	if k := kinds(settling); !k[Settling] || k[Relief] || settling.State != BelowLimit {
		t.Errorf("settling: %+v, %s", settling.Stretches, settling.State)
	}
	relief := Analyze(loopSim{start: 42, rate: 0.3, seconds: 120, reliefAbove: 28}.input(), DefaultParams())
	if k := kinds(relief); !k[Relief] || relief.State != BelowLimit || math.Abs(relief.ReliefMbar-28) > 1.5 {
		t.Errorf("relief: %+v, %s at %v", relief.Stretches, relief.State, relief.ReliefMbar)
	}
	held := Analyze(loopSim{start: 30, rate: 4, seconds: 150, heldS: 40}.input(), DefaultParams())
	if k := kinds(held); !k[Held] || held.State != AboveLimit {
		t.Errorf("held: %+v, %s", held.Stretches, held.State)
	}
	jump := Analyze(loopSim{start: 25, rate: 0.5, seconds: 120, jump: -4, jumpAt: 60}.input(), DefaultParams())
	if len(jump.Jumps) != 1 || math.Abs(jump.Jumps[0]-60) > 2 || jump.State != BelowLimit {
		t.Errorf("jump: %v, %+v, %s", jump.Jumps, jump.Stretches, jump.State)
	}
	leak := Analyze(loopSim{start: 25, rate: 6, seconds: 120}.input(), DefaultParams())
	if leak.State != AboveLimit || !(leak.CertainAfterS < 40) || kinds(leak)[Settling] {
		t.Errorf("leak: %s after %v s, %+v", leak.State, leak.CertainAfterS, leak.Stretches)
	}
	short := Analyze(loopSim{start: 25, rate: 1, seconds: 15}.input(), DefaultParams())
	if short.Reason == "" {
		t.Error("15 s are judged")
	}
}

// TestPinned: a pressure that stood still while gas went in, and goes on standing
// there once the loop is closed, may be a relief valve's.
func TestPinned(t *testing.T) {
	in := loopSim{start: 30, rate: 0.2, seconds: 120}.input()
	in.ClosedS = 25
	for i := range 25 {
		in.LoopMbar[i] = 30
	}
	if r := Analyze(in, DefaultParams()); !r.Pinned {
		t.Error("not seen")
	}
	for i := range 25 {
		in.LoopMbar[i] = 30 * math.Min(1, float64(i)/24)
	}
	if r := Analyze(in, DefaultParams()); r.Pinned {
		t.Error("a plain filling is taken for a relief valve")
	}
}

// TestStorage: what one mbar holds is measured with a known volume.
func TestStorage(t *testing.T) {
	for _, c := range []struct{ known, knownL, storage float64 }{{60, 0.1, 0.02}, {60, -0.1, 0.02}, {50, 0.25, 0.045}} {
		r := Analyze(loopSim{start: 25, rate: 1.5, seconds: 120, known: c.known, knownL: c.knownL, storage: c.storage, positive: true}.input(), DefaultParams())
		if e := r.StorageLMbar; !(e.Low <= c.storage && c.storage <= e.High) || r.StorageFrom != "measured" || len(r.Jumps) > 1 {
			t.Errorf("storage %+v, true is %v; %+v", e, c.storage, r.Stretches)
		}
		// The rate goes with the pressure: 1.5 mbar/min at 25 mbar.
		mean := 0.0
		for _, s := range r.Stretches {
			mean += s.MeanMbar / float64(len(r.Stretches))
		}
		truth := c.storage * 1.5 * mean / 25
		if e := r.LeakLMin; !(e.Low <= truth && truth <= e.High) || e.High-e.Low > truth {
			t.Errorf("leak %+v L/min, true is about %v", e, truth)
		}
	}
	over := loopSim{start: 27, rate: 0.5, seconds: 120, known: 60, knownL: 0.1, storage: 0.01, reliefAbove: 28}.input()
	if r := Analyze(over, DefaultParams()); r.StorageFrom != "" {
		t.Errorf("a relief valve that lets the known volume go measures %+v", r.StorageLMbar)
	}
	if r := Analyze(loopSim{start: 25, rate: 1.5, seconds: 120}.input(), DefaultParams()); !math.IsNaN(r.LeakLMin.Value) {
		t.Error("a flow without a compliance")
	}
}

// TestNothing: input of which nothing can be said gives a reason and no panic.
func TestNothing(t *testing.T) {
	for name, in := range map[string]Input{
		"empty": {},
		"all NaN": {TimeS: []float64{0, 1, 2, 3, 4, 5}, LoopMbar: []float64{nan, nan, nan, nan, nan, nan}, AmbientBar: make([]float64, 6),
			ClosedS: nan, OpenedS: nan},
		"closed at the end": {TimeS: []float64{0, 1, 2, 3, 4, 5}, LoopMbar: []float64{1, 2, 3, 4, 5, 6}, AmbientBar: make([]float64, 6), ClosedS: 5, OpenedS: nan},
	} {
		if r := Analyze(in, DefaultParams()); r.Reason == "" || r.State != OpenLimit {
			t.Errorf("%s: %+v", name, r)
		}
	}
}
