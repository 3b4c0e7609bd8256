package analysis

import (
	"fmt"
	"math"
	"sort"

	"afterloop/analysis/gas"
	"afterloop/analysis/hydro"
	"afterloop/ingest"
)

// leastAmbientBar is below what a person was ever in: ingest drops it from the pressure in use.
const leastAmbientBar = 0.05

// chooseSensor takes another pressure sensor where the one in use stands still at the
// end of its range, as a narrow one does under water while a wide one goes on. The
// whole column is taken, so that no step comes in where one sensor gives way to another.
// It stays as it is unless
//
//   - the other goes on while the one in use stands at its highest reading, and reads
//     higher there; where depth was recorded on its own, depth goes on there too
//   - the other holds at least 9 of 10 of its rows
//   - the two agree within the limit for sensors where the one in use is not at its end
//
// Of several the one that reads highest is taken. The dive that was read is left alone;
// said is empty where nothing changed.
func chooseSensor(d *ingest.Dive, p Parameters) (chosen *ingest.Dive, said string) {
	if d.AmbientFrom != ingest.AmbientMeasured || len(d.AmbientByNumber) == 0 {
		return d, ""
	}
	follows := depthFollows(d)
	best, top, end := -1, math.Inf(-1), math.NaN()
	for k, c := range d.AmbientByNumber {
		e := hydro.SaturatesAt(d.AmbientBar, c.Values, p.Pressures)
		if math.IsNaN(e) || !follows && !endsByDepth(d, p) || !standsIn(d.AmbientBar, c.Values, e, p) {
			continue
		}
		if m := highest(c.Values); m > top {
			best, top, end = k, m, e
		}
	}
	if best < 0 {
		return d, ""
	}
	out, c := *d, d.AmbientByNumber[best]
	out.AmbientBar = make([]float64, len(c.Values))
	for i, v := range c.Values {
		if out.AmbientBar[i] = v; v < leastAmbientBar {
			out.AmbientBar[i] = math.NaN()
		}
	}
	if follows {
		out.DepthM = make([]float64, len(c.Values))
		for i, v := range out.AmbientBar {
			out.DepthM[i] = gas.Depth(d.Meta.SurfacePressureBar, v, d.Meta.WaterDensityKgM3)
		}
	}
	was := ""
	for _, x := range d.AmbientByNumber {
		if was == "" && sameReadings(x.Values, d.AmbientBar) {
			was = fmt.Sprintf("ambient%d_bar", x.Number)
		}
	}
	if was == "" { // the column without a number is in no list as long as it is in use
		was = "ambient_bar"
		out.AmbientByNumber = append([]ingest.Numbered{{Number: 0, Values: d.AmbientBar}}, d.AmbientByNumber...)
	}
	return &out, fmt.Sprintf("The pressure in use is ambient%d_bar: %s stands still at %.2f bar, the end of its range, while ambient%d_bar goes on to %.2f bar.", c.Number, was, end, c.Number, top)
}

// endsByDepth tells whether the recorded depth goes on while the pressure stands at its end.
func endsByDepth(d *ingest.Dive, p Parameters) bool {
	other := make([]float64, len(d.DepthM))
	for i, z := range d.DepthM {
		other[i] = gas.Ambient(d.Meta.SurfacePressureBar, z, d.Meta.WaterDensityKgM3)
	}
	return !math.IsNaN(hydro.SaturatesAt(d.AmbientBar, other, p.Pressures))
}

// standsIn tells whether a column can stand in for the one in use, which ends at end.
func standsIn(inUse, other []float64, end float64, p Parameters) bool {
	var apart []float64
	near, held, both := end-hydro.NearEnd(inUse), 0, 0
	for i, v := range inUse {
		if math.IsNaN(v) {
			continue
		}
		held++
		if math.IsNaN(other[i]) {
			continue
		}
		both++
		if v < near {
			apart = append(apart, math.Abs(v-other[i]))
		}
	}
	if both*10 < held*9 || len(apart) == 0 || !(highest(other) > end+p.Pressures.SaturatedRangeBar) {
		return false
	}
	sort.Float64s(apart)
	l := p.PressureLimits
	return apart[len(apart)/2] <= math.Max(math.Max(l.SensorsBar, l.SensorsFraction*end), (hydro.Step(inUse)+hydro.Step(other))/2)+tol
}

func highest(v []float64) float64 {
	top := math.Inf(-1)
	for _, x := range v {
		if x > top {
			top = x
		}
	}
	return top
}
