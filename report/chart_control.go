package report

import (
	"math"
)

func (g *drawing) trackingChart() chart {
	p := panel{name: say("chart.po2-set-point-bar"), height: 200, min: auto, max: auto, limits: []limit{
		{0.05, "+0.05", "dotted"}, {-0.05, "−0.05", "dotted"}, {0.10, "+0.10", "dashed"}, {-0.10, "−0.10", "dashed"}}}
	if known(g.s.TrackingErrorBar) {
		p.lines = []line{g.line(colError, say("chart.unit-po2-set-point"), "", "bar", stroke{inkBlue, "solid", 1.6}, 3, g.s.TrackingErrorBar)}
		p.min, p.max = errorRange(g.s.TrackingErrorBar)
	}
	msg := say("chart.no-tracking-error-could-be")
	if t := g.d.Tracking; t != nil {
		msg = say("chart.po2-was-within-0-05", share(t.Within005), share(t.Within010))
	}
	return g.build(chart{ID: "tracking", Title: say("chart.tracking-of-the-set-point"), Message: msg}, p)
}

// errorRange keeps the limits in view and the largest excursions within reason,
// and ends at whole steps of the axis.
func errorRange(v []float64) (lo, hi float64) {
	const least, most = 0.15, 1.5
	lo, hi = -least, least
	for _, x := range v {
		if !math.IsNaN(x) {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	step := 0.5
	for _, s := range []float64{0.05, 0.1, 0.2} {
		if (hi-lo)/s <= 7 {
			step = s
			break
		}
	}
	return math.Max(math.Floor(lo/step+1e-9)*step, -most), math.Min(math.Ceil(hi/step-1e-9)*step, most)
}

func (g *drawing) exposureChart() chart {
	s, h := g.s, g.d.Exposure.Headline
	cns := panel{name: say("chart.cns-of-the-limit"), height: 120, min: 0, max: auto}
	otu := panel{name: say("chart.pulmonary-dose-otu"), height: 90, min: 0, max: auto}
	if known(s.CNSPercent) {
		cns.lines = []line{g.line(colCNS, say("chart.running-cns"), say("chart.cns"), "%", stroke{inkOrange, "solid", 2}, 1, s.CNSPercent)}
	}
	if known(s.OTU) {
		otu.lines = []line{g.line(colOTU, say("chart.running-otu"), say("chart.otu"), "OTU", stroke{inkBlue, "9,4", 2}, 1, s.OTU)}
	}
	msg := say("chart.at-the-end-by-cns", sourceWords(h.Source), cnsText(h.CNSPercent, h.IsLowerBound), fixed(h.OTU, 0))
	if !h.CNSPercent.Known() {
		msg = say("chart.no-exposure-could-be-computed")
	}
	return g.build(chart{ID: "exposure", Title: say("chart.oxygen-exposure"), Message: msg}, cns, otu)
}
