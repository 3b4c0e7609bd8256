package report

import (
	"fmt"

	"afterloop/analysis"
)

func colHalf(k int) string { return fmt.Sprintf("half%d", k) }

const colHalvesDepth = "halves-depth"

// packHalves are the columns of doubled electronics.
func packHalves(add func(id string, v []float64, decimals int), s *analysis.Series) {
	for k, h := range s.Halves {
		add(colHalf(k), h.PO2Bar, barDecimals)
	}
	add(colHalvesDepth, s.HalvesDepthM, barDecimals)
}

// halvesCharts is the drawing of both halves, where there are two.
func (g *drawing) halvesCharts() []chart {
	if g.d.Halves == nil {
		return nil
	}
	lines := g.bandLines() // first, so that the halves lie on top
	for k, h := range g.s.Halves {
		if known(h.PO2Bar) {
			st := numbered(k)
			st.width = 2.4
			lines = append(lines, g.line(colHalf(k), say("chart.half", h.Half), h.Half, "bar", st, 3, h.PO2Bar))
		}
	}
	p := g.po2Panel(220, lines...)
	depth := panel{name: say("chart.halves-depth"), height: 90, min: auto, max: auto}
	if known(g.s.HalvesDepthM) {
		depth.lines = []line{g.line(colHalvesDepth, say("chart.halves-depth-difference", halvesSign(g.d)), "", "m", strokeDepth, 2, g.s.HalvesDepthM)}
	}
	return []chart{g.build(chart{ID: "halves", Title: say("chart.halves"), Message: g.halvesMessage(), Remarks: g.po2Remarks(p)}, p, depth)}
}

func (g *drawing) halvesMessage() string {
	for _, c := range g.d.Halves.Comparisons {
		if c.Quantity == "po2" && c.Reason == "" {
			return say("chart.halves-differ", halvesAmount(c.P95, c.Unit), g.clock.halvesWorst(c.Worst))
		}
	}
	return say("chart.halves-not-compared")
}
