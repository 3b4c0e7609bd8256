package analysis

import (
	"fmt"
	"math"
	"testing"
)

// Without the unit's PO2 tracking is on the mid-value as the vote has it, in which a
// manual vote stands: 1.20 of cell 1 alone, and not 1.00, the median of both readings.
func TestTrackingWithoutUnitIsOnTheVote(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell2_vote,setpoint_bar").
		add(100, func(i int) string { return fmt.Sprintf("%d,20,1.20,0.80,manual_out,1.20", i) }).analyze(t)
	if d.Tracking == nil || d.Tracking.Source != "mid-value" || math.Abs(float64(d.Tracking.MAEBar)) > 1e-9 {
		t.Errorf("%+v", d.Tracking)
	}
}
