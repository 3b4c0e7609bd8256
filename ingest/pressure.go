package ingest

import (
	"fmt"

	"afterloop/analysis/gas"
)

// Where AmbientBar comes from.
const (
	AmbientMeasured      = "measured"
	AmbientPressureDepth = "pressure-depth"
	AmbientFromDepth     = "depth"
)

// setPressure settles depth and ambient pressure: what was measured beats what
// follows from something else, for each of the two.
func (rd *reader) setPressure(d *Dive) {
	depth := recorded(rd.t.single(depthQuantity))
	above := recorded(rd.t.single(pressureDepthQuantity))
	d.AmbientByNumber = numberedSeries(rd.t.numbered(ambientQuantity))
	measured := rd.measuredAmbient()
	surface, density := d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3
	switch {
	case measured != nil:
		d.AmbientBar, d.AmbientFrom = measured, AmbientMeasured
	case above != nil:
		d.AmbientBar, d.AmbientFrom = mapSeries(above, func(p float64) float64 { return surface + p }), AmbientPressureDepth
	default:
		d.AmbientFrom = AmbientFromDepth
		d.AmbientBar = rd.t.missingSeries()
		if depth != nil {
			d.AmbientBar = mapSeries(depth, func(z float64) float64 { return gas.Ambient(surface, z, density) })
		}
	}
	switch {
	case depth != nil:
		d.DepthM = depth
	case above != nil:
		d.DepthM = mapSeries(above, func(p float64) float64 { return gas.Depth(surface, surface+p, density) })
	default:
		d.DepthM = mapSeries(d.AmbientBar, func(p float64) float64 { return gas.Depth(surface, p, density) })
	}
	d.DepthStepM = rd.depthStep(d)
	rd.dropVacuum(d)
	if depth == nil {
		rd.dropImpossibleDepth(d)
	}
}

// recorded is the values of a column, nil where there is none or it is empty.
func recorded(c *column) []float64 {
	if c == nil || c.filled() == 0 {
		return nil
	}
	return c.values
}

func mapSeries(x []float64, f func(float64) float64) []float64 {
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = f(v)
	}
	return y
}

func (t *table) missingSeries() []float64 {
	return mapSeries(make([]float64, t.rows()), func(float64) float64 { return Missing() })
}

// measuredAmbient is ambient_bar, or the sensor with the lowest number.
func (rd *reader) measuredAmbient() []float64 {
	return rd.singleOrFirst(ambientQuantity)
}

// singleOrFirst is the column without a number, else the one with the lowest
// number that recorded anything.
func (rd *reader) singleOrFirst(q quantity) []float64 {
	if c := rd.t.single(q); recorded(c) != nil {
		return c.values
	}
	for _, c := range rd.t.numbered(q) {
		if values := recorded(c); values != nil {
			rd.problems.add(wholeFile, wholeFile, Problem{Line: c.line, Column: c.name, Read: c.name, Severity: Info,
				Code: "first-of-several", Treatment: "the one sensor that is used, the lowest in number"})
			return append([]float64{}, values...)
		}
	}
	return nil
}

// depthStep is the rounding of depth in metres, whichever column it came from.
func (rd *reader) depthStep(d *Dive) float64 {
	perBar := 1e5 / (d.Meta.WaterDensityKgM3 * gas.StandardGravity)
	if c := rd.t.single(depthQuantity); recorded(c) != nil {
		return c.step()
	}
	if c := rd.t.single(pressureDepthQuantity); recorded(c) != nil {
		return c.step() * perBar
	}
	if c := rd.t.single(ambientQuantity); recorded(c) != nil {
		return c.step() * perBar
	}
	return 0
}

// dropVacuum leaves out pressures that nobody was ever in.
func (rd *reader) dropVacuum(d *Dive) {
	for i, p := range d.AmbientBar {
		if !(p < minAmbientBar) {
			continue
		}
		rd.problems.add(rd.t.timeAt, i, Problem{Line: d.Line[i], Read: fmt.Sprintf("%.3f bar from depth and surface pressure", p), Severity: Warning,
			Code: "vacuum", Treatment: "not recorded, depth and pressure both", Want: fmt.Sprintf("an ambient pressure of at least %g bar", minAmbientBar)})
		d.AmbientBar[i], d.DepthM[i] = Missing(), Missing()
	}
	if recordedValues(d.AmbientBar) == 0 {
		d.AmbientFrom = AmbientFromDepth // of which nothing is left either
	}
}

// dropImpossibleDepth leaves out depths that follow from pressure and are
// beyond any dive: the surface pressure stated is then wrong.
func (rd *reader) dropImpossibleDepth(d *Dive) {
	for i, z := range d.DepthM {
		if !(z < minDepthM || z > maxDepthM) {
			continue
		}
		rd.problems.add(rd.t.timeAt, i, Problem{Line: d.Line[i], Read: fmt.Sprintf("%.1f m from pressure", z), Severity: Warning,
			Code: "impossible-depth", Treatment: "a depth that is not recorded; the pressure stays", Want: "a surface pressure that fits the pressures of the log"})
		d.DepthM[i] = Missing()
	}
}
