package analysis

import (
	"fmt"
	"strings"
	"testing"
)

// Texts that stand still name limits by their figures. Whoever changes a default has
// to change them too: a report that states another limit than it used is wrong.
func TestTextsNameTheDefaults(t *testing.T) {
	p := DefaultParameters()
	said := map[string]string{}
	for _, d := range Definitions() {
		said[d.ID] = d.Text
	}
	for name, k := range kinds() {
		said[name] = k.wouldChange
	}
	for id, figures := range map[string][]string{
		"setpoint-not-held":  {fmt.Sprintf("within %s", bar(p.Tracking.NotHeldBar)), map[bool]string{true: "a minute"}[p.Tracking.NotHeldS == 60]},
		"oscillation":        {fmt.Sprintf("less than %g bar s", p.Tracking.HalfWaveBarS)},
		"sluggish":           {fmt.Sprintf("within %s", bar(p.Tracking.SettleBar)), fmt.Sprintf("in %g s", p.Tracking.SluggishS)},
		"overshoot":          {"at most " + bar(p.Tracking.OvershootBar)},
		"slow-cell":          {fmt.Sprintf("less than %g s", p.Cell.SlowT90S)},
		"settled":            {fmt.Sprintf("within %s of it for %g s", bar(p.Tracking.SettleBar), p.Tracking.SettleForS)},
		"minutes-to-hypoxia": {bar(p.Injection.HypoxiaBar)},
		"phase": {fmt.Sprintf("over %g s", p.Tracking.RateWindowS), fmt.Sprintf("descent above %g m/min", p.Tracking.DescentMMin),
			fmt.Sprintf("ascent below -%g m/min", p.Tracking.AscentMMin), fmt.Sprintf("%g %% of the greatest depth", 100*p.Tracking.StopDepthFraction)},
	} {
		for _, f := range figures {
			if f == "" || !strings.Contains(said[id], f) {
				t.Errorf("%s: %q does not name %q", id, said[id], f)
			}
		}
	}
}
