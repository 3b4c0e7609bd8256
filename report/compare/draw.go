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

// fewLines is up to how many courses are drawn each as a line of its own with its
// label. More would be a thicket: then the range, the quartiles and the median are
// drawn, and each course small beside the others.
const fewLines = 6

// gridPlaces is how finely bundled courses are drawn: one place for two pixels.
const gridPlaces = 360

// Line is one course to be drawn.
type Line struct {
	Label, Name string
	Course      *compare.Course
	Subject     *compare.Subject
	ZeroS       float64
	Reference   bool
	stroke      int
}

// Drawings are the drawings of a page.
type Drawings struct {
	Plots []*paper.Plot
	Small []*paper.Plot
	// Key says what is drawn how, Lines which line is whose; empty for many.
	Key   string
	Lines []Swatch
	// None says why there is nothing to see.
	None string
}

// LinesOf are the courses of a comparison that can be laid on its zero.
func linesOf(c *compare.Comparison) []Line {
	var out []Line
	for i, s := range c.Subjects() {
		l := Line{Label: s.Label, Name: s.Label, Course: s.Course, Subject: s, Reference: s.Label == c.Reference}
		if c.Alignment.By != "depth" {
			if i >= len(c.Alignment.Zeros) || !c.Alignment.Zeros[i].AtS.Known() {
				continue
			}
			l.ZeroS = float64(c.Alignment.Zeros[i].AtS)
		}
		if l.Course != nil {
			out = append(out, l)
		}
	}
	return out
}

// Draw draws courses over time (minutes from zero), or over depth.
func Draw(lines []Line, byDepth bool, zero string) Drawings {
	if len(lines) == 0 {
		return Drawings{None: "Nothing can be drawn: none of the dives has rows at hand and the moment that was asked for."}
	}
	d := Drawings{Key: key(lines)}
	for i := range lines {
		if lines[i].stroke = i; len(lines) <= fewLines {
			d.Lines = append(d.Lines, Swatch{lines[i].Name, report.NumberedStroke(i)})
		}
	}
	if byDepth {
		d.Key = depthKey(lines)
		d.Plots = append(d.Plots, depthPlot(lines, "descent", "PO2 over depth, on descents", func(c *compare.Course) []compare.DepthBin { return c.Descent }),
			depthPlot(lines, "ascent", "PO2 over depth, on ascents and stops", func(c *compare.Course) []compare.DepthBin { return c.Ascent }))
		return d
	}
	first := timePlot(lines, "po2", "PO2 of the unit", "PO2, bar", zero, po2)
	if off := offText(lines); off != "" {
		first.Message += " Mind: " + off + "."
	}
	d.Plots = append(d.Plots, first)
	if e := estimated(lines); len(e) > 0 {
		d.Plots = append(d.Plots, timePlot(e, "estimate", "Estimate of PO2 at the cells", "PO2, bar", zero, estimate))
	}
	d.Plots = append(d.Plots, timePlot(lines, "depth", "Depth", "depth, m", zero, depth))
	if len(lines) > 2 {
		d.Small = smallPlots(lines)
	}
	return d
}

// estimated are the lines with an estimate. They keep their strokes.
func estimated(lines []Line) []Line {
	var out []Line
	for _, l := range lines {
		if l.Course.Estimated {
			out = append(out, l)
		}
	}
	return out
}

func offText(lines []Line) string {
	var ss []*compare.Subject
	for _, l := range lines {
		if l.Subject != nil {
			ss = append(ss, l.Subject)
		}
	}
	return compare.OffText(ss)
}

// key explains the lines.
func key(lines []Line) string {
	if len(lines) <= fewLines {
		return "One line a dive, named at its end. Of many rows in one pixel the lowest and the highest are drawn; a gap in a record is a gap in its line."
	}
	s := "Light: the range over all dives, with each dive's own extremes; dark: the middle half; line: the median. "
	for _, l := range lines {
		if l.Reference {
			s += "Dashed: the reference, " + l.Label + ". "
		}
	}
	return s + "Where fewer than three dives are left nothing is drawn, so the far end rests on few; the middle half needs five. Each dive stands small below."
}

// Swatch is a line of the key.
type Swatch struct {
	Name   string
	Stroke report.Stroke
}

// depthKey explains the lines over depth.
func depthKey(lines []Line) string {
	s := "PO2 of the unit, else the mid-value of its cells, as means within each metre of depth. "
	if off := offText(lines); off != "" {
		s += "Mind: " + strings.TrimSuffix(off, ": look at the estimate") + ". "
	}
	if len(lines) > fewLines {
		s += "Light: the range over all dives, with each dive's own extremes; dark: the middle half; line: the median; dashed: the reference. Where fewer than three dives were nothing is drawn."
	}
	return s
}

// quantity is one column of a course.
type quantity struct {
	of   func(compare.Columns) []float64
	down bool // drawn downward: depth
}

var (
	po2      = quantity{func(c compare.Columns) []float64 { return c.PO2Bar }, false}
	estimate = quantity{func(c compare.Columns) []float64 { return c.EstimateBar }, false}
	depth    = quantity{func(c compare.Columns) []float64 { return c.DepthM }, true}
)

// xy are the points of a course in minutes since zero.
func (q quantity) xy(l Line, c compare.Columns) (xs, ys []float64) {
	v := q.of(c)
	xs, ys = make([]float64, len(v)), make([]float64, len(v))
	for i := range v {
		if xs[i], ys[i] = (c.TimeS[i]-l.ZeroS)/60, v[i]; q.down {
			ys[i] = -v[i]
		}
	}
	return xs, ys
}

// points are those of all lines: rows and means.
func (q quantity) points(lines []Line) (xs, ys, mx, my [][]float64) {
	for _, l := range lines {
		x, y := q.xy(l, l.Course.Rows)
		a, b := q.xy(l, l.Course.Means)
		xs, ys, mx, my = append(xs, x), append(ys, y), append(mx, a), append(my, b)
	}
	return
}

func (q quantity) axes(xs, ys [][]float64) (x, y [2]float64) {
	x[0], x[1] = paper.Extent(xs...)
	low, high := paper.Extent(ys...)
	if q.down {
		return x, [2]float64{math.Min(low*1.05, -1), 0}
	}
	return x, [2]float64{math.Min(0, low), math.Max(high*1.05, 0.5)}
}

func timePlot(lines []Line, id, title, yName, zero string, q quantity) *paper.Plot {
	xs, ys, mx, my := q.points(lines)
	x, y := q.axes(xs, ys)
	p := paper.NewPlot(id, title, extremesText(lines, q)+" Zero: "+zero+".", "minutes from zero", yName, x, y)
	if len(lines) <= fewLines {
		for i, l := range lines {
			p.Line(l.Label, report.NumberedStroke(l.stroke), xs[i], ys[i])
		}
		inside(p)
	} else {
		b := compare.BundleOf(gridPlaces, x[0], x[1], xs, ys, mx, my)
		bundled(p, b)
		for i, l := range lines {
			if l.Reference {
				p.Line(l.Label, report.NumberedStroke(1), mx[i], my[i])
			}
		}
	}
	if q.down {
		upright(p)
	}
	return p
}

// apart moves direct labels apart that would cover each other; those of lines that
// end elsewhere stay.
func apart(cs []paper.Curve) {
	const high, wide = 13, 22
	for range 20 {
		for i := range cs {
			for j := range cs[:i] {
				a, b := &cs[j], &cs[i]
				if d := b.LabY - a.LabY; math.Abs(b.LabelX-a.LabelX) < wide && math.Abs(d) < high {
					shift := (high - math.Abs(d)) / 2
					if d < 0 {
						shift = -shift
					}
					a.LabY, b.LabY = a.LabY-shift, b.LabY+shift
				}
			}
		}
	}
}

// inside spreads the labels and keeps them within the drawing.
func inside(p *paper.Plot) {
	apart(p.Curves)
	top, bottom := math.Inf(1), math.Inf(-1)
	for _, c := range p.Curves {
		top, bottom = math.Min(top, c.LabY), math.Max(bottom, c.LabY)
	}
	shift := 0.0
	if top < p.Top {
		shift = p.Top - top
	} else if bottom > p.Bottom {
		shift = p.Bottom - bottom
	}
	for i := range p.Curves {
		p.Curves[i].LabY = math.Round((p.Curves[i].LabY+shift)*10) / 10
	}
}

// bundled draws many courses as one.
func bundled(p *paper.Plot, b compare.Bundle) {
	p.Between("range", b.X, b.Low, b.High)
	p.Between("half", b.X, b.Quartile, b.Upper)
	p.Line("median", report.NumberedStroke(0), b.X, b.Median)
}

// upright takes the sign from the ticks of what is drawn downward.
func upright(p *paper.Plot) {
	for i := range p.YTicks {
		p.YTicks[i].Label = strings.TrimPrefix(p.YTicks[i].Label, "−")
	}
}

// extremesText says in a sentence what the drawing shows at its extremes.
func extremesText(lines []Line, q quantity) string {
	best, low, high := "", math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		_, h := paper.Extent(q.of(l.Course.Rows))
		if math.IsNaN(h) {
			continue
		}
		if low = math.Min(low, h); h > high {
			best, high = l.Label, h
		}
	}
	n := fmt.Sprintf("%d dives.", len(lines))
	if len(lines) == 1 {
		n = "One dive."
	}
	if best == "" {
		return n
	}
	name, digits, unit := "Highest PO2", 2, "bar"
	if q.down {
		name, digits, unit = "Greatest depth", 1, "m"
	}
	if len(lines) == 1 {
		return fmt.Sprintf("%s %s: %s %s.", n, name, Number(analysis.Float(high), digits), unit)
	}
	return fmt.Sprintf("%s %s: from %s to %s %s, the most in %s.", n, name, Number(analysis.Float(low), digits), Number(analysis.Float(high), digits), unit, best)
}
