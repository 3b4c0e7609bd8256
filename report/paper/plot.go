package paper

import (
	"fmt"
	"math"
	"strings"

	"afterloop/report"
)

// Plot is one drawing in SVG, in pixels of its own.
type Plot struct {
	ID, Title, Message string
	W, H               float64
	Left, Right        float64 // edges of the plot area
	Top, Bottom        float64
	XName, YName       string
	XTicks, YTicks     []Tick
	Curves             []Curve
	Marks              []Mark
	Bands              []Band
	Levels             []Level
	Bars               []Bar
	Areas              []Area
	x, y               axis
}

// axis maps values to pixels.
type axis struct{ from, to, a, b float64 }

func (x axis) at(v float64) float64 { return x.a + (v-x.from)/(x.to-x.from)*(x.b-x.a) }

type Tick struct {
	At    float64
	Label string
}

// Curve is a line; its direct label stands at its end.
type Curve struct {
	Name, Path   string
	Stroke       report.Stroke
	LabelX, LabY float64
}

// Mark is a value with its interval.
type Mark struct {
	X, Y, Low, High float64
	Shape           string // dot, ring, cross, square
	Stroke          report.Stroke
	Title           string
}

// Band is a shaded stretch of the x axis.
type Band struct {
	X, W   float64
	Class  string
	Label  string
	LabelY float64
}

// Level is a horizontal line to compare with.
type Level struct {
	Y      float64
	Label  string
	Stroke report.Stroke
}

const (
	plotWide, plotHigh                         = 880, 300
	plotLeft, plotRight, plotTop, plotBottomPx = 58, 96, 22, 44
)

func NewPlot(id, title, message, xName, yName string, x, y [2]float64) *Plot {
	p := &Plot{ID: id, Title: title, Message: message, W: plotWide, H: plotHigh, Left: plotLeft, Right: plotWide - plotRight, Top: plotTop, Bottom: plotHigh - plotBottomPx,
		XName: xName, YName: yName}
	x, y = spread(x), spread(y)
	p.x = axis{x[0], x[1], p.Left, p.Right}
	p.y = axis{y[0], y[1], p.Bottom, p.Top}
	p.XTicks, p.YTicks = p.x.ticks(8), p.y.ticks(5)
	return p
}

// spread widens an axis without extent.
func spread(v [2]float64) [2]float64 {
	if math.IsNaN(v[0]) || math.IsNaN(v[1]) || math.IsInf(v[0], 0) || math.IsInf(v[1], 0) {
		return [2]float64{0, 1}
	}
	if v[1]-v[0] < 1e-9 {
		return [2]float64{v[0] - 0.5, v[1] + 0.5}
	}
	return v
}

// Around widens a range by a share on either side.
func Around(low, high, share float64) [2]float64 {
	d := (high - low) * share
	return [2]float64{low - d, high + d}
}

// Line adds a curve. A NaN breaks it; of more samples than pixels the extremes of
// each pixel are drawn, so that a spike stays.
func (p *Plot) Line(name string, s report.Stroke, xs, ys []float64) {
	var b strings.Builder
	pen, lastX, lastY := false, math.NaN(), math.NaN()
	put := func(x, y float64) {
		op := "L"
		if !pen {
			op = "M"
		}
		fmt.Fprintf(&b, "%s%.1f %.1f", op, x, y)
		pen, lastX, lastY = true, x, y
	}
	for i := 0; i < len(xs); {
		if math.IsNaN(ys[i]) || math.IsNaN(xs[i]) {
			pen = false
			i++
			continue
		}
		j, low, high := i, i, i
		for px := math.Floor(p.x.at(xs[i]) * 2); j < len(xs) && !math.IsNaN(ys[j]) && math.Floor(p.x.at(xs[j])*2) == px; j++ {
			if ys[j] < ys[low] {
				low = j
			}
			if ys[j] > ys[high] {
				high = j
			}
		}
		for _, k := range order(i, low, high, max(j-1, i)) {
			put(p.x.at(xs[k]), p.clampY(ys[k]))
		}
		i = max(j, i+1)
	}
	p.Curves = append(p.Curves, Curve{name, b.String(), s, round(math.Min(lastX+5, p.Right+5)), round(lastY + 4)})
}

// order lists up to four rows once each, ascending.
func order(rows ...int) []int {
	var out []int
	for _, r := range rows {
		at := len(out)
		for at > 0 && out[at-1] > r {
			at--
		}
		if at > 0 && out[at-1] == r {
			continue
		}
		out = append(out[:at], append([]int{r}, out[at:]...)...)
	}
	return out
}

func (p *Plot) clampY(v float64) float64 {
	return math.Min(p.Bottom, math.Max(p.Top, p.y.at(v)))
}

// Point adds a value with its interval, NaN ends for none.
func (p *Plot) Point(x, y, low, high float64, shape string, s report.Stroke, title string) {
	if math.IsNaN(x) || math.IsNaN(y) {
		return
	}
	m := Mark{round(p.x.at(x)), round(p.clampY(y)), 0, 0, shape, s, title}
	if !math.IsNaN(low) && !math.IsNaN(high) {
		m.Low, m.High = round(p.clampY(low)), round(p.clampY(high))
	}
	p.Marks = append(p.Marks, m)
}

// Shade adds a band; its label is dropped where there is no room for it.
func (p *Plot) Shade(from, to float64, class, label string) {
	a, b := math.Max(p.Left, p.x.at(from)), math.Min(p.Right, p.x.at(to))
	if !(b > a) {
		return
	}
	if float64(len(label))*5.6 > b-a {
		label = ""
	}
	p.Bands = append(p.Bands, Band{round(a), round(b - a), class, label, p.Top + 12})
}

func (p *Plot) Limit(v float64, label string, s report.Stroke) {
	if v >= p.y.from && v <= p.y.to {
		p.Levels = append(p.Levels, Level{round(p.y.at(v)), label, s})
	}
}

// SpreadLabels moves direct labels apart that would cover each other.
func (p *Plot) SpreadLabels() {
	const apart = 13
	for range 20 {
		for i := range p.Curves {
			for j := range p.Curves {
				a, b := &p.Curves[i], &p.Curves[j]
				if i < j && a.Name != "" && b.Name != "" && math.Abs(a.LabY-b.LabY) < apart {
					shift := (apart - math.Abs(a.LabY-b.LabY)) / 2
					if a.LabY > b.LabY {
						shift = -shift
					}
					a.LabY, b.LabY = round(a.LabY-shift), round(b.LabY+shift)
				}
			}
		}
	}
}

// Extent is the smallest and largest of what is known.
func Extent(vs ...[]float64) (low, high float64) {
	low, high = math.NaN(), math.NaN()
	for _, v := range vs {
		for _, a := range v {
			if math.IsNaN(a) || math.IsInf(a, 0) {
				continue
			}
			if !(a >= low) {
				low = a
			}
			if !(a <= high) {
				high = a
			}
		}
	}
	return low, high
}

// PlotHeight and those below are places that the template needs.
func (p *Plot) PlotHeight() float64 { return p.Bottom - p.Top }
func (p *Plot) TickX() float64      { return p.Left - 7 }
func (p *Plot) TickY() float64      { return p.Bottom + 17 }
func (p *Plot) NameY() float64      { return p.H - 8 }
func (p *Plot) LabelX() float64     { return p.Right + 5 }
