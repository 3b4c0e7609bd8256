package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/gas"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// breathedRows are the columns of the gas that was breathed.
type breathedRows struct {
	mix []gas.Mix // NaN where the gas is not known
	// po2 is the oxygen that the mix on the loop rests on.
	po2                     []float64
	densityGL               []float64
	densityLow, densityHigh []float64 // nil where the loop's past makes no difference
	narcoticN2, narcoticO2  []float64 // metres
	leastHe                 []float64 // share of helium in the inert part, if no more diluent came in than must
	po2From                 string
}

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
	for i, x := range r.mix {
		p := b.dive.AmbientBar[i]
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
}

// noGasReason says why no row has a gas.
func (b *bench) noGasReason() string {
	if !b.dive.Meta.Diluent.Known && !b.anyDiluent() {
		return "the log does not state the diluent"
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
	r := &breathedRows{mix: make([]gas.Mix, n), po2: b.best, po2From: b.bestName}
	if b.diag != nil {
		r.po2, r.po2From = b.diag.estimate.PO2Bar, "estimate"
	}
	dry, dilHe := make([]float64, n), make([]float64, n)
	for i := range dry {
		dry[i], dilHe[i] = b.dryBar(i), math.NaN()
		if d := b.dive.Diluent[i]; d.Known {
			dilHe[i] = d.HeOfInert()
		}
		switch {
		case b.onLoop[i]:
			r.mix[i] = gas.LoopMix(r.po2[i], dry[i], dilHe[i])
		case b.dive.OpenGas[i].Known:
			r.mix[i] = b.dive.OpenGas[i].Mix
		default:
			r.mix[i] = gas.Mix{O2: math.NaN(), He: math.NaN()}
		}
	}
	r.leastHe = gas.LeastWashIn(r.po2, dry, dilHe, 0) // air holds no helium
	return r
}

// dryBar is the pressure of the dry gas in row i; NaN where pressure is not known.
func (b *bench) dryBar(i int) float64 {
	if p := b.dive.AmbientBar[i]; !math.IsNaN(p) {
		return gas.Dry(p, b.p.Gas.VapourBar)
	}
	return math.NaN()
}

// pastMix is the gas of row i if starting air and earlier diluents were never flushed out.
func (b *bench) pastMix(r *breathedRows, i int) gas.Mix {
	return gas.LoopMix(r.po2[i], b.dryBar(i), r.leastHe[i])
}

// describeGas draws the figures out of the columns.
func (b *bench) describeGas(r *breathedRows) *BreathedGas {
	q := b.p.BreathedGas
	g := &BreathedGas{PO2From: r.po2From, ReferenceTempC: Float(q.ReferenceTempC), VapourBar: Float(b.p.Gas.VapourBar), Moments: []GasMoment{},
		UnderWaterS: b.debrief.Dive.SubmergedS, DensestRangeGL: Range{unknown, unknown}}
	var loopUnknown, openUnknown bool
	for i, d := range r.densityGL {
		if !b.under[i] {
			continue
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		switch {
		case math.IsNaN(d):
			loopUnknown, openUnknown = loopUnknown || b.onLoop[i], openUnknown || !b.onLoop[i]
			continue
		case d > q.DensityWarningGL+tol:
			g.AboveMaximumS += Float(w)
			fallthrough
		case d > q.DensityCautionGL+tol:
			g.AboveRecommendedS += Float(w)
		}
		g.AssessedS += Float(w)
	}
	if loopUnknown {
		g.Reason = "on the loop: no PO2, no pressure or no diluent for part of the time"
	}
	if openUnknown {
		g.Reason = joinReasons(g.Reason, "on open circuit: the log does not name the gas")
	}
	for _, e := range b.events {
		if e.Kind == ingest.DiluentFlush {
			g.DiluentFlushes++
		}
	}
	b.gasMoments(g, r)
	g.Switches = b.gasSwitches(r)
	g.MeasuredHelium = b.heliumAgreement(r)
	g.Limits = b.gasLimits(g, r)
	return g
}

func joinReasons(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

// gasMoments picks the densest and the deepest row under water, and the mean of the bottom.
func (b *bench) gasMoments(g *BreathedGas, r *breathedRows) {
	densest, deepest := -1, -1
	var bottom []int
	for i, d := range r.densityGL {
		if math.IsNaN(d) || !b.under[i] {
			continue
		}
		if densest < 0 || d > r.densityGL[densest] {
			densest = i
		}
		if deepest < 0 || b.dive.AmbientBar[i] > b.dive.AmbientBar[deepest] {
			deepest = i
		}
		if b.phases[i] == tracking.Bottom {
			bottom = append(bottom, i)
		}
	}
	if densest < 0 {
		return
	}
	g.Moments = append(g.Moments, b.gasMoment("densest", r, densest), b.gasMoment("deepest", r, deepest))
	if r.densityHigh != nil {
		g.DensestRangeGL = Range{g.Moments[0].DensityRangeGL.Low, g.Moments[0].DensityRangeGL.High}
	}
	if len(bottom) > 0 {
		g.Moments = append(g.Moments, b.bottomMean(r, bottom))
	}
}

// gasMoment is the gas in row i.
func (b *bench) gasMoment(kind string, r *breathedRows, i int) GasMoment {
	p, x := b.dive.AmbientBar[i], r.mix[i]
	m := GasMoment{Kind: kind, AtS: Float(b.tS[i]), DepthM: Float(b.depthAt(i)), AmbientBar: Float(p), PO2Bar: Float(x.O2 * p), Breathing: "open_circuit", Gas: gasName(b.dive.OpenGas[i]),
		Dry: fractions(gas.Inspired{O2: x.O2, N2: x.N2(), He: x.He}), Inspired: fractions(x.Wet(p, b.p.Gas.VapourBar)),
		DensityGL: Float(r.densityGL[i]), DensityRangeGL: Range{Float(r.densityGL[i]), Float(r.densityGL[i])},
		DensityAsBreathedGL: Float(gas.WetDensity(x, p, b.p.Gas.VapourBar, b.p.BreathedGas.BodyTempC)),
		NarcoticDepthN2M:    Float(r.narcoticN2[i]), NarcoticDepthO2N2M: Float(r.narcoticO2[i])}
	if b.onLoop[i] {
		m.Breathing, m.Gas, m.PO2Bar = "loop", gasName(b.dive.Diluent[i]), Float(r.po2[i])
	}
	if r.densityHigh != nil {
		m.DensityRangeGL = Range{Float(r.densityLow[i]), Float(r.densityHigh[i])}
	}
	return m
}

func fractions(x gas.Inspired) GasFractions {
	return GasFractions{O2: Float(x.O2), N2: Float(x.N2), He: Float(x.He), H2O: Float(x.H2O)}
}

// bottomMean is the mean over rows, each weighed by the time it holds.
func (b *bench) bottomMean(r *breathedRows, rows []int) GasMoment {
	m := GasMoment{Kind: "bottom_mean", AtS: unknown}
	var time float64
	var sums [14]float64
	for _, i := range rows {
		w := rowSeconds(b.tS, b.gapAfter, i)
		x := b.gasMoment("", r, i)
		for k, v := range [...]Float{x.DepthM, x.AmbientBar, x.PO2Bar, x.Dry.O2, x.Dry.N2, x.Dry.He, x.Inspired.O2, x.Inspired.N2, x.Inspired.He, x.Inspired.H2O,
			x.DensityGL, x.DensityAsBreathedGL, x.NarcoticDepthN2M, x.NarcoticDepthO2N2M} {
			sums[k] += float64(v) * w
		}
		m.DensityRangeGL.Low += x.DensityRangeGL.Low * Float(w)
		m.DensityRangeGL.High += x.DensityRangeGL.High * Float(w)
		if time += w; m.Breathing == "" {
			m.Breathing, m.Gas = x.Breathing, x.Gas
		} else if m.Breathing != x.Breathing || m.Gas != x.Gas {
			m.Breathing, m.Gas = "several", ""
		}
	}
	for k, to := range [...]*Float{&m.DepthM, &m.AmbientBar, &m.PO2Bar, &m.Dry.O2, &m.Dry.N2, &m.Dry.He, &m.Inspired.O2, &m.Inspired.N2, &m.Inspired.He, &m.Inspired.H2O,
		&m.DensityGL, &m.DensityAsBreathedGL, &m.NarcoticDepthN2M, &m.NarcoticDepthO2N2M} {
		*to = Float(sums[k] / time) // 0/0 is NaN: a row that holds no time has no mean
	}
	m.DensityRangeGL.Low, m.DensityRangeGL.High = m.DensityRangeGL.Low/Float(time), m.DensityRangeGL.High/Float(time)
	return m
}

// depthAt is the depth of row i, NaN where not known.
func (b *bench) depthAt(i int) float64 {
	if b.dive.DepthM == nil {
		return math.NaN()
	}
	return b.dive.DepthM[i]
}

// heliumAgreement compares the helium sensor with the helium reckoned.
func (b *bench) heliumAgreement(r *breathedRows) *HeliumAgreement {
	if b.dive.LoopHe == nil {
		return nil
	}
	var full, stayed []float64
	var time float64
	for i, he := range b.dive.LoopHe {
		if math.IsNaN(he) || !b.under[i] || !b.onLoop[i] || !r.mix[i].Known() || !(b.dive.Diluent[i].He > 0) {
			continue
		}
		if b.dive.Meta.LoopHeBasis == "wet" {
			he *= b.dive.AmbientBar[i] / b.dryBar(i)
		}
		full, stayed = append(full, he-r.mix[i].He), append(stayed, he-b.pastMix(r, i).He)
		time += rowSeconds(b.tS, b.gapAfter, i)
	}
	if len(full) == 0 {
		return nil
	}
	return &HeliumAgreement{Float(medianOf(full)), Float(medianOf(stayed)), Float(time)}
}

// gasLimits say what can't be told of the gas.
func (b *bench) gasLimits(g *BreathedGas, r *breathedRows) []string {
	out := []string{}
	add := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if r.densityHigh != nil {
		flushes := "No diluent flush is in the log."
		if g.DiluentFlushes > 0 {
			flushes = fmt.Sprintf("%d diluent %s in the log, each bringing it nearer to the diluent; how complete is not recorded.", g.DiluentFlushes, plural(g.DiluentFlushes, "flush is", "flushes are"))
		}
		add("The loop is taken to hold the helium and nitrogen of the diluent in force. Air that it held at the start, or gas of an earlier diluent, makes it denser or thinner until it is flushed out: "+
			"the range beside a density is what had to come in with the pressure alone. %s", flushes)
	}
	if h := g.MeasuredHelium; h != nil {
		add("The helium sensor read %+.1f %% (median, of the dry gas) against the diluent's ratio, and %+.1f %% against a loop whose starting air was never flushed out.",
			100*float64(h.MedianDifference), 100*float64(h.AirStayedDifference))
	}
	if len(g.Switches) > 0 {
		add("What a change of gas does to the tissues is not told: this report holds no tissue model and no decompression verdict.")
	}
	return out
}
