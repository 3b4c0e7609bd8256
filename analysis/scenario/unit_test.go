package scenario

import (
	"math"
	"testing"
)

// METHODS.md gives what leave-one-out in cell order does to these readings.
func TestUnitVotesInCellOrder(t *testing.T) {
	for _, c := range []struct {
		readings []float64
		want     float64
	}{
		{[]float64{1.30, 1.30, 0.50}, 0.90},
		{[]float64{1.30, 1.30, 1.30, 0}, 0.65},
		{[]float64{0, 1.30, 1.30, 1.30}, 1.30},
		{[]float64{1.30, 1.28, 1.32}, 1.30},
	} {
		u := newUnit(Controller{}.withDefaults(), len(c.readings), 1)
		if got := u.vote(c.readings); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v votes %.3f; want %.3f", c.readings, got, c.want)
		}
	}
}

func TestUnitTakesVotedOutCellBack(t *testing.T) {
	u := newUnit(Controller{}.withDefaults(), 3, 1)
	u.vote([]float64{1.00, 1.30, 1.30})
	if !u.out[0] {
		t.Fatal("a cell 0.30 bar off stayed in")
	}
	u.vote([]float64{1.12, 1.30, 1.30})
	if !u.out[0] {
		t.Error("a cell 0.18 bar off came back; in again below 0.15")
	}
	u.vote([]float64{1.16, 1.30, 1.30})
	if u.out[0] {
		t.Error("a cell 0.14 bar off stayed out")
	}
}

func TestUnitTurns(t *testing.T) {
	for _, c := range []struct {
		turns string
		want  []int // valves opened at the 1st, 2nd and 4th decision; none at the 3rd
	}{
		{"slot", []int{0, 1, 1}},
		{"alternate", []int{0, 1, 0}},
	} {
		u := newUnit(Controller{Turns: c.turns}.withDefaults(), 1, 2)
		var opened []int
		for i, po2 := range []float64{1.2, 1.2, 1.4, 1.2} {
			u.sense([]float64{po2})
			u.started[0], u.started[1] = 0, 0
			u.decide(float64(i)*6, 1.3)
			for v, n := range u.started {
				if n > 0 {
					opened = append(opened, v)
				}
			}
		}
		if len(opened) != 3 || opened[0] != c.want[0] || opened[1] != c.want[1] || opened[2] != c.want[2] {
			t.Errorf("%s opened valves %v; want %v", c.turns, opened, c.want)
		}
	}
}

func TestUnitPulseLength(t *testing.T) {
	u := newUnit(Controller{Style: "variable", BaseS: 0.1, SPerBar: 20, MinS: 0.3, MaxS: 2}.withDefaults(), 1, 1)
	for _, c := range []struct{ err, want float64 }{{0.001, 0.3}, {0.05, 1.1}, {0.5, 2}} {
		if got := u.pulse(c.err); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("error %g bar opens for %g s; want %g", c.err, got, c.want)
		}
	}
}

func TestSetPointSchedule(t *testing.T) {
	s := newSchedule(SetPoint{LowBar: 0.7, HighBar: 1.3, UpDepthM: 10, DownDepthM: 4, Changes: []SetPointChange{{50, 1.1}}})
	for _, c := range []struct{ tS, depthM, want float64 }{
		{0, 2, 0.7}, {20, 11, 1.3}, {30, 8, 1.3}, {50, 8, 1.1}, {60, 12, 1.1}, {70, 3, 0.7}, {80, 12, 0.7},
	} {
		if got := s.at(c.tS, c.depthM); got != c.want {
			t.Errorf("at %g s, %g m the set point is %g; want %g", c.tS, c.depthM, got, c.want)
		}
	}
}
