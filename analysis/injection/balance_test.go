package injection

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/gas"
)

// VO2 comes back from a rig of known volume and flow within 2 %, whatever the
// sampling and the rounding.
func TestVO2FromStatedVolumeAndFlow(t *testing.T) {
	for _, dt := range []float64{1, 2, 5} {
		for _, step := range []float64{0, 0.01} {
			t.Run(fmt.Sprintf("%gs %gbar", dt, step), func(t *testing.T) {
				r := plain()
				r.stepBar, r.everyS, r.pulseS = step, 10, 1.2
				in := r.run(2400, dt)
				in.LoopVolumeL, in.FlowLMin = r.volumeL, r.flowLMin
				o := Analyse(in, DefaultParams()).Oxygen
				if o.FlowFrom != FromStated {
					t.Errorf("flow/V from %q", o.FlowFrom)
				}
				near(t, "VO2", o.VO2LMin.Value, r.vo2LMin, 0.02*r.vo2LMin)
				near(t, "VO2/V", o.VO2PerVolume.Value, r.vo2LMin/r.volumeL, 0.02*r.vo2LMin/r.volumeL)
			})
		}
	}
}

// Law: oxygen is neither made nor lost. What the valve gave, less the uptake, is
// what the diver used, for any loop at any depth.
func TestMassBalanceCloses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := plain()
		r.volumeL = rapid.Float64Range(4, 10).Draw(rt, "V")
		r.flowLMin = rapid.Float64Range(8, 18).Draw(rt, "flow")
		r.vo2LMin = rapid.Float64Range(0.4, 2).Draw(rt, "VO2")
		depth := rapid.Float64Range(15, 80).Draw(rt, "depth")
		r.depthM = func(float64) float64 { return depth }
		r.everyS, r.pulseS = 10, 2
		r.t90S = rapid.Float64Range(4, 12).Draw(rt, "T90")
		in := r.run(900, 1)
		s := newSignal(in)
		l := newLedger(in, s, Openings(in, DefaultParams()), DefaultParams())
		a, b := 100, len(in.TimeS)-1
		for !l.canEnd[a] {
			a++
		}
		for !l.canEnd[b] {
			b--
		}
		unit := gas.STPDToLoop(1, rigTempC)
		used := r.vo2LMin * unit / r.volumeL * (in.TimeS[b] - in.TimeS[a])
		given := r.flowPerVolume() * (l.openS[b] - l.openS[a])
		if missing := given - (l.uptake[b] - l.uptake[a]) - used; math.Abs(missing) > 0.02*used {
			rt.Fatalf("given %g, used %g, uptake %g: %g missing", given, used, l.uptake[b]-l.uptake[a], missing)
		}
	})
}

// Without volume and flow, single openings give flow/V, and with it VO2/V.
func TestFlowPerVolumeFromSingleOpenings(t *testing.T) {
	for _, dt := range []float64{1, 2, 5} {
		r := plain()
		r.stepBar = 0.01
		r.vo2 = func(s float64) float64 { return 1 + 0.2*math.Sin(s/150) }
		o := Analyse(r.run(3600, dt), DefaultParams()).Oxygen
		if o.FlowFrom != FromSingle {
			t.Fatalf("dt %g: from %q, %s", dt, o.FlowFrom, o.FlowPerVolume.Reason)
		}
		near(t, "flow/V", o.FlowPerVolume.Value, r.flowPerVolume(), 0.05*r.flowPerVolume())
		within(t, "flow/V", o.FlowPerVolume, r.flowPerVolume())
		near(t, "VO2/V", o.VO2PerVolume.Value, 1/r.volumeL, 0.08/r.volumeL)
		if !math.IsNaN(o.VO2LMin.Value) || o.VO2LMin.Reason == "" {
			t.Errorf("VO2 in L/min without volume or flow: %+v", o.VO2LMin)
		}
	}
}

// With the flow alone VO2 follows within 3 %: PO2 ended as it began.
func TestVO2FromFlowAlone(t *testing.T) {
	r := plain()
	in := r.run(3600, 1)
	in.FlowLMin = r.flowLMin
	o := Analyse(in, DefaultParams()).Oxygen
	near(t, "VO2", o.VO2LMin.Value, 1, 0.03)
	in.FlowLMin, in.LoopVolumeL = math.NaN(), r.volumeL
	o = Analyse(in, DefaultParams()).Oxygen
	near(t, "VO2 from the volume", o.VO2LMin.Value, 1, 0.06)
}

// Openings every few seconds have no responses of their own; the comparison of
// stretches finds flow/V from what ascents ask for.
func TestFlowPerVolumeFromContrast(t *testing.T) {
	r := plain()
	r.everyS, r.pulseS, r.valves = 6, 1, 2
	r.flowLMin = 14
	r.depthM = func(s float64) float64 {
		return math.Max(12, 60-3*math.Floor(s/300)-math.Min(3, math.Mod(s, 300)/10)+3)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	r.noise = func() float64 { return 0.003 * rng.NormFloat64() }
	r.vo2 = func(s float64) float64 { return 0.9 + 0.15*math.Sin(s/220) }
	for _, dt := range []float64{1, 5} {
		res := Analyse(r.run(4500, dt), DefaultParams())
		o := res.Oxygen
		if o.FlowFrom != FromContrast {
			t.Fatalf("dt %g: from %q, %s", dt, o.FlowFrom, o.FlowPerVolume.Reason)
		}
		near(t, "flow/V", o.FlowPerVolume.Value, r.flowPerVolume(), 0.15*r.flowPerVolume())
		within(t, "flow/V", o.FlowPerVolume, r.flowPerVolume())
		if !math.IsNaN(res.DelayS) || res.ResponseReason == "" {
			t.Errorf("dt %g: a delay of %g from openings that run together", dt, res.DelayS)
		}
	}
}

// What the log can't tell is said: a flush, a fall of PO2, a failed valve.
func TestWindowsNotUsed(t *testing.T) {
	base := plain()
	base.everyS, base.pulseS = 10, 1.2
	stated := func(r rig, in Input) Oxygen {
		in.LoopVolumeL, in.FlowLMin = r.volumeL, r.flowLMin
		return Analyse(in, DefaultParams()).Oxygen
	}
	t.Run("a flush that nobody marked", func(t *testing.T) {
		r := base
		r.disturb = func(s, p float64) float64 {
			if s > 300 && s < 305 {
				return p - 0.08*rigStepS // 0.4 bar in all
			}
			return p
		}
		seen := false
		for _, w := range stated(r, r.run(700, 1)).Windows {
			if w.FromS < 300 && w.ToS > 305 {
				seen = true
				if w.Used || w.Reason == "" {
					t.Errorf("%+v", w)
				}
			}
		}
		if !seen {
			t.Error("no window over the flush")
		}
	})
	t.Run("PO2 falls", func(t *testing.T) {
		r := base
		r.startBar = 1.7
		o := stated(r, r.run(260, 1))
		if len(o.Windows) != 1 || o.Windows[0].Used || o.VO2LMin.Reason == "" {
			t.Errorf("%+v", o)
		}
		v := o.Windows[0].VO2PerVolume
		v.High *= 1.01 // the end effects of the cells' lag
		within(t, "the truth is in the range", v, r.vo2LMin/r.volumeL)
	})
	t.Run("a failed valve", func(t *testing.T) {
		r := base
		in := r.run(700, 1)
		in.Valves[0].Failed = make([]bool, len(in.TimeS))
		for i := range in.TimeS {
			in.Valves[0].Failed[i] = true
		}
		o := stated(r, in)
		for _, w := range o.Windows {
			if w.Used {
				t.Errorf("%+v", w)
			}
		}
	})
	t.Run("oxygen from elsewhere", func(t *testing.T) {
		r := base
		r.vo2LMin = -0.5 // a leak larger than consumption
		r.startBar = 1.0
		ws := stated(r, r.run(300, 1)).Windows
		if len(ws) == 0 || ws[0].Used {
			t.Errorf("%+v", ws)
		}
	})
}

// Level stretches by the running extremes are those of the plain definition.
func TestLevelStretches(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(rt, "n")
		in := Input{}
		usable := make([]bool, n)
		in.GapAfter = make([]bool, n)
		for i := range n {
			in.TimeS = append(in.TimeS, float64(i*10))
			in.DepthM = append(in.DepthM, rapid.Float64Range(9, 10.5).Draw(rt, "depth"))
			usable[i] = rapid.IntRange(0, 9).Draw(rt, "usable") > 0
			in.GapAfter[i] = rapid.IntRange(0, 19).Draw(rt, "gap") == 0
		}
		next := 0
		for _, s := range levelStretches(in, usable, 0.5, 40, 120) {
			if s.from < next || s.seconds(in) < 40 || s.seconds(in) > 120 {
				rt.Fatalf("%+v", s)
			}
			next = s.to
			low, high := math.Inf(1), math.Inf(-1)
			for i := s.from; i < s.to; i++ {
				low, high = math.Min(low, in.DepthM[i]), math.Max(high, in.DepthM[i])
				if !usable[i] || i < s.to-1 && in.GapAfter[i] {
					rt.Fatalf("row %d in %+v", i, s)
				}
			}
			if high-low > 0.5+1e-9 {
				rt.Fatalf("range %g in %+v", high-low, s)
			}
		}
	})
}
