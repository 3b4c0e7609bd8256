package timeline

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func mark(a Action, atS float64) Mark { return Mark{Moment: Moment{atS, 1}, Action: a} }

func TestBetween(t *testing.T) {
	// Seen in the row at 100 s, which looks back 5 s; acted in the row at 130 s, back 2 s:
	// between 95..100 and 128..130 lie 28 to 35 s.
	if d := Between(Moment{100, 5}, Moment{130, 2}); d != (Delay{30, 28, 35}) {
		t.Errorf("%+v", d)
	}
	if d := Between(Moment{math.NaN(), 0}, Moment{130, 2}); !math.IsNaN(d.S) {
		t.Errorf("no moment, no delay: %+v", d)
	}
}

// Rows of any interval hold the true delay in their bounds.
func TestBoundsHoldTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dt := rapid.Float64Range(0.1, 30).Draw(t, "interval")
		seen := rapid.Float64Range(0, 1000).Draw(t, "seen")
		acted := seen + rapid.Float64Range(0, 600).Draw(t, "delay")
		row := func(s float64) Moment { return Moment{math.Ceil(s/dt) * dt, dt} }
		d := Between(row(seen), row(acted))
		if true := acted - seen; true < d.LowS-1e-9 || true > d.HighS+1e-9 || d.S < d.LowS || d.S > d.HighS {
			t.Fatalf("%v outside %+v", true, d)
		}
	})
}

func TestFirstAction(t *testing.T) {
	p := DefaultParams()
	e := Event{Class: High, FromS: 90, Visible: Moment{100, 1}, VisibleToS: 150}
	actions := []Mark{mark(DiluentFlush, 99), mark(ManualOxygen, 110), mark(Ascent, 140), mark(Bailout, 160)}
	if k := FirstAction(e, actions, p); k != 2 {
		t.Errorf("not before it could be seen, and none that can't serve: %d", k)
	}
	if k := FirstAction(e, []Mark{mark(Bailout, 100)}, p); k != 0 {
		t.Errorf("in the same row: %d", k)
	}
	if k := FirstAction(e, []Mark{mark(Bailout, 701)}, p); k != -1 {
		t.Errorf("past the horizon: %d", k)
	}
	e.VisibleToS = 2000
	if k := FirstAction(e, []Mark{mark(Bailout, 701)}, p); k != 0 {
		t.Errorf("while it could be seen: %d", k)
	}
	e.Visible.AtS = math.NaN()
	if k := FirstAction(e, actions, p); k != -1 || e.Seen() {
		t.Errorf("nothing is set beside what could not be seen: %d", k)
	}
}

// What would make an event worse serves in none.
func TestServing(t *testing.T) {
	worse := map[Class][]Action{Low: {SetPointDown, Ascent}, High: {ManualOxygen, OxygenFlush, SetPointUp}, Leak: {ManualOxygen, OxygenFlush, SetPointUp}, Cells: {SetPointUp},
		Below: {SetPointDown, SetPointUp, Ascent}, Above: {SetPointDown, SetPointUp, ManualOxygen}, Supply: {}}
	for c, list := range worse {
		serving := Serving(c)
		if len(serving) == 0 || serving[0] != Bailout {
			t.Errorf("%s: %v", c, serving)
		}
		for _, a := range serving {
			for _, b := range list {
				if a == b {
					t.Errorf("%s: %s", c, a)
				}
			}
		}
	}
	if Serving("other") != nil {
		t.Error("an unknown class")
	}
}
