package supply

import (
	"math"
	"testing"
)

// TestFallOverUnrecordedTimeIsNoStep: a steady fall of which twenty minutes are not
// recorded is not told as a step, with or without rows in that time.
func TestFallOverUnrecordedTimeIsNoStep(t *testing.T) {
	p := DefaultParams()
	for _, c := range []struct {
		name  string
		steps bool
		from  float64
	}{{"not recorded", false, 600}, {"a step that was recorded", true, 3601}} {
		in := cells(func(t float64, open bool) float64 {
			if c.steps && t > 1800 {
				return 6.0 - 0.2*t/3600
			} else if c.steps {
				return 7.4 - 0.2*t/3600
			}
			return 7.9 - 3.6*t/3600
		})
		v := in.Batteries[0].V
		for i, s := range in.TimeS {
			if s > c.from && s < 1800 {
				v[i] = math.NaN()
			}
		}
		b := Analyse(in, p).Batteries[0]
		if got := len(b.Drops) > 0; got != c.steps {
			t.Errorf("%s: steps %+v", c.name, b.Drops)
		}
		if got := len(b.Unseen) > 0; got == c.steps {
			t.Errorf("%s: unseen %+v", c.name, b.Unseen)
		}
		if len(b.Unseen) == 1 {
			near(t, "since", b.Unseen[0].SinceS, 600, 61)
			near(t, "until", b.Unseen[0].AtS, 1800, 61)
		}
	}
}

// TestLoneReading: one row of nothing is set apart from the lowest and the sag; what
// lasts, or a sag that a valve explains, is not.
func TestLoneReading(t *testing.T) {
	p := DefaultParams()
	for _, c := range []struct {
		name        string
		change      func(in *Input, i int)
		lone        int
		lowest, sag float64
	}{
		{"nothing", func(*Input, int) {}, 0, 7.1, 0.3},
		{"one row of zero", func(in *Input, i int) { in.Batteries[0].V[i] = 0 }, 1, 7.1, 0.3},
		{"ten seconds of zero", func(in *Input, i int) {
			for k, s := range in.TimeS {
				if d := s - in.TimeS[i]; d >= 0 && d <= 10 {
					in.Batteries[0].V[k] = 0
				}
			}
		}, 0, 0, 7.4},
		{"one deep sag while a valve is open", func(in *Input, i int) {
			for in.Valves[0].OpenS[i] <= 0 {
				i++
			}
			in.Batteries[0].V[i] = 4.5
		}, 0, 4.5, 2.9},
		{"one row beside a gap of the record", func(in *Input, i int) {
			in.GapAfter = make([]bool, len(in.TimeS))
			in.GapAfter[i], in.Batteries[0].V[i] = true, 0
		}, 0, 0, math.NaN()},
	} {
		in := cells(func(t float64, open bool) float64 {
			if open {
				return 7.1
			}
			return 7.4
		})
		i, _ := rowsWithin(in.TimeS, 1801, 1900)
		c.change(&in, i)
		b := Analyse(in, p).Batteries[0]
		if len(b.Lone) != c.lone {
			t.Errorf("%s: set apart %+v", c.name, b.Lone)
		}
		near(t, c.name+": lowest", b.MinV, c.lowest, 0.011)
		if !math.IsNaN(c.sag) && c.name != "ten seconds of zero" {
			near(t, c.name+": sag", b.SagWorstV, c.sag, 0.02)
		}
		if c.lone > 0 && b.Lone[0].AtS != in.TimeS[i] {
			t.Errorf("%s: at %v", c.name, b.Lone[0].AtS)
		}
	}
}

// TestRefilledCylinderWasNotUsed: what was used across a filling is not known.
func TestRefilledCylinderWasNotUsed(t *testing.T) {
	in := level(func(t float64) float64 {
		if t > 1800 {
			return 230 - t/360
		}
		return 180 - t/360
	})
	c := Analyse(in, DefaultParams()).Diluent
	if c.Reason == "" || c.UsedBar.Known() || c.UsedBar.Reason != c.Reason || c.RateBarH.Known() || len(c.Phases) > 0 || math.IsNaN(c.End.Bar) {
		t.Errorf("%+v", c)
	}
}
