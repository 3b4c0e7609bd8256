package compare

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/paper"
)

// smallPlots are the PO2 of each dive before the range of all.
func smallPlots(lines []Line) []*paper.Plot {
	xs, ys, mx, my := po2.points(lines)
	x, y := po2.axes(xs, ys)
	var all compare.Bundle
	if len(lines) > fewLines {
		all = compare.BundleOf(90, x[0], x[1], xs, ys, mx, my)
	}
	var out []*paper.Plot
	for i, l := range lines {
		p := paper.NewSmallPlot("small-"+l.Label, l.Name, "PO2 over minutes", 230, 110, x, y)
		if all.X != nil {
			p.Between("range", all.X, all.Quartile, all.Upper)
		}
		if s := l.Course; len(s.SetPointS) > 0 {
			t := make([]float64, len(s.SetPointS))
			for k := range t {
				t[k] = (s.SetPointS[k] - l.ZeroS) / 60
			}
			p.Line("", report.LimitStroke(), t, s.SetPointBar)
		}
		p.Line("", report.NumberedStroke(0), xs[i], ys[i])
		out = append(out, p)
	}
	return out
}

// Strip is a row of ticks, one a dive, on an axis from the lowest to the highest.
type Strip struct {
	Ticks  string
	Median float64
	Mark   float64 // the reference
	HasRef bool
	Title  string
}

// stripOf draws a figure over many dives; nil for fewer than three values.
func stripOf(f compare.Figure, ref int) *Strip {
	if f.N < 3 || !(f.Max > f.Min) {
		return nil
	}
	at := func(v analysis.Float) float64 {
		return math.Round((4+float64((v-f.Min)/(f.Max-f.Min))*112)*10) / 10
	}
	s := &Strip{Median: at(f.Median), Title: fmt.Sprintf("%d values from %s to %s", f.N, Number(f.Min, f.Digits), Number(f.Max, f.Digits))}
	var b strings.Builder
	for _, v := range f.Values {
		if v.Value.Known() {
			fmt.Fprintf(&b, "M%.1f 5v10", at(v.Value))
		}
	}
	s.Ticks = b.String()
	if ref >= 0 && f.Values[ref].Value.Known() {
		s.Mark, s.HasRef = at(f.Values[ref].Value), true
	}
	return s
}
