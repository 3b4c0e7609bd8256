package tracking

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// leg goes to a depth in a time.
type leg struct{ toM, inS float64 }

// profile samples legs from startM every dtS, with the depth rounded to stepM.
func profile(startM, dtS, stepM float64, legs ...leg) (tS, depthM []float64) {
	t, from := 0.0, startM
	next := 0.0
	for _, l := range legs {
		for ; next < t+l.inS-1e-9; next += dtS {
			tS = append(tS, next)
			d := from + (l.toM-from)*(next-t)/l.inS
			depthM = append(depthM, math.Round(d/stepM)*stepM)
		}
		t += l.inS
		from = l.toM
	}
	return append(tS, next), append(depthM, from)
}

// kinds is the order of the phases, as words.
func kinds(tS []float64, ph []Phase, gapAfter []bool) string {
	var out []string
	for _, s := range PhaseSpans(tS, ph, gapAfter) {
		out = append(out, s.Phase.String())
	}
	return strings.Join(out, " ")
}

var ordinary = []leg{{0, 60}, {30, 120}, {30, 900}, {6, 160}, {6, 180}, {3, 30}, {3, 300}, {0, 20}, {0, 60}}

// One profile, seen at every sampling and rounding that recorders use, has the
// same phases, with edges within the window of the rate.
func TestPhasesOrdinaryDive(t *testing.T) {
	want := "surface descent bottom ascent stop ascent stop ascent surface"
	edges := []float64{0, 62, 180, 1080, 1240, 1420, 1450, 1750, 1767}
	for _, dt := range []float64{1, 2, 3, 5, 10} {
		for _, step := range []float64{0.01, 0.1} {
			t.Run(fmt.Sprintf("%gs %gm", dt, step), func(t *testing.T) {
				tS, d := profile(0, dt, step, ordinary...)
				ph := Phases(tS, d, nil, DefaultParams())
				if got := kinds(tS, ph, nil); got != want {
					t.Fatalf("got  %s\nwant %s", got, want)
				}
				for i, s := range PhaseSpans(tS, ph, nil) {
					near(t, s.Phase.String()+" from", s.FromS, edges[i], 15+dt)
				}
			})
		}
	}
}

func TestPhases(t *testing.T) {
	for _, c := range []struct {
		name   string
		start  float64
		legs   []leg
		want   string
		params func(*Params)
	}{
		{"never submerged", 0, []leg{{0.2, 100}, {0, 100}}, "surface", nil},
		{"no rows at the surface", 5, []leg{{20, 60}, {20, 600}, {6, 120}}, "descent bottom ascent", nil},
		{"slow ascent of 2 m/min is level", 20, []leg{{20, 100}, {16, 120}, {16, 100}}, "bottom", nil},
		{"level below 75 % of the maximum is no stop", 0, []leg{{40, 120}, {40, 300}, {32, 60}, {32, 300}}, "surface descent bottom ascent bottom", nil},
		{"level before the first ascent is no stop", 0, []leg{{5, 20}, {5, 200}, {40, 120}, {40, 300}}, "surface descent bottom descent bottom", nil},
		{"level for less than 60 s is no stop", 0, []leg{{40, 120}, {40, 300}, {15, 120}, {15, 50}, {6, 50}, {6, 120}}, "surface descent bottom ascent bottom ascent stop", nil},
		{"yoyo", 0, []leg{{20, 120}, {20, 120}, {12, 60}, {20, 60}, {20, 120}}, "surface descent bottom ascent bottom descent bottom", nil}, // the turn itself is level
		{"shallow middle is not the surface", 0, []leg{{10, 60}, {10, 100}, {0.2, 60}, {0.2, 100}, {10, 60}}, "surface descent bottom ascent stop descent", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			tS, d := profile(c.start, 2, 0.1, c.legs...)
			if got := kinds(tS, Phases(tS, d, nil, DefaultParams()), nil); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestPhasesEdges(t *testing.T) {
	p := DefaultParams()
	if got := Phases(nil, nil, nil, p); len(got) != 0 {
		t.Errorf("empty: %v", got)
	}
	if got := Phases([]float64{7}, []float64{12}, nil, p); got[0] != Bottom {
		t.Errorf("one row under water: %v", got)
	}
	nan := math.NaN()
	if got := Phases([]float64{0, 1, 2}, []float64{nan, nan, nan}, nil, p); !slices.Equal(got, []Phase{Surface, Surface, Surface}) {
		t.Errorf("all NaN: %v", got)
	}
	if got := Phase(99).String(); got != "unknown" {
		t.Errorf("Phase(99) = %q", got)
	}
}

// The rate is never taken across a gap: 30 m on one side and 6 m on the other
// are two level stretches and no ascent.
func TestPhasesGap(t *testing.T) {
	tS := make([]float64, 400)
	d := make([]float64, 400)
	gap := make([]bool, 400)
	for i := range tS {
		tS[i], d[i] = float64(i), 30
		if i >= 200 {
			tS[i], d[i] = float64(i)+300, 6
		}
	}
	gap[199] = true
	if got := kinds(tS, Phases(tS, d, gap, DefaultParams()), gap); got != "bottom bottom" {
		t.Errorf("got %s", got)
	}
}

// Missing depths leave the phases as they were.
func TestPhasesMissingDepths(t *testing.T) {
	tS, d := profile(0, 1, 0.1, ordinary...)
	want := kinds(tS, Phases(tS, d, nil, DefaultParams()), nil)
	for i := range d {
		if i%7 == 3 {
			d[i] = math.NaN()
		}
	}
	if got := kinds(tS, Phases(tS, d, nil, DefaultParams()), nil); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// The slope of a straight line is that line's, wherever it begins in time and
// however unevenly it is sampled; the running sums must not lose it.
func TestRateOfStraightLine(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rate := rapid.Float64Range(-30, 30).Draw(rt, "m/min")
		tS := []float64{rapid.Float64Range(0, 1e6).Draw(rt, "start")}
		for len(tS) < 300 {
			tS = append(tS, tS[len(tS)-1]+rapid.Float64Range(1, 10).Draw(rt, "dt"))
		}
		d := make([]float64, len(tS))
		for i := range d {
			d[i] = 50 + rate/60*(tS[i]-tS[0])
		}
		for i, r := range RateMMin(tS, d, nil, 30) {
			if math.Abs(r-rate) > 1e-6 {
				rt.Fatalf("row %d: %g m/min, want %g", i, r, rate)
			}
		}
	})
}
