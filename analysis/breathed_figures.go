package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/gas"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// describeGas draws the figures out of the columns.
func (b *bench) describeGas(r *breathedRows) *BreathedGas {
	q := b.p.BreathedGas
	g := &BreathedGas{PO2From: r.po2From, ReferenceTempC: Float(q.ReferenceTempC), VapourBar: Float(b.p.Gas.VapourBar), Moments: []GasMoment{},
		UnderWaterS: b.debrief.Dive.SubmergedS, DensestRangeGL: Range{unknown, unknown}}
	var loopUnknown, openUnknown, ended bool
	for i, d := range r.densityGL {
		if !b.under[i] {
			continue
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		switch {
		case math.IsNaN(d) && math.IsNaN(b.pressureAt(i)) && !math.IsNaN(b.dive.AmbientBar[i]):
			ended = true
			continue
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
	if ended {
		g.Reason = joinReasons(g.Reason, "the pressure in use stood at the end of its sensor's range")
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
	m := b.gasFigures(r, i)
	m.Kind, m.AtS, m.Breathing, m.Gas = kind, Float(b.tS[i]), breathingOf(b.onLoop[i]), gasName(b.gasOf(i))
	return m
}

func breathingOf(onLoop bool) string {
	if onLoop {
		return "loop"
	}
	return "open_circuit"
}

// gasOf is the diluent or the open-circuit gas of row i.
func (b *bench) gasOf(i int) ingest.Gas {
	if b.onLoop[i] {
		return b.dive.Diluent[i]
	}
	return b.dive.OpenGas[i]
}

// gasFigures are the figures of the gas in row i.
func (b *bench) gasFigures(r *breathedRows, i int) GasMoment {
	p, x := b.dive.AmbientBar[i], r.mix(i)
	m := GasMoment{DepthM: Float(b.depthAt(i)), AmbientBar: Float(p), PO2Bar: Float(x.O2 * p),
		Dry: fractions(gas.Inspired{O2: x.O2, N2: x.N2(), He: x.He}), Inspired: fractions(x.Wet(p, b.p.Gas.VapourBar)),
		DensityGL: Float(r.densityGL[i]), DensityRangeGL: Range{Float(r.densityGL[i]), Float(r.densityGL[i])},
		DensityAsBreathedGL: Float(gas.WetDensity(x, p, b.p.Gas.VapourBar, b.p.BreathedGas.BodyTempC)),
		NarcoticDepthN2M:    Float(r.narcoticN2[i]), NarcoticDepthO2N2M: Float(r.narcoticO2[i])}
	if b.onLoop[i] {
		m.PO2Bar = Float(r.po2[i])
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
	m := GasMoment{Kind: "bottom_mean", AtS: unknown, Breathing: breathingOf(b.onLoop[rows[0]]), Gas: gasName(b.gasOf(rows[0]))}
	var time float64
	var sums [16]float64
	for _, i := range rows {
		w := rowSeconds(b.tS, b.gapAfter, i)
		x := b.gasFigures(r, i)
		for k, v := range x.figures() {
			sums[k] += float64(*v) * w
		}
		if time += w; b.onLoop[i] != b.onLoop[rows[0]] || differs(b.gasOf(i), b.gasOf(rows[0])) {
			m.Breathing, m.Gas = "several", ""
		}
	}
	for k, to := range m.figures() {
		*to = Float(sums[k] / time) // 0/0 is NaN: a row that holds no time has no mean
	}
	return m
}

// figures are those of a moment that a mean can be taken of.
func (m *GasMoment) figures() [16]*Float {
	return [16]*Float{&m.DepthM, &m.AmbientBar, &m.PO2Bar, &m.Dry.O2, &m.Dry.N2, &m.Dry.He, &m.Inspired.O2, &m.Inspired.N2, &m.Inspired.He, &m.Inspired.H2O,
		&m.DensityGL, &m.DensityRangeGL.Low, &m.DensityRangeGL.High, &m.DensityAsBreathedGL, &m.NarcoticDepthN2M, &m.NarcoticDepthO2N2M}
}

// heliumAgreement compares the helium sensor with the helium reckoned.
func (b *bench) heliumAgreement(r *breathedRows) *HeliumAgreement {
	if b.dive.LoopHe == nil {
		return nil
	}
	var full, stayed []float64
	var time float64
	for i, he := range b.dive.LoopHe {
		if math.IsNaN(he) || !b.under[i] || !b.onLoop[i] || !r.mix(i).Known() || !(b.dive.Diluent[i].He > 0) {
			continue
		}
		if b.dive.Meta.LoopHeBasis == "wet" {
			he *= b.dive.AmbientBar[i] / b.dryBar(i)
		}
		full, stayed = append(full, he-r.he[i]), append(stayed, he-b.pastMix(r, i).He)
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
			flushes = fmt.Sprintf("%d diluent %s nearer to the diluent; how complete is not recorded.", g.DiluentFlushes, plural(g.DiluentFlushes, "flush is in the log and brought it", "flushes are in the log, each bringing it"))
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
