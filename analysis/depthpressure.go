package analysis

import (
	"math"
	"slices"
	"strings"

	"afterloop/analysis/gas"
	"afterloop/analysis/hydro"
	"afterloop/ingest"
)

// pressureRows are the differences of what was recorded twice.
type pressureRows struct {
	depthM []float64 // recorded depth less depth from pressure; nil where one of them is not recorded
	pairs  []hydro.Pair
	names  [][2]int // the numbers of the sensors of each pair
	// ended is true on rows in which the pressure in use stands at the end of its
	// sensor's range: how deep it was there is not known. nil without such rows.
	ended []bool
}

// Where DepthM comes from.
const (
	depthRecorded  = "depth"
	depthOfUnits   = "pressure-depth"
	depthOfAmbient = "pressure"
)

// runPressures compares pressures and depths with each other.
func (b *bench) runPressures() {
	m := b.dive.Meta
	d := &DepthPressure{PressureFrom: b.dive.AmbientFrom, DepthFrom: b.depthFrom(), DensityKgM3: Float(m.WaterDensityKgM3), DensityAssumed: m.DensityAssumed,
		ImpliedDensity: noInterval("no measured pressure in the log"), Sensors: []PressureSensor{}, Pairs: []PressurePair{}}
	b.debrief.DepthPressure = d
	d.Surface = b.surfacePressure(d.DepthFrom)
	d.Altitude = b.altitude(d.Surface)
	b.sensors(d)
	b.agreement(d)
	b.depthDoubt()
}

func intervalOf(x hydro.Interval) Interval {
	return Interval{Float(x.Value), Float(x.Low), Float(x.High), x.Reason}
}

// depthFrom says where the depth comes from. A depth that follows from the recorded
// pressure row by row is no second witness, whatever the file called it.
func (b *bench) depthFrom() string {
	switch {
	case b.dive.AmbientFrom == ingest.AmbientPressureDepth:
		return depthOfUnits
	case b.dive.AmbientFrom != ingest.AmbientMeasured:
		return depthRecorded
	case depthFollows(b.dive):
		return depthOfAmbient
	case b.onlyPressureDepth():
		return depthOfUnits
	}
	return depthRecorded
}

// depthFollows tells whether every depth is the one that follows from its pressure.
func depthFollows(d *ingest.Dive) bool {
	m := d.Meta
	for i, z := range d.DepthM {
		if off := z - gas.Depth(m.SurfacePressureBar, d.AmbientBar[i], m.WaterDensityKgM3); !math.IsNaN(z) && !(math.Abs(off) <= 1e-9) {
			return false
		}
	}
	return true
}

// onlyPressureDepth tells whether the file's depth is in metres or feet of sea water.
func (b *bench) onlyPressureDepth() bool {
	units := false
	for _, c := range b.dive.Columns {
		switch strings.ToLower(strings.TrimSpace(c.Name)) {
		case "depth_msw", "depth_fsw":
			units = true
		case "depth_m", "depth_ft":
			return false
		}
	}
	return units
}

// surfacePressure reads the pressure at the surface before and after the dive.
func (b *bench) surfacePressure(depthFrom string) SurfacePressure {
	m := b.dive.Meta
	s := SurfacePressure{InUseBar: Float(m.SurfacePressureBar), Assumed: m.SurfaceAssumed, Before: SurfaceReading{unknown, unknown, unknown, unknown, unknown},
		After: SurfaceReading{unknown, unknown, unknown, unknown, unknown}, DriftBar: noInterval("no measured pressure in the log")}
	if b.dive.AmbientFrom != ingest.AmbientMeasured {
		return s
	}
	var r hydro.Surface
	if depthFrom == depthOfAmbient {
		r = hydro.PresumeSurface(b.tS, b.dive.AmbientBar, b.p.Pressures)
	} else {
		at := make([]bool, len(b.tS))
		for i := range at {
			at[i] = !b.under[i] && math.Abs(b.depthAt(i)) < atSurfaceM
		}
		r = hydro.ReadSurface(b.tS, b.dive.AmbientBar, at, b.under, b.p.Pressures)
	}
	s.Before, s.After, s.DriftBar, s.Presumed = b.surfaceReading(r.Before), b.surfaceReading(r.After), intervalOf(r.Drift), r.Presumed
	return s
}

// atSurfaceM is the depth within which a row counts as at the surface for pressure. Ours: 0.03 bar.
const atSurfaceM = 0.3

func (b *bench) surfaceReading(r hydro.SurfaceReading) SurfaceReading {
	s := SurfaceReading{Float(r.Bar), Float(r.Low), Float(r.High), unknown, unknown}
	if !math.IsNaN(r.Bar) {
		s.FromS, s.ToS = Float(b.tS[r.FromRow]), Float(b.tS[r.ToRow])
	}
	return s
}

// measured is the surface pressure that was measured: before the dive, else after it.
func (s SurfacePressure) measured() (Float, bool) {
	if s.Before.Bar.Known() {
		return s.Before.Bar, true
	}
	return s.After.Bar, s.After.Bar.Known()
}

// altitude is the altitude by the standard atmosphere, from what was measured at the
// surface, else from what the log states.
func (b *bench) altitude(s SurfacePressure) AltitudeEstimate {
	w := b.p.Pressures.WeatherBar
	a := AltitudeEstimate{M: noInterval("the log states no surface pressure, and none was measured"), WeatherBar: Float(w)}
	p, ok := s.measured()
	switch {
	case ok:
		a.From = "measured"
	case !s.Assumed:
		a.From, p = "stated", s.InUseBar
	default:
		return a
	}
	a.M = intervalOf(hydro.Altitude(float64(p), w))
	return a
}

// agreement compares recorded depth with recorded pressure. The surface pressure is
// the one measured there where it was, so that a wrong one in the log is told once,
// by its own check.
func (b *bench) agreement(d *DepthPressure) {
	if b.dive.AmbientFrom != ingest.AmbientMeasured {
		return
	}
	if d.DepthFrom == depthOfAmbient {
		d.ImpliedDensity = noInterval("no depth of its own was recorded: what there is follows from the recorded pressure")
		return
	}
	surface := d.Surface.InUseBar
	if p, ok := d.Surface.measured(); ok {
		surface = p
	}
	density := b.dive.Meta.WaterDensityKgM3
	end := b.endByDepth()
	diff, pressure := make([]float64, len(b.tS)), make([]float64, len(b.tS))
	for i, z := range b.dive.DepthM {
		pressure[i] = b.pressureAt(i)
		diff[i] = z - gas.Depth(float64(surface), pressure[i], density)
	}
	b.pressureRows.depthM = diff
	c := hydro.Compare(diff)
	if c.Rows == 0 {
		b.pressureRows.depthM = nil
		d.ImpliedDensity = noInterval("no row holds both depth and pressure")
		return
	}
	implied, zero := hydro.ImpliedDensity(b.dive.DepthM, pressure, b.p.Pressures)
	d.Agreement = &DepthAgreement{MedianM: Float(c.Median), SpreadM: Float(c.Spread), Worst: at(diff, b.tS, c.WorstRow, "m"), Rows: c.Rows,
		SurfaceBar: surface, DensityKgM3: Float(density), LeftM: Float(b.left95(implied.Value, zero.Value)), PressureEndsBar: Float(end)}
	if d.ImpliedDensity = intervalOf(implied); d.DepthFrom == depthOfUnits {
		d.ImpliedDensity = noInterval("the recorded depth is in metres or feet of sea water, which are units of pressure: no density is in it")
	}
}

// endByDepth is the reading at which the pressure in use stands still while depth
// goes on, and marks its rows; NaN where it does not.
func (b *bench) endByDepth() float64 {
	m := b.dive.Meta
	other := make([]float64, len(b.tS))
	for i, z := range b.dive.DepthM {
		other[i] = gas.Ambient(m.SurfacePressureBar, z, m.WaterDensityKgM3)
	}
	end := hydro.SaturatesAt(b.dive.AmbientBar, other, b.p.Pressures)
	b.markEnded(end)
	return end
}

// markEnded marks the rows in which the pressure in use stands at the end of its range.
func (b *bench) markEnded(end float64) {
	if math.IsNaN(end) {
		return
	}
	if b.pressureRows.ended == nil {
		b.pressureRows.ended = make([]bool, len(b.tS))
	}
	near := end - hydro.NearEnd(b.dive.AmbientBar)
	for i, p := range b.dive.AmbientBar {
		b.pressureRows.ended[i] = b.pressureRows.ended[i] || p >= near
	}
}

// pressureAt is the pressure in use in row i, NaN where its sensor stood at the end of
// its range.
func (b *bench) pressureAt(i int) float64 {
	if b.pressureRows.ended != nil && b.pressureRows.ended[i] {
		return math.NaN()
	}
	return b.dive.AmbientBar[i]
}

// left95 is what 95 of 100 rows differ by at most once density and surface pressure fit.
func (b *bench) left95(density, surface float64) float64 {
	if math.IsNaN(density) {
		return math.NaN()
	}
	var left []float64
	for i, z := range b.dive.DepthM {
		if v := math.Abs(z - gas.Depth(surface, b.pressureAt(i), density)); !math.IsNaN(v) {
			left = append(left, v)
		}
	}
	slices.Sort(left)
	return left[min(len(left)*95/100, len(left)-1)]
}
