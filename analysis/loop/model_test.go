package loop_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/gas"
	"afterloop/analysis/loop"
)

// US Navy Diving Manual ch. 17: without oxygen a diver is hypoxic in 2 to 5
// minutes; oxygen use 0.64 L/min at rest and 1.5 L/min swimming (Knafelc, NEDU
// 1-89). The figures to the second decimal are computed from those for a 6 L
// loop at 20 C going from 0.75 to 0.16 bar.
func TestBurnDownAgainstHandbook(t *testing.T) {
	for _, c := range []struct{ vo2LMin, wantMin float64 }{{1.5, 2.17}, {0.64, 5.09}} {
		got := loop.BurnDownHeldS(0.75, 0.16, gas.STPDToLoop(c.vo2LMin, 20), 6, 0) / 60
		if math.Abs(got-c.wantMin) > 0.005 {
			t.Errorf("%.2f L/min: %.3f min, want %.2f", c.vo2LMin, got, c.wantMin)
		}
		if got < 2 || got > 5.1 {
			t.Errorf("%.2f L/min: %.2f min, the handbook has 2 to 5", c.vo2LMin, got)
		}
	}
}

// 0 to 40 m on air raises PO2 by 0.84 bar (10 m of water a bar); it takes 3.3 min
// at 1.4 L/min and 6 L, 8.5 min at 0.64 L/min and 7 L, to use that up, within the
// handbook's 2 to 15 min after a descent (US Navy Diving Manual p. 17-19).
func TestDescentOvershoot(t *testing.T) {
	f := loop.Flow{PO2Bar: 0.3, DryBar: 1, DryRate: 4.0 / 120, VolumeL: 6, FO2Dil: 0.21}
	rise := f.Rate(f.MakeUp()) * 120
	if math.Abs(rise-0.84) > 1e-12 {
		t.Errorf("rise %.4f bar, want 0.84", rise)
	}
	for _, c := range []struct{ vo2, v, want float64 }{{1.4, 6, 3.3}, {0.64, 7, 8.5}} {
		if got := loop.BurnDownHeldS(rise, 0, gas.STPDToLoop(c.vo2, 20), c.v, 0) / 60; math.Abs(got-c.want) > 0.06 {
			t.Errorf("burn-down %.2f min, want %.1f", got, c.want)
		}
	}
}

// The two ways down agree with a numerical integration of the loop equation.
func TestBurnDownAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pd := rapid.Float64Range(1, 8).Draw(t, "Pd")
		p0 := rapid.Float64Range(0.3, 0.95).Draw(t, "x") * pd
		p1 := p0 * rapid.Float64Range(0.2, 0.9).Draw(t, "share")
		vo2 := gas.STPDToLoop(rapid.Float64Range(0.3, 3).Draw(t, "vo2"), 30)
		v := rapid.Float64Range(4, 9).Draw(t, "V")
		f := loop.Flow{PO2Bar: p0, DryBar: pd, VolumeL: v, VO2: vo2}
		want := loop.BurnDownCollapsingS(p0, p1, vo2, v, pd)
		h := want / 2000
		for range 2000 { // midpoint rule
			mid := f
			mid.PO2Bar += f.Rate(0) * h / 2
			f.PO2Bar += mid.Rate(0) * h
		}
		if math.Abs(f.PO2Bar-p1) > 1e-5 {
			t.Fatalf("collapsing: reaches %.6f, want %.6f", f.PO2Bar, p1)
		}
	})
}

// Oxygen and inert gas, each counted in bar L, give the same PO2 as the loop
// equation: mass is conserved, and PO2 never exceeds the dry pressure.
func TestMassBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(4, 9).Draw(t, "V")
		fdil := rapid.Float64Range(0.08, 0.4).Draw(t, "Fdil")
		pd := rapid.Float64Range(1, 5).Draw(t, "Pd")
		p := rapid.Float64Range(0.1, 1).Draw(t, "x") * pd
		o2, inert := p*v, (pd-p)*v
		const h = 0.01
		for range 40 {
			rate := rapid.Float64Range(-0.05, 0.05).Draw(t, "dPd")
			if pd < 1 {
				rate = math.Abs(rate)
			}
			q := rapid.SampledFrom([]float64{0, 0, 0.2}).Draw(t, "Q")
			vo2 := rapid.Float64Range(0, 0.05).Draw(t, "VO2")
			for range 50 {
				f := loop.Flow{PO2Bar: p, DryBar: pd, DryRate: rate, VolumeL: v, Oxygen: q, VO2: vo2, FO2Dil: fdil}
				m := f.MakeUp()
				p += f.Rate(m) * h
				pd += rate * h
				o2 += (q - vo2 + fdil*m) * h
				inert += (1 - fdil) * m * h
				if over := o2 + inert - pd*v; over > 0 { // vent as it is
					k := pd * v / (o2 + inert)
					o2, inert = o2*k, inert*k
				}
			}
		}
		if math.Abs(o2/v-p) > 2e-3*pd {
			t.Fatalf("counted %.5f bar, equation %.5f", o2/v, p)
		}
		if p > pd+1e-6 {
			t.Fatalf("PO2 %.5f above dry pressure %.5f", p, pd)
		}
	})
}
