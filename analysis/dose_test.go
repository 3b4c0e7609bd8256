package analysis

import (
	"fmt"
	"math"
	"testing"
)

// Of a record longer than a day the 24-hour figure is that of the worst 24 hours.
// Two times an hour at 1.0 bar, 30 hours apart: 60/300 of the limit, 20 % (NOAA:
// 300 min a day at 1.0), and not 40.
func TestCNS24hOfALongRecord(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,po2_bar").add(32*60, func(i int) string {
		po2 := 0.4
		if i < 60 || i >= 31*60 {
			po2 = 1
		}
		return fmt.Sprintf("%d,10,%.2f,%.2f", i*60, po2, po2)
	}).analyze(t)
	s := d.Exposure.BySource[0]
	// An hour at 1.0, and at its end a ramp of a minute, of which 5/6 lie above 0.5 bar.
	ramp := 100.0 * (1.0 / 6) * (1.0/300 + 1.0/360 + 1.0/450 + 1.0/570 + 1.0/720)
	if math.Abs(float64(s.CNS24hPercent)-(100*59.0/300+ramp)) > 1e-4 {
		t.Errorf("%s: %v %%", s.Source, s.CNS24hPercent)
	}
}
