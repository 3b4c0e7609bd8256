package compare

import (
	"math"

	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/paper"
)

func depthPlot(lines []Line, id, title string, of func(*compare.Course) []compare.DepthBin) *paper.Plot {
	var xs, means, ex, ey [][]float64
	for _, l := range lines {
		var x, m, a, b []float64
		for _, bin := range of(l.Course) {
			if math.IsNaN(bin.MeanBar) {
				continue // no row within this metre: the line runs on
			}
			x, m = append(x, bin.DepthM), append(m, bin.MeanBar)
			a, b = append(a, bin.DepthM, bin.DepthM), append(b, bin.LowBar, bin.HighBar)
		}
		xs, means, ex, ey = append(xs, x), append(means, m), append(ex, a), append(ey, b)
	}
	_, deep := paper.Extent(xs...)
	_, high := paper.Extent(means...)
	if len(lines) > fewLines {
		_, high = paper.Extent(ey...)
	}
	if math.IsNaN(deep) {
		deep, high = 10, 1
	}
	msg := "How long a dive stayed at a depth plays no part."
	if id == "descent" {
		msg += " Descents that are too slow to count as one (3 m/min) are not in it."
	}
	p := paper.NewPlot(id, title, msg, "depth, m", "PO2, bar", [2]float64{0, deep + 1}, [2]float64{0, math.Max(high*1.08, 0.5)})
	if len(lines) <= fewLines {
		for i, l := range lines {
			p.Line(l.Label, report.NumberedStroke(i), xs[i], means[i])
		}
		inside(p)
		return p
	}
	n := int(deep + 1)
	bundled(p, compare.BundleOf(n, 0, float64(n), ex, ey, xs, means))
	for i, l := range lines {
		if l.Reference {
			p.Line(l.Label, report.NumberedStroke(1), xs[i], means[i])
		}
	}
	return p
}
