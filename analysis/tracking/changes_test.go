package tracking

import (
	"math"
	"testing"
)

// stepAt60 is a change from 0.7 to 1.3 at 60 s whose response is y(t), 0 to 1.
func stepAt60(dtS, lastS float64, y func(t float64) float64) Input {
	in := level(int(lastS/dtS)+1, dtS, 0.7, func(s float64) float64 {
		if s < 60 {
			return 0.7
		}
		return 0.7 + 0.6*y(s-60)
	})
	for i, t := range in.TimeS {
		if t >= 60 {
			in.SetPointBar[i] = 1.3
		}
	}
	return in
}

func oneChange(t *testing.T, in Input) Change {
	t.Helper()
	cs := Changes(in, DefaultParams())
	if len(cs) != 1 {
		t.Fatalf("%d changes, want 1", len(cs))
	}
	return cs[0]
}

// First order: rise 10-90 % is tau ln 9, within 0.05 of 0.6 after tau ln 12,
// no overshoot (any textbook on linear control).
func TestChangeFirstOrder(t *testing.T) {
	const tau = 20
	c := oneChange(t, stepAt60(0.1, 400, func(s float64) float64 { return 1 - math.Exp(-s/tau) }))
	if !c.Assessed || c.Reason != "" || c.AtS != 60 || c.FromBar != 0.7 || c.ToBar != 1.3 {
		t.Fatalf("%+v", c)
	}
	near(t, "rise", c.RiseS, tau*math.Log(9), 0.01)
	near(t, "within", c.WithinS, tau*math.Log(12), 0.11)
	near(t, "settled", c.SettledS, tau*math.Log(12), 0.11)
	if !(math.IsNaN(c.OvershootBar) || c.OvershootBar < 1e-5) {
		t.Errorf("overshoot %g of a response that has none", c.OvershootBar)
	}
	if !c.SluggishKnown || c.Sluggish {
		t.Errorf("sluggish: %+v", c)
	}
}

// A rounded record stands at 90 % of the way for ten rows: from the first of them
// on PO2 had gone so far, whatever the last bit of 1.24 - 0.7 says.
func TestRiseAtTheVeryShare(t *testing.T) {
	in := stepAt60(1, 120, func(float64) float64 { return 1 })
	for i := 60; i < 80; i++ {
		switch {
		case i == 60:
			in.PO2Bar[i] = 0.70
		case i < 70:
			in.PO2Bar[i] = 0.76
		default:
			in.PO2Bar[i] = 1.24
		}
	}
	near(t, "rise", oneChange(t, in).RiseS, 9, 1e-3)
}

// Second order: overshoot exp(-pi z/sqrt(1-z²)), 16.303 % at z = 0.5 and 4.599 %
// at z = 0.7; rise about 1.8/wn at z = 0.5 (1.64/wn exactly).
func TestChangeSecondOrder(t *testing.T) {
	for _, c := range []struct{ z, overshoot float64 }{{0.5, 0.16303}, {0.7, 0.04599}} {
		const wn = 0.05
		wd := wn * math.Sqrt(1-c.z*c.z)
		got := oneChange(t, stepAt60(0.1, 600, func(s float64) float64 {
			return 1 - math.Exp(-c.z*wn*s)*(math.Cos(wd*s)+c.z*wn/wd*math.Sin(wd*s))
		}))
		near(t, "overshoot", got.OvershootBar/0.6, c.overshoot, 1e-5)
		near(t, "overshoot at", got.OvershootAtS, 60+math.Pi/wd, 0.11)
		if c.z == 0.5 {
			near(t, "rise", got.RiseS, 1.64/wn, 0.05/wn)
		}
	}
}

// Sampling at 1 to 10 s changes the figures by no more than an interval.
func TestChangeSampling(t *testing.T) {
	for _, dt := range []float64{1, 2, 5, 10} {
		c := oneChange(t, stepAt60(dt, 400, func(s float64) float64 { return 1 - math.Exp(-s/20) }))
		near(t, "rise", c.RiseS, 20*math.Log(9), dt/2)
		near(t, "settled", c.SettledS, 20*math.Log(12), dt)
	}
}

func TestChangeNotAssessed(t *testing.T) {
	slow := func(s float64) float64 { return 1 - math.Exp(-s/20) }
	t.Run("depth", func(t *testing.T) {
		in := stepAt60(1, 400, slow)
		for i := range in.DepthM {
			in.DepthM[i] += float64(i) / 20
		}
		c := oneChange(t, in)
		if c.Assessed || c.Reason != "depth changed by more than 1 m before PO2 had settled" || !math.IsNaN(c.OvershootBar) {
			t.Errorf("%+v", c)
		}
	})
	t.Run("depth after it had settled", func(t *testing.T) {
		in := stepAt60(1, 400, slow)
		for i := range in.DepthM {
			if in.TimeS[i] > 200 {
				in.DepthM[i] = 5
			}
		}
		if c := oneChange(t, in); !c.Assessed {
			t.Errorf("%+v", c)
		}
	})
	t.Run("unattainable", func(t *testing.T) {
		in := stepAt60(1, 400, slow)
		for i := range in.AmbientBar {
			in.AmbientBar[i] = 1.2
		}
		if c := oneChange(t, in); c.Assessed || c.Reason != "the new set point lay above ambient pressure" {
			t.Errorf("%+v", c)
		}
	})
	t.Run("next change cuts it", func(t *testing.T) {
		in := stepAt60(1, 400, slow)
		for i := range in.SetPointBar {
			if in.TimeS[i] >= 85 {
				in.SetPointBar[i] = 1.0
			}
		}
		cs := Changes(in, DefaultParams())
		if len(cs) != 2 || !cs[0].Assessed || cs[0].SluggishKnown || !math.IsNaN(cs[0].SettledS) || cs[0].Reason == "" {
			t.Errorf("%+v", cs)
		}
	})
	t.Run("off the loop", func(t *testing.T) {
		in := stepAt60(1, 400, slow)
		in.OnLoop = make([]bool, len(in.TimeS))
		if c := oneChange(t, in); c.Assessed || c.Reason != "the diver was not on the loop" {
			t.Errorf("%+v", c)
		}
	})
}

func TestChangeSluggish(t *testing.T) {
	c := oneChange(t, stepAt60(1, 600, func(s float64) float64 { return 1 - math.Exp(-s/100) }))
	if !c.SluggishKnown || !c.Sluggish { // within 0.05 after 100 ln 12 = 248 s
		t.Errorf("%+v", c)
	}
	near(t, "within", c.WithinS, 100*math.Log(12), 1)
}

// Steps that follow one another at once are one change; there and back is none;
// holes in the column are none either.
func TestChangeSteps(t *testing.T) {
	in := level(300, 1, 0.7, func(float64) float64 { return 0.7 })
	for i, t := range in.TimeS {
		switch {
		case t >= 100 && t < 130:
			in.SetPointBar[i] = math.Min(1.3, 0.7+0.02*(t-99))
		case t >= 130:
			in.SetPointBar[i] = 1.3
		case t == 50:
			in.SetPointBar[i] = 1.3
		case t > 60 && t < 80:
			in.SetPointBar[i] = math.NaN()
		}
	}
	cs := Changes(in, DefaultParams())
	if len(cs) != 1 || cs[0].FromBar != 0.7 || cs[0].ToBar != 1.3 || cs[0].AtS != 100 {
		t.Errorf("%+v", cs)
	}
}

func TestChangeDownwards(t *testing.T) {
	in := level(400, 1, 1.3, func(s float64) float64 { return math.Max(0.65, math.Min(1.3, 1.3-(s-60)*0.005)) })
	for i, t := range in.TimeS {
		if t >= 60 {
			in.SetPointBar[i] = 0.7
		}
	}
	c := oneChange(t, in)
	near(t, "fall 90-10 %", c.RiseS, 0.8*0.6/0.005, 0.01)
	near(t, "undershoot", c.OvershootBar, 0.05, 1e-9)
	if c.SluggishKnown || c.Sluggish {
		t.Errorf("only metabolism takes PO2 down: %+v", c)
	}
}
