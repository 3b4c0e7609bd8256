package analysis

import "math"

// SeriesGas are the columns of the gas that was breathed and of pressures and depths
// against each other; nil where there is nothing to say.
type SeriesGas struct {
	// Fractions of the dry gas; nitrogen is the rest. Inspired fractions are these
	// times (P - pH2O)/P.
	DryO2, DryN2, DryHe []float64
	// GasDensityGL is at the reference temperature; GasDensityLowGL and GasDensityHighGL
	// are what earlier gas in the loop leaves open, nil where it makes no difference.
	GasDensityGL, GasDensityLowGL, GasDensityHighGL []float64
	// Narcotic depths without and with oxygen counted.
	NarcoticN2M, NarcoticO2N2M []float64
	// VapourBar is the water vapour of the inspired fractions.
	VapourBar float64
	// DepthDifferenceM is recorded depth less depth from pressure.
	DepthDifferenceM []float64
	// PressureDifferences are other pressure sensors less the one in use.
	PressureDifferences []SeriesPressure
}

// SeriesPressure is one pressure sensor less the one in use.
type SeriesPressure struct {
	Number, InUse int
	DifferenceBar []float64
}

// fillGasSeries adds the columns of gas and pressure.
func (b *bench) fillGasSeries(s *Series) {
	s.VapourBar = b.p.Gas.VapourBar
	if r := b.breathedRows; r != nil {
		s.DryO2, s.DryHe, s.DryN2 = r.o2, r.he, make([]float64, len(r.o2))
		for i := range s.DryN2 {
			s.DryN2[i] = r.mix(i).N2()
		}
		s.GasDensityGL, s.GasDensityLowGL, s.GasDensityHighGL = r.densityGL, r.densityLow, r.densityHigh
		s.NarcoticN2M, s.NarcoticO2N2M = r.narcoticN2, r.narcoticO2
	}
	s.DepthDifferenceM = b.pressureRows.depthM
	for k, p := range b.pressureRows.pairs {
		if countNaN(p.DifferenceBar) < len(p.DifferenceBar) {
			n := b.pressureRows.names[k]
			s.PressureDifferences = append(s.PressureDifferences, SeriesPressure{Number: n[1], InUse: n[0], DifferenceBar: p.DifferenceBar})
		}
	}
}

// InspiredFraction is the wet fraction of a dry one in row i, NaN where pressure is
// not known.
func (s *Series) InspiredFraction(dry []float64, i int) float64 {
	p := s.AmbientBar[i]
	if !(p > 0) {
		return math.NaN()
	}
	return dry[i] * math.Max(0, p-s.VapourBar) / p
}
