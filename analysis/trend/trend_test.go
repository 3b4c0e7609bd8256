package trend

import (
	"math"
	"math/rand/v2"
	"testing"
)

// run is a simulated quantity: level, slope per day, noise, jump at a point, wild points.
func run(seed uint64, n int, every, level, perDay, noise float64, jumpAt int, jump float64, wild bool) (days, values []float64) {
	r := rand.New(rand.NewPCG(seed, 11))
	for i := range n {
		d := 20000 + float64(i)*every + every*0.6*r.Float64()
		v := level + perDay*(d-20000) + noise*r.NormFloat64()
		if jumpAt > 0 && i >= jumpAt {
			v += jump
		}
		if wild && i%9 == 4 {
			v *= 1.15
		}
		days, values = append(days, d), append(values, v)
	}
	return days, values
}

// TestSlope: the slope's interval holds the truth about as often as it says, and
// no break is seen where there is none.
func TestSlope(t *testing.T) {
	const runs = 300
	held, breaks := 0, 0
	for seed := range uint64(runs) {
		d, v := run(seed, 24, 12, 50, -0.02, 0.4, 0, 0, seed%3 == 0)
		r := Analyze(d, v, Limits{35, nan}, DefaultParams())
		breaks += len(r.Breaks)
		if len(r.Breaks) == 0 && r.PerDay.Low <= -0.02 && -0.02 <= r.PerDay.High {
			held++
		}
	}
	if held < runs*90/100 {
		t.Errorf("the interval holds the slope in %d of %d runs", held, runs)
	}
	if breaks > runs*3/100 {
		t.Errorf("%d breaks in %d runs without one", breaks, runs)
	}
}

// TestBreak: a jump of 8 % is found where it is, and the trend starts anew.
func TestBreak(t *testing.T) {
	found, off := 0, 0
	const runs = 100
	for seed := range uint64(runs) {
		d, v := run(seed, 24, 12, 50, -0.01, 0.4, 14, -4, false)
		r := Analyze(d, v, Limits{35, nan}, DefaultParams())
		if len(r.Breaks) == 1 {
			found++
			if math.Abs(r.Breaks[0].Day-d[14]) > 15 || math.Abs(r.Breaks[0].Shift+4) > 1.6 {
				off++
			}
		}
	}
	if found < 95 || off > 5 {
		t.Errorf("found in %d of %d runs, %d of them off", found, runs, off)
	}
}

// TestPassing: the day's interval holds the true day.
func TestPassing(t *testing.T) {
	const runs = 200
	held, given := 0, 0
	for seed := range uint64(runs) {
		d, v := run(seed, 24, 12, 50, -0.03, 0.5, 0, 0, false)
		r := Analyze(d, v, Limits{35, nan}, DefaultParams()) // true day 20500, record to about 20280
		if r.Passing.State == Ahead {
			given++
			if r.Passing.Earliest <= 20500 && 20500 <= r.Passing.Latest {
				held++
			}
		}
	}
	if given < runs*9/10 || held < given*88/100 {
		t.Errorf("given in %d of %d runs, held in %d", given, runs, held)
	}
}

func TestStates(t *testing.T) {
	state := func(level, perDay, noise float64, n int, lim Limits) Passing {
		d, v := run(5, n, 12, level, perDay, noise, 0, 0, false)
		return Analyze(d, v, lim, DefaultParams()).Passing
	}
	for _, c := range []struct {
		want          string
		level, perDay float64
		noise         float64
		n             int
		lim           Limits
	}{
		{Passed, 30, -0.02, 0.2, 20, Limits{35, nan}},
		{NoTrend, 50, 0, 0.5, 20, Limits{35, nan}},
		{NoTrend, 50, 0.03, 0.2, 20, Limits{35, nan}},
		{TooFar, 50, -0.004, 0.05, 20, Limits{35, nan}},
		{Ahead, 5, 0.03, 0.2, 20, Limits{nan, 15}},
		{NotAssessed, 50, -0.02, 0.2, 3, Limits{35, nan}},
		{Ahead, 1, 0.0002, 0.004, 20, Limits{0.92, 1.08}},
		{Ahead, 1, -0.0002, 0.004, 20, Limits{0.92, 1.08}},
		{Passed, 1.2, 0, 0.004, 20, Limits{0.92, 1.08}},
		{Passed, 0.8, 0.0001, 0.004, 20, Limits{0.92, 1.08}},
	} {
		if got := state(c.level, c.perDay, c.noise, c.n, c.lim); got.State != c.want {
			t.Errorf("level %v, slope %v: %+v, want %s", c.level, c.perDay, got, c.want)
		}
	}
	if r := Analyze(nil, nil, Limits{nan, nan}, DefaultParams()); r.Reason == "" || r.Passing.State != NotAssessed {
		t.Errorf("nothing measured: %+v", r)
	}
}
