package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/gas"
	"afterloop/analysis/hydro"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// runSensitivity works out what each of the usual errors of pressure would change.
func (b *bench) runSensitivity() {
	d := b.debrief.DepthPressure
	base, rows := b.sensitivityBasis()
	d.SensitivityBasis = base
	d.Sensitivity = []PressureFault{}
	for _, f := range hydro.Usual() {
		d.Sensitivity = append(d.Sensitivity, b.faultEffect(f, base, rows, d.DepthFrom))
	}
}

// sensitivityRows are the rows and figures that an error of pressure is tried on.
type sensitivityRows struct {
	deepest, densest int // -1 without
	stopBar          float64
	knownF, knownBar float64 // oxygen fraction and pressure of the known gas with the largest expected value
	source           string  // of the headline dose
}

// sensitivityBasis gathers the figures of this dive that pressure enters.
func (b *bench) sensitivityBasis() (SensitivityBasis, sensitivityRows) {
	s := SensitivityBasis{AtS: unknown, AmbientBar: unknown, LoopO2Fraction: unknown, KnownGasBar: unknown, DensityGL: unknown,
		CNSPercent: b.debrief.Exposure.Headline.CNSPercent, OTU: b.debrief.Exposure.Headline.OTU}
	r := sensitivityRows{deepest: -1, densest: -1, knownBar: math.NaN(), source: b.debrief.Exposure.Headline.Source}
	for i, p := range b.dive.AmbientBar {
		if !math.IsNaN(p) && (r.deepest < 0 || p > b.dive.AmbientBar[r.deepest]) {
			r.deepest = i
		}
		if b.breathedRows != nil && b.under[i] && !math.IsNaN(b.breathedRows.densityGL[i]) && (r.densest < 0 || b.breathedRows.densityGL[i] > b.breathedRows.densityGL[r.densest]) {
			r.densest = i
		}
	}
	if i := r.deepest; i >= 0 {
		s.AtS, s.AmbientBar = Float(b.tS[i]), Float(b.dive.AmbientBar[i])
		if b.onLoop[i] {
			s.LoopO2Fraction = Float(b.po2At(i) / b.dryBar(i))
		}
	}
	if r.densest >= 0 {
		s.DensityGL = Float(b.breathedRows.densityGL[r.densest])
	}
	z, p, set := b.stopOf()
	r.stopBar = p
	s.StopDepthM, s.StopDryBar, s.StopSetPoint = Float(z), Float(p-b.p.Gas.VapourBar), Float(set)
	for _, k := range b.debrief.KnownGas {
		if p := b.dive.AmbientBar[b.rowAt(float64(k.AtS))]; k.Assessed && !(k.ExpectedBar <= s.KnownGasBar) {
			s.KnownGasBar, r.knownBar, r.knownF = k.ExpectedBar, p, float64(k.ExpectedHigh)/p
		}
	}
	return s, r
}

// po2At is the PO2 that figures rest on: the estimate, else the unit's or the mid-value.
func (b *bench) po2At(i int) float64 {
	if b.diag != nil {
		return b.diag.estimate.PO2Bar[i]
	}
	return b.best[i]
}

// faultEffect is what changes if the true pressure is higher by f than the one in use.
func (b *bench) faultEffect(f hydro.Fault, base SensitivityBasis, r sensitivityRows, depthFrom string) PressureFault {
	surface, fromDepth := b.dive.Meta.SurfacePressureBar, b.dive.AmbientFrom == ingest.AmbientFromDepth
	higher := func(p float64) float64 { return f.Of(p, surface, fromDepth) }
	out := PressureFault{Kind: f.Kind, Amount: Float(f.Amount), AmbientBar: unknown, LoopO2Fraction: unknown, DensityGL: unknown, DepthM: 0,
		StopDryBar: Float(higher(r.stopBar) - r.stopBar), KnownGasBar: Float(r.knownF * (higher(r.knownBar) - r.knownBar)), CellGain: Float(f.Gain(surface))}
	if i := r.deepest; i >= 0 {
		p, q := b.dive.AmbientBar[i], higher(b.dive.AmbientBar[i])
		out.AmbientBar = Float(q - p)
		if base.LoopO2Fraction.Known() {
			out.LoopO2Fraction = Float(b.po2At(i)/gas.Dry(q, b.p.Gas.VapourBar)) - base.LoopO2Fraction
		}
		if depthFrom != depthRecorded {
			out.DepthM = Float(b.deeper(f, p, q))
		}
	}
	if i := r.densest; i >= 0 {
		out.DensityGL = Float(b.densityAt(i, higher(b.dive.AmbientBar[i]))) - base.DensityGL
	}
	out.CNSPercent, out.OTU = b.doseChange(r.source, base, 1, higher)
	out.CalibratedCNS, out.CalibratedOTU = out.CNSPercent, out.OTU
	if g := f.Gain(surface); g != 1 {
		out.CalibratedCNS, out.CalibratedOTU = b.doseChange(r.source, base, g, higher)
	}
	return out
}

// deeper is the change of depth where it follows from the pressure p that is truly q:
// a density error makes it shallower in inverse proportion.
func (b *bench) deeper(f hydro.Fault, p, q float64) float64 {
	m := b.dive.Meta
	density := m.WaterDensityKgM3
	if f.Kind == hydro.Density {
		density *= 1 + f.Amount
	}
	return gas.Depth(m.SurfacePressureBar, q, density) - gas.Depth(m.SurfacePressureBar, p, m.WaterDensityKgM3)
}

// densityAt is the density of row i's gas at another pressure: on the loop the oxygen
// pressure stays, which the cells measure, and on open circuit the fraction.
func (b *bench) densityAt(i int, pBar float64) float64 {
	x := b.breathedRows.mix(i)
	if b.onLoop[i] {
		x = gas.LoopMix(b.breathedRows.po2[i], gas.Dry(pBar, b.p.Gas.VapourBar), b.dive.Diluent[i].HeOfInert())
	}
	return gas.Density(x, pBar, b.p.BreathedGas.ReferenceTempC)
}

// doseChange is how the headline's doses change if the cells read too low by the
// factor gain and the pressure on open circuit was higher.
func (b *bench) doseChange(source string, base SensitivityBasis, gain float64, higher func(float64) float64) (cns, otu Float) {
	v, ok := b.breathed[source]
	if !ok || !base.CNSPercent.Known() {
		return unknown, unknown
	}
	if gain == 1 && !slices.Contains(b.onLoop, false) {
		return 0, 0 // the cells measure PO2 themselves: no pressure is in it
	}
	w := make([]float64, len(v))
	for i, x := range v {
		switch {
		case b.onLoop[i]:
			w[i] = x * gain
		default:
			w[i] = x + b.dive.OpenGas[i].O2*(higher(b.dive.AmbientBar[i])-b.dive.AmbientBar[i])
		}
	}
	r := b.integrate(w, false)
	return Float(100*r.Total.CNSStep) - base.CNSPercent, Float(r.Total.OTU) - base.OTU
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
