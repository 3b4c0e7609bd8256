package report

import (
	"strings"
	"testing"

	"afterloop/analysis"
)

// TestDepthInDoubt: what speaks against a depth stands beside it, and nothing where
// nothing does.
func TestDepthInDoubt(t *testing.T) {
	none := analysis.Float(nan)
	two := 2
	d := &analysis.Debrief{Dive: analysis.DiveFacts{MaxDepthM: 9.8, MeanDepthM: 9},
		DepthPressure: &analysis.DepthPressure{Surface: analysis.SurfacePressure{InUseBar: 1.013, Assumed: true}}}
	for _, c := range []struct {
		doubt *analysis.DepthDoubt
		want  string
	}{
		{nil, "9.8 m"},
		{&analysis.DepthDoubt{AtLeast: true, OtherSensor: &two, OtherDepthM: 40.1, SurfaceBar: none, MaxDepthM: none, MeanDepthM: none},
			"at least 9.8 m (the pressure sensor in use ended there; sensor 2 shows 40.1 m)"},
		{&analysis.DepthDoubt{OtherDepthM: none, SurfaceBar: 0.701, MaxDepthM: 13, MeanDepthM: 12},
			"9.8 m (computed with 1.013 bar assumed; the log’s own pressure at the surface says 0.70 bar: 13.0 m with it)"},
	} {
		d.DepthPressure.DepthDoubt = c.doubt
		if got := deepestText(d); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
		if !strings.Contains(recorded(d), "deepest "+c.want) {
			t.Errorf("%q", recorded(d))
		}
	}
}

// TestSensorNotInUseThatStoodStill is said in words, not by a cell of the table alone.
func TestSensorNotInUseThatStoodStill(t *testing.T) {
	none := analysis.Float(nan)
	d := &analysis.DepthPressure{Sensors: []analysis.PressureSensor{{Number: 1, InUse: true, SaturatesBar: none}, {Number: 2, SaturatesBar: 3, SaturatedS: 1740}}}
	f := endedFacts(d)
	if len(f) != 1 || f[0].Name != "Sensor 2, not in use" || f[0].Value != "stood still at 3.000 bar for 29 min" {
		t.Errorf("%+v", f)
	}
}
