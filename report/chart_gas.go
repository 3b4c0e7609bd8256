package report

import (
	"math"

	"afterloop/analysis"
)

var (
	strokeGas      = stroke{inkBlue, "solid", 2}
	strokeGasRange = stroke{inkBlue, "1,3", 1}
	strokeOxygen   = stroke{inkGreen, "solid", 1.8}
	strokeNitrogen = stroke{inkBlack, "9,4", 1.8}
	strokeInertHe  = stroke{inkOrange, "2,3", 1.8}
)

// gasChart draws density with its limits, the dry fractions, and the narcotic depths.
func (g *drawing) gasChart() chart {
	s, q := g.s, g.d.Parameters.BreathedGas
	density := panel{name: say("chart.gas-density-axis"), height: 130, min: 0, max: auto}
	if known(s.GasDensityGL) {
		density.lines = []line{g.line(colDensity, say("chart.gas-density"), say("chart.density"), "g/L", strokeGas, 2, s.GasDensityGL)}
		if known(s.GasDensityHighGL) {
			density.lines = append(density.lines, g.line(colDensityHigh, say("chart.gas-density-high"), "", "g/L", strokeGasRange, 2, s.GasDensityHighGL))
		}
		density.max = 2 * math.Ceil((math.Max(highest(density.lines), q.DensityWarningGL)+0.3)/2)
		density.limits = []limit{{q.DensityCautionGL, fixed(analysis.Float(q.DensityCautionGL), 1), "dotted"}, {q.DensityWarningGL, fixed(analysis.Float(q.DensityWarningGL), 1), "dashed"}}
	}
	parts := panel{name: say("chart.dry-fraction-axis"), height: 90, min: 0, max: 1}
	if known(s.DryO2) {
		parts.lines = []line{g.line(colDryO2, say("chart.dry-oxygen"), "O2", "", strokeOxygen, 2, s.DryO2), g.line(colDryN2, say("chart.dry-nitrogen"), "N2", "", strokeNitrogen, 2, s.DryN2)}
		if highest([]line{{values: s.DryHe}}) > 0 {
			parts.lines = append(parts.lines, g.line(colDryHe, say("chart.dry-helium"), "He", "", strokeInertHe, 2, s.DryHe))
		}
	}
	narcotic := panel{name: say("chart.narcotic-depth-m"), height: 90, inverse: true, min: 0, max: auto}
	if known(s.NarcoticO2N2M) {
		narcotic.lines = []line{g.line(colNarcotic, say("chart.narcotic-o2"), "O2+N2", "m", strokeNitrogen, 0, s.NarcoticO2N2M),
			g.line(colNarcoticN2, say("chart.narcotic-n2"), "N2", "m", strokeGas, 0, s.NarcoticN2M)}
	}
	return g.build(chart{ID: "gas", Title: say("chart.gas"), Message: g.gasMessage()}, density, parts, narcotic)
}

func (g *drawing) gasMessage() string {
	b := g.d.BreathedGas
	if b == nil || len(b.Moments) == 0 {
		return say("chart.gas-not-known")
	}
	m, q := b.Moments[0], g.d.Parameters.BreathedGas
	return say("chart.gas-densest", fixed(m.DensityGL, 2), g.clock.since(m.AtS), fixed(m.DepthM, 1), fixed(analysis.Float(q.DensityCautionGL), 1), fixed(analysis.Float(q.DensityWarningGL), 1))
}

// pressureChart draws what was recorded twice against each other.
func (g *drawing) pressureChart() chart {
	s := g.s
	depth := panel{name: say("chart.depth-difference-m"), height: 110, min: auto, max: auto}
	if known(s.DepthDifferenceM) {
		depth.lines = []line{g.line(colDepthDifference, say("chart.depth-difference"), "", "m", strokeDepth, 2, s.DepthDifferenceM)}
	}
	sensors := panel{name: say("chart.pressure-difference-bar"), height: 110, min: auto, max: auto}
	for k, p := range s.PressureDifferences {
		sensors.lines = append(sensors.lines, g.line(colPressure(p.Number), say("chart.pressure-difference", p.Number), say("chart.pressure-short", p.Number), "bar", numbered(k), 3, p.DifferenceBar))
	}
	return g.build(chart{ID: "pressure", Title: say("chart.pressure"), Message: say("chart.pressure-message")}, depth, sensors)
}

// gasCharts are the drawings of gas and of pressures; that of pressures only where
// something was recorded twice.
func (g *drawing) gasCharts() []chart {
	out := []chart{g.gasChart()}
	if p := g.pressureChart(); p.Drawn() {
		out = append(out, p)
	}
	return out
}
