package analysis

import (
	"math"

	"afterloop/analysis/gas"
)

// breathedRows are the columns of the gas that was breathed.
type breathedRows struct {
	o2, he []float64 // fractions of the dry gas; NaN where it is not known
	// po2 is the oxygen that the mix on the loop rests on.
	po2                     []float64
	densityGL               []float64
	densityLow, densityHigh []float64 // nil where the loop's past makes no difference
	narcoticN2, narcoticO2  []float64 // metres
	leastHe                 []float64 // share of helium in the inert part, if no more diluent came in than must
	po2From                 string
}

// mix is the dry gas of row i.
func (r *breathedRows) mix(i int) gas.Mix { return gas.Mix{O2: r.o2[i], He: r.he[i]} }

// smallGL is a difference of density that nobody could act on. Ours.
const smallGL = 0.02

// runBreathed fills the columns of the gas that was breathed, and its figures.
func (b *bench) runBreathed() {
	r := b.mixRows()
	n := len(b.tS)
	m, q := b.dive.Meta, b.p.BreathedGas
	r.densityGL, r.narcoticN2, r.narcoticO2 = make([]float64, n), make([]float64, n), make([]float64, n)
	r.densityLow, r.densityHigh = make([]float64, n), make([]float64, n)
	widest, any := 0.0, false
	for i := range b.tS {
		x, p := r.mix(i), b.pressureAt(i)
		d := gas.Density(x, p, q.ReferenceTempC)
		r.densityGL[i], r.densityLow[i], r.densityHigh[i] = d, d, d
		r.narcoticN2[i] = gas.NarcoticDepth(x, p, m.SurfacePressureBar, m.WaterDensityKgM3, false)
		r.narcoticO2[i] = gas.NarcoticDepth(x, p, m.SurfacePressureBar, m.WaterDensityKgM3, true)
		if any = any || !math.IsNaN(d); !b.onLoop[i] || math.IsNaN(d) {
			continue
		}
		if past := gas.Density(b.pastMix(r, i), p, q.ReferenceTempC); !math.IsNaN(past) {
			r.densityLow[i], r.densityHigh[i] = math.Min(d, past), math.Max(d, past)
			widest = math.Max(widest, math.Abs(d-past))
		}
	}
	if widest < smallGL {
		r.densityLow, r.densityHigh = nil, nil
	}
	if !any {
		b.debrief.BreathedGas = &BreathedGas{PO2From: r.po2From, ReferenceTempC: Float(q.ReferenceTempC), VapourBar: Float(b.p.Gas.VapourBar), Reason: b.noGasReason(),
			UnderWaterS: b.debrief.Dive.SubmergedS, Moments: []GasMoment{}, Switches: []GasSwitch{}, DensestRangeGL: Range{unknown, unknown}, Limits: []string{}}
		return
	}
	b.breathedRows = r
	b.debrief.BreathedGas = b.describeGas(r)
	r.leastHe = nil // nobody needs it any more, and a long log is long
}

// noGasReason says why no row has a gas.
func (b *bench) noGasReason() string {
	if b.doubled.diluentsContradict() && !b.anyDiluent() {
		return "the two logs state different diluents"
	}
	if !b.dive.Meta.Diluent.Known && !b.anyDiluent() {
		return "the log does not state the diluent"
	}
	if b.diag != nil && !b.estimateFed() {
		return noBelievedPO2
	}
	return "no row has a pressure, a PO2 and a diluent, or an open-circuit gas"
}

func (b *bench) anyDiluent() bool {
	for _, d := range b.dive.Diluent {
		if d.Known {
			return true
		}
	}
	return false
}

// mixRows is the dry gas of every row: on the loop from PO2 and the ratio of helium
// to nitrogen in the diluent in force, on open circuit the open-circuit gas.
func (b *bench) mixRows() *breathedRows {
	n := len(b.tS)
	r := &breathedRows{o2: make([]float64, n), he: make([]float64, n), po2: b.best, po2From: b.bestName}
	if b.diag != nil {
		r.po2, r.po2From = b.gasPO2()
	}
	dry, dilHe := make([]float64, n), make([]float64, n)
	for i := range dry {
		dry[i], dilHe[i] = b.dryBar(i), math.NaN()
		if d := b.dive.Diluent[i]; d.Known {
			dilHe[i] = d.HeOfInert()
		}
		x := gas.Mix{O2: math.NaN(), He: math.NaN()}
		switch {
		case b.onLoop[i]:
			x = gas.LoopMix(r.po2[i], dry[i], dilHe[i])
		case b.dive.OpenGas[i].Known:
			x = b.dive.OpenGas[i].Mix
		}
		r.o2[i], r.he[i] = x.O2, x.He
	}
	r.leastHe = gas.LeastWashIn(r.po2, dry, dilHe, 0) // air holds no helium
	return r
}

// dryBar is the pressure of the dry gas in row i; NaN where pressure is not known.
func (b *bench) dryBar(i int) float64 {
	if p := b.pressureAt(i); !math.IsNaN(p) {
		return gas.Dry(p, b.p.Gas.VapourBar)
	}
	return math.NaN()
}

// pastMix is the gas of row i if starting air and earlier diluents were never flushed out.
func (b *bench) pastMix(r *breathedRows, i int) gas.Mix {
	return gas.LoopMix(r.po2[i], b.dryBar(i), r.leastHe[i])
}

// depthAt is the depth of row i, NaN where not known.
func (b *bench) depthAt(i int) float64 {
	if b.dive.DepthM == nil {
		return math.NaN()
	}
	return b.dive.DepthM[i]
}
