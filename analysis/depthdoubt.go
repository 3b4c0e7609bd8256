package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/gas"
	"afterloop/analysis/hydro"
)

// DepthDoubt is why the depth, which follows from the pressure in use, is not to be
// taken as it stands.
type DepthDoubt struct {
	// AtLeast tells that the sensor in use stood at the end of its range, so that the
	// greatest depth is a lower bound; OtherDepthM is what OtherSensor shows.
	AtLeast     bool  `json:"at_least"`
	OtherSensor *int  `json:"other_sensor"`
	OtherDepthM Float `json:"other_max_depth_m"`
	// SurfaceBar is the pressure measured at the surface where it contradicts the one
	// in use, MaxDepthM and MeanDepthM are the depths with it; null where it does not.
	SurfaceBar Float `json:"measured_surface_bar"`
	MaxDepthM  Float `json:"max_depth_with_measured_m"`
	MeanDepthM Float `json:"mean_depth_with_measured_m"`
	// Presumed tells that the log holds no depth that says it was the surface.
	Presumed bool `json:"surface_presumed"`
}

// depthDoubt looks at the depth beside the other sensors and the measured surface.
func (b *bench) depthDoubt() {
	d := b.debrief.DepthPressure
	if d.DepthFrom != depthOfAmbient {
		return
	}
	x := DepthDoubt{OtherDepthM: unknown, SurfaceBar: unknown, MaxDepthM: unknown, MeanDepthM: unknown, Presumed: d.Surface.Presumed}
	if len(d.Sensors) > 1 && d.Sensors[0].SaturatesBar.Known() {
		x.AtLeast = true
		deepest := math.Inf(-1)
		for _, s := range d.Sensors[1:] {
			if v := float64(s.MaxBar); v > deepest {
				number := s.Number
				deepest, x.OtherSensor = v, &number
				x.OtherDepthM = Float(gas.Depth(float64(d.Surface.InUseBar), v, float64(d.DensityKgM3)))
			}
		}
	}
	if m, ok := d.Surface.measured(); ok && math.Abs(float64(m-d.Surface.InUseBar)) > b.p.Limits.SurfacePressureBar+tol {
		more := Float(gas.Depth(float64(m), float64(d.Surface.InUseBar), float64(d.DensityKgM3))) // by as much all depths are off
		x.SurfaceBar, x.MaxDepthM, x.MeanDepthM = m, b.debrief.Dive.MaxDepthM+more, b.debrief.Dive.MeanDepthM+more
	}
	if x.AtLeast || x.SurfaceBar.Known() {
		d.DepthDoubt = &x
	}
}

// depthWithMeasured says what the greatest depth would be with the measured surface.
func (b *bench) depthWithMeasured() string {
	x := b.debrief.DepthPressure.DepthDoubt
	if x == nil || !x.MaxDepthM.Known() {
		return ""
	}
	return fmt.Sprintf(" Depth follows from it: %.1f m at the deepest as it is, %.1f m with what was measured.", float64(b.debrief.Dive.MaxDepthM), float64(x.MaxDepthM))
}

// stoodS is for how long a sensor stood at the end of its range.
func (b *bench) stoodS(v []float64, end float64) float64 {
	if math.IsNaN(end) {
		return 0
	}
	near, stood := end-hydro.NearEnd(v), 0.0
	for i, p := range v {
		if p >= near {
			stood += rowSeconds(b.tS, b.gapAfter, i)
		}
	}
	return stood
}
