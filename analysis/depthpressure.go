package analysis

import (
	"math"
	"slices"
	"strings"

	"afterloop/analysis/gas"
	"afterloop/analysis/hydro"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// pressureRows are the differences of what was recorded twice.
type pressureRows struct {
	depthM []float64 // recorded depth less depth from pressure; nil where one of them is not recorded
	pairs  []hydro.Pair
	names  [][2]int // the numbers of the sensors of each pair
}

// Where DepthM comes from.
const (
	depthRecorded  = "depth"
	depthOfUnits   = "pressure-depth"
	depthOfAmbient = "pressure"
)

// runPressures compares pressures and depths with each other, and works out what an
// error in them would change.
func (b *bench) runPressures() {
	m := b.dive.Meta
	d := &DepthPressure{PressureFrom: b.dive.AmbientFrom, DepthFrom: b.depthFrom(), DensityKgM3: Float(m.WaterDensityKgM3), DensityAssumed: m.DensityAssumed,
		ImpliedDensity: noInterval("no measured pressure in the log"), Sensors: []PressureSensor{}, Pairs: []PressurePair{}}
	b.debrief.DepthPressure = d
	d.Surface = b.surfacePressure(d.DepthFrom)
	d.Altitude = b.altitude(d.Surface)
	b.agreement(d)
	b.sensors(d)
	b.sensitivity(d)
}

func noInterval(reason string) Interval { return Interval{unknown, unknown, unknown, reason} }

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
	case b.depthFollows():
		return depthOfAmbient
	case b.onlyPressureDepth():
		return depthOfUnits
	}
	return depthRecorded
}

// depthFollows tells whether every depth is the one that follows from its pressure.
func (b *bench) depthFollows() bool {
	m := b.dive.Meta
	for i, z := range b.dive.DepthM {
		if d := z - gas.Depth(m.SurfacePressureBar, b.dive.AmbientBar[i], m.WaterDensityKgM3); !math.IsNaN(z) && !(math.Abs(d) <= 1e-9) {
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
	diff := make([]float64, len(b.tS))
	for i, z := range b.dive.DepthM {
		diff[i] = z - gas.Depth(float64(surface), b.dive.AmbientBar[i], density)
	}
	b.pressureRows.depthM = diff
	c := hydro.Compare(diff)
	if c.Rows == 0 {
		b.pressureRows.depthM = nil
		d.ImpliedDensity = noInterval("no row holds both depth and pressure")
		return
	}
	implied, zero := hydro.ImpliedDensity(b.dive.DepthM, b.dive.AmbientBar, b.p.Pressures)
	d.Agreement = &DepthAgreement{MedianM: Float(c.Median), SpreadM: Float(c.Spread), Worst: at(diff, b.tS, c.WorstRow, "m"), Rows: c.Rows,
		SurfaceBar: surface, DensityKgM3: Float(density), LeftM: Float(b.left95(implied.Value, zero.Value))}
	if d.ImpliedDensity = intervalOf(implied); d.DepthFrom == depthOfUnits {
		d.ImpliedDensity = noInterval("the recorded depth is in metres or feet of sea water, which are units of pressure: no density is in it")
	}
}

// left95 is what 95 of 100 rows differ by at most once density and surface pressure fit.
func (b *bench) left95(density, surface float64) float64 {
	if math.IsNaN(density) {
		return math.NaN()
	}
	var left []float64
	for i, z := range b.dive.DepthM {
		if v := math.Abs(z - gas.Depth(surface, b.dive.AmbientBar[i], density)); !math.IsNaN(v) {
			left = append(left, v)
		}
	}
	slices.Sort(left)
	return left[min(len(left)*95/100, len(left)-1)]
}

// sensors lists the columns of ambient pressure and compares each with the one in use.
func (b *bench) sensors(d *DepthPressure) {
	cols := b.pressureColumns()
	if len(cols) == 0 {
		return
	}
	saturated := make([]float64, len(cols))
	for k := range cols {
		saturated[k] = math.NaN()
	}
	for k := 1; k < len(cols); k++ {
		p := hydro.ComparePair(cols[0].Values, cols[k].Values, b.p.Pressures)
		if saturated[k] = p.SaturatedB; !(p.SaturatedA >= saturated[0]) && !math.IsNaN(p.SaturatedA) {
			saturated[0] = p.SaturatedA
		}
		b.pressureRows.pairs = append(b.pressureRows.pairs, p)
		b.pressureRows.names = append(b.pressureRows.names, [2]int{cols[0].Number, cols[k].Number})
		d.Pairs = append(d.Pairs, b.pressurePair(cols[0].Number, cols[k].Number, p))
	}
	for k, c := range cols {
		d.Sensors = append(d.Sensors, sensor(c, k == 0, saturated[k]))
	}
}

// pressureColumns are the recorded columns of ambient pressure, the one in use first;
// 0 is the number of ambient_bar.
func (b *bench) pressureColumns() []ingest.Numbered {
	if b.dive.AmbientFrom != ingest.AmbientMeasured {
		return nil
	}
	var out, others []ingest.Numbered
	for _, c := range b.dive.AmbientByNumber {
		switch {
		case countNaN(c.Values) == len(c.Values):
		case out == nil && sameReadings(c.Values, b.dive.AmbientBar):
			out = append(out, c)
		default:
			others = append(others, c)
		}
	}
	if out == nil {
		out = append(out, ingest.Numbered{Number: 0, Values: b.dive.AmbientBar})
	}
	return append(out, others...)
}

// sameReadings tells whether two columns hold the same; a row that only one holds, as
// after a pressure that nobody was ever in was left out, is no difference.
func sameReadings(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] && !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			return false
		}
	}
	return true
}

func sensor(c ingest.Numbered, inUse bool, saturated float64) PressureSensor {
	s := PressureSensor{Number: c.Number, InUse: inUse, StepBar: Float(hydro.Step(c.Values)), MinBar: unknown, MaxBar: unknown, SaturatesBar: Float(saturated)}
	for _, v := range c.Values {
		if math.IsNaN(v) {
			continue
		}
		if s.Rows++; !(float64(s.MinBar) <= v) {
			s.MinBar = Float(v)
		}
		if !(float64(s.MaxBar) >= v) {
			s.MaxBar = Float(v)
		}
	}
	if s.StepBar == 0 {
		s.StepBar = unknown
	}
	return s
}

func (b *bench) pressurePair(a, c int, p hydro.Pair) PressurePair {
	out := PressurePair{A: a, B: c, MedianBar: Float(p.Median), SpreadBar: Float(p.Spread), Worst: noValue("bar"), OffsetBar: intervalOf(p.Offset), Scale: intervalOf(p.Scale)}
	if p.WorstRow >= 0 {
		out.Worst = at(p.DifferenceBar, b.tS, p.WorstRow, "bar")
	}
	switch {
	case p.StepA > p.StepB*1.01:
		out.Coarser = &a
	case p.StepB > p.StepA*1.01:
		out.Coarser = &c
	}
	out.DisagreeS = Float(totalSeconds(b.disagreeing(p)))
	return out
}

// disagreeing are the stretches in which two sensors differ by more than the limit.
func (b *bench) disagreeing(p hydro.Pair) []span {
	return spansWhere(b.tS, b.gapAfter, func(i int) bool { return math.Abs(p.DifferenceBar[i]) > b.sensorLimit(p, i)+tol })
}

// sensorLimit is how far two sensors may differ in row i.
func (b *bench) sensorLimit(p hydro.Pair, i int) float64 {
	l := b.p.PressureLimits
	return math.Max(math.Max(l.SensorsBar, l.SensorsFraction*b.dive.AmbientBar[i]), (p.StepA+p.StepB)/2)
}

// stopOf is the shallowest stop: its median depth and pressure and the set point in force.
func (b *bench) stopOf() (depthM, ambientBar, setPoint float64) {
	depthM, ambientBar, setPoint = math.NaN(), math.NaN(), math.NaN()
	for _, s := range tracking.PhaseSpans(b.tS, b.phases, b.gapAfter) {
		if s.Phase != tracking.Stop {
			continue
		}
		from, to := b.rowAt(s.FromS), b.rowAt(s.ToS)
		p := medianOf(b.dive.AmbientBar[from:min(to+1, len(b.tS))])
		if p < ambientBar || math.IsNaN(ambientBar) {
			depthM, ambientBar, setPoint = math.NaN(), p, math.NaN()
			if b.dive.DepthM != nil {
				depthM = medianOf(b.dive.DepthM[from:min(to+1, len(b.tS))])
			}
			if b.dive.SetPointBar != nil {
				setPoint = medianOf(b.dive.SetPointBar[from:min(to+1, len(b.tS))])
			}
		}
	}
	return depthM, ambientBar, setPoint
}
