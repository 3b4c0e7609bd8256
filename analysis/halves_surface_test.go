package analysis

import "testing"

// How long a half showed depth at the surface is told in seconds, whatever the rows.
func TestHalfAtSurfaceCountsTime(t *testing.T) {
	for _, c := range []struct {
		everyS, lastsS float64
		want           int
	}{{0.1, 10, -1}, {0.1, 40, 1}, {1, 20, -1}, {1, 40, 1}, {10, 60, 1}} {
		b := &bench{p: DefaultParameters(), halves: []halfRecord{{letter: "A"}, {letter: "B"}}}
		var d []float64
		for at := 0.0; at <= c.lastsS; at += c.everyS {
			b.tS, d = append(b.tS, at), append(d, 3)
			b.halves[0].depthM, b.halves[1].depthM = append(b.halves[0].depthM, 3), append(b.halves[1].depthM, 0)
		}
		b.gapAfter = make([]bool, len(b.tS))
		// Half A is off: the one that is right is the other.
		if right, _ := b.halfAtSurface(span{}, d); right != c.want {
			t.Errorf("%g s in rows %g s apart: half %d, want %d", c.lastsS, c.everyS, right, c.want)
		}
	}
}
