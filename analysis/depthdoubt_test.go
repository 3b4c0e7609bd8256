package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"afterloop/analysis/gas"
)

// TestDepthByAnotherSurface: a lake at 3000 m whose log states no surface pressure.
// The depth that follows from 1.013 bar is off by 0.31 bar of water; it is said beside
// it, with the depth by what was measured and how to use that.
func TestDepthByAnotherSurface(t *testing.T) {
	for _, c := range []struct {
		name, stated string
		doubted      bool
	}{{"none stated", "", true}, {"another stated", "surface_pressure_bar: 1.013", true}, {"as measured", "surface_pressure_bar: 0.701", false}} {
		meta := []string{"water: fresh"}
		if c.stated != "" {
			meta = append(meta, c.stated)
		}
		d := pressureLog("ambient_bar", func(i int) string { return fmt.Sprintf("%.4f", gas.Ambient(0.701, dipM(i), 1000)) }, meta...).analyze(t)
		x := d.DepthPressure.DepthDoubt
		if (x != nil) != c.doubted {
			t.Fatalf("%s: %+v", c.name, x)
		}
		if x == nil {
			none(t, d, "surface-pressure")
			continue
		}
		deepest := 0.0
		for i := 0; i < 5000; i++ {
			deepest = math.Max(deepest, dipM(i))
		}
		if math.Abs(float64(x.MaxDepthM)-deepest) > 0.05 || math.Abs(float64(d.Dive.MaxDepthM)-deepest+0.312e5/9806.65) > 0.05 || x.AtLeast || !x.Presumed {
			t.Errorf("%s: %.2f m and %+v, for %.2f m", c.name, float64(d.Dive.MaxDepthM), x, deepest)
		}
		f := one(t, d, "surface-pressure")
		if !strings.Contains(f.Observed, `"# surface_pressure_bar: 0.701"`) || !strings.Contains(f.Observed, fmt.Sprintf("%.1f m with what was measured", deepest)) || !strings.Contains(f.Advice.Diver, "how high the place lies") {
			t.Errorf("%s: %s %s", c.name, f.Observed, f.Advice.Diver)
		}
	}
}

// TestDepthOfAnEndedSensor: where the sensor in use stood at its end and no other
// could take its place, the depth is a lower bound; one not in use is only named.
func TestDepthOfAnEndedSensor(t *testing.T) {
	log := func(a, b func(p float64) float64) *Debrief {
		return pressureLog("ambient1_bar,ambient2_bar", func(i int) string {
			p := gas.Ambient(1.013, dipM(i), 1025)
			return fmt.Sprintf("%.4f,%.4f", a(p), b(p))
		}, "surface_pressure_bar: 1.013", "water: salt").analyze(t)
	}
	same := func(p float64) float64 { return p }
	stops := func(p float64) float64 { return math.Min(p, 2) }
	x := log(stops, func(p float64) float64 { return p + 0.3 }).DepthPressure
	if x.DepthDoubt == nil || !x.DepthDoubt.AtLeast || x.DepthDoubt.OtherSensor == nil || *x.DepthDoubt.OtherSensor != 2 || !(x.DepthDoubt.OtherDepthM > 12) {
		t.Errorf("%+v", x.DepthDoubt)
	}
	x = log(same, stops).DepthPressure
	if x.DepthDoubt != nil {
		t.Errorf("%+v", x.DepthDoubt)
	}
	if s := x.Sensors[1]; !(s.SaturatedS > 60) || math.Abs(float64(s.SaturatesBar)-2) > 1e-9 || x.Sensors[0].SaturatedS != 0 {
		t.Errorf("%+v", x.Sensors)
	}
}
