package injection

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// commanded is a record with only valve columns, a row every dtS.
func commanded(dtS float64, valves ...[]float64) Input {
	in := Input{}
	for i := range valves[0] {
		in.TimeS = append(in.TimeS, float64(i)*dtS)
		in.AmbientBar = append(in.AmbientBar, 4)
		in.PO2Bar = append(in.PO2Bar, 1.1)
		in.SetPointBar = append(in.SetPointBar, 1.2)
	}
	for k, v := range valves {
		in.Valves = append(in.Valves, Valve{Number: k + 1, OpenS: v})
	}
	return in
}

func TestOpenings(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name  string
		in    Input
		want  [][3]float64 // valve, from, to
		count int          // of valve 1
		lower bool
	}{
		{"none", commanded(1, []float64{0, 0, 0}), nil, 0, false},
		{"within one row", commanded(1, []float64{0, 0, 0.6, 0}), [][3]float64{{1, 1.2, 1.8}}, 1, false},
		{"over the seam of two rows", commanded(1, []float64{0, 0.8, 0.4, 0}), [][3]float64{{1, 0.2, 1.4}}, 1, false},
		{"over three rows", commanded(1, []float64{0, 0.5, 1, 0.4, 0}), [][3]float64{{1, 0.5, 2.4}}, 1, false},
		{"shut within a run", commanded(1, []float64{0, 0.5, 0.6, 0.4, 0}), [][3]float64{{1, 0.5, 2.4}}, 2, false},
		{"one over each of two seams", commanded(1, []float64{0, 0.5, 0.6, 0.6, 0.4, 0}), [][3]float64{{1, 0.5, 3.4}}, 2, false},
		{"five rows, none of them open throughout", commanded(1, []float64{0, 0.5, 0.6, 0.6, 0.6, 0.4, 0}), [][3]float64{{1, 0.5, 4.4}}, 3, false},
		{"open throughout between", commanded(1, []float64{0, 0.5, 0.6, 0.6, 1, 0.4, 0}), [][3]float64{{1, 0.5, 4.4}}, 2, false},
		{"rows with room for more", commanded(5, []float64{0, 0, 0.6, 0}), [][3]float64{{1, 7.2, 7.8}}, 1, true},
		{"two valves in order of time", commanded(1, []float64{0, 0.5, 0, 0.5}, []float64{0, 0, 0.5, 0}), [][3]float64{{1, 0.25, 0.75}, {2, 1.25, 1.75}, {1, 2.25, 2.75}}, 2, false},
		{"not recorded ends a run", commanded(1, []float64{0, 0.5, nan, 0.5}), [][3]float64{{1, 0.25, 0.75}, {1, 2.25, 2.75}}, 2, false},
	} {
		p := DefaultParams()
		got := Openings(c.in, p)
		var own []Opening
		var places [][3]float64
		for _, o := range got {
			places = append(places, [3]float64{float64(o.Valve), math.Round(o.FromS*1e6) / 1e6, math.Round(o.ToS*1e6) / 1e6})
			if o.Valve == 1 {
				own = append(own, o)
			}
		}
		if d := cmp.Diff(c.want, places); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
		if n, lower := counted(c.in, c.in.Valves[0], own, p); n != c.count || lower != c.lower {
			t.Errorf("%s: %d %v, want %d %v", c.name, n, lower, c.count, c.lower)
		}
	}
}

// A recorded count is the count, and no lower bound.
func TestCountRecorded(t *testing.T) {
	in := commanded(10, []float64{0, 1.2, 0, 2.4})
	in.Valves[0].Openings = []float64{0, 2, 0, 4}
	if n, lower := counted(in, in.Valves[0], Openings(in, DefaultParams()), DefaultParams()); n != 6 || lower {
		t.Errorf("%d %v", n, lower)
	}
}

// A gap between two openings has no interval.
func TestIntervals(t *testing.T) {
	in := commanded(1, []float64{0, 0.5, 0, 0.5, 0, 0, 0.5})
	in.GapAfter = []bool{false, false, false, true, false, false, false}
	r := Analyse(in, DefaultParams())
	if v := r.Valves[0]; v.MedianIntervalS != 2 || v.LongestIntervalS != 2 || v.Count != 3 || v.OpenS != 1.5 || v.MeanOpenS != 0.5 {
		t.Errorf("%+v", v)
	}
}

// turnsOf is a record in which the valves of the list open one after another,
// every 6 s.
func turnsOf(valves int, order []int, errorBar float64) Input {
	open := make([][]float64, valves)
	for k := range open {
		open[k] = make([]float64, len(order)*6)
	}
	for i, v := range order {
		open[v-1][i*6+1] = 0.5
	}
	in := commanded(1, open...)
	for i := range in.PO2Bar {
		in.PO2Bar[i] = in.SetPointBar[i] - errorBar
	}
	return in
}

func TestTurns(t *testing.T) {
	for _, c := range []struct {
		name          string
		valves        int
		order         []int
		errorBar      float64
		alternate     bool
		taken, missed []int
	}{
		{"strict", 2, []int{1, 2, 1, 2, 1, 2, 1, 2, 1, 2}, 0.1, true, []int{4, 5}, []int{0, 0}},
		{"valve 2 misses one", 2, []int{1, 2, 1, 2, 1, 1, 2, 1, 2, 1, 2}, 0.1, true, []int{4, 5}, []int{0, 1}},
		{"no need, no turn", 2, []int{1, 2, 1, 2, 1, 1, 2, 1, 2, 1, 2}, 0.0, true, []int{4, 5}, []int{0, 0}},
		{"one of three misses", 3, []int{1, 2, 3, 1, 3, 1, 2, 3, 1, 2}, 0.1, true, []int{3, 3, 2}, []int{0, 1, 0}},
		{"one works until it fails", 2, []int{1, 1, 1, 1, 1, 2, 2, 2, 2, 2}, 0.1, false, []int{0, 0}, []int{0, 0}},
		{"too few", 2, []int{1, 2, 1}, 0.1, false, []int{0, 0}, []int{0, 0}},
		{"one valve", 1, []int{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, 0.1, false, []int{0}, []int{0}},
	} {
		in := turnsOf(c.valves, c.order, c.errorBar)
		got := CountTurns(in, Openings(in, DefaultParams()), DefaultParams())
		if got.Alternate != c.alternate || !cmp.Equal(got.Taken, c.taken) || !cmp.Equal(got.Missed, c.missed) || (got.Reason == "") != c.alternate {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}
