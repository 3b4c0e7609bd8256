package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestFlushIsNoLapseOfControl: PO2 that falls with a recorded diluent flush and is
// made up for is a note; without the record of it, or if it lasts, it is a caution;
// and oxygen let in explains no PO2 below the set point.
func TestFlushIsNoLapseOfControl(t *testing.T) {
	dip := func(event string, lastS int) *testLog {
		return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar,setpoint_bar,event").
			add(1200, func(i int) string {
				p, e := 1.30, ""
				if i == 600 {
					e = event
				}
				if since := i - 600; since >= 0 {
					p -= 0.5 * math.Exp(-float64(since)/float64(lastS))
				}
				return fmt.Sprintf("%d,20.0,%.3f,%.3f,%.3f,%.3f,1.30,%s", i, p, p, p, p, e)
			})
	}
	for _, c := range []struct {
		event string
		lastS int // time constant of what comes back
		want  Severity
	}{{"diluent_flush", 60, Note}, {"manual_diluent", 60, Note}, {"", 60, Caution}, {"oxygen_flush", 60, Caution}, {"diluent_flush", 200, Caution}} {
		f := one(t, dip(c.event, c.lastS).analyze(t), "setpoint-not-held")
		if f.Severity != c.want {
			t.Errorf("%q, %d s: %s, want %s", c.event, c.lastS, f.Severity, c.want)
		}
		if told := strings.Contains(strings.Join(f.Evidence, " "), "gas let in by hand"); told != (c.want == Note) {
			t.Errorf("%q, %d s: evidence %q", c.event, c.lastS, f.Evidence)
		}
	}
}
