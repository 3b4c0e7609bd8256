package paper

import (
	"fmt"
	"math"
	"strings"
)

// Area is a filled stretch between two curves.
type Area struct{ Class, Path string }

// Between fills the stretch between two curves over the same xs; where either is
// NaN it is left open.
func (p *Plot) Between(class string, xs, low, high []float64) {
	var b strings.Builder
	for i := 0; i < len(xs); {
		j := i
		for j < len(xs) && !math.IsNaN(low[j]) && !math.IsNaN(high[j]) {
			j++
		}
		for k := i; k < j; k++ {
			op := "L"
			if k == i {
				op = "M"
			}
			fmt.Fprintf(&b, "%s%.1f %.1f", op, p.x.at(xs[k]), p.clampY(high[k]))
		}
		for k := j - 1; k >= i; k-- {
			fmt.Fprintf(&b, "L%.1f %.1f", p.x.at(xs[k]), p.clampY(low[k]))
		}
		if j > i {
			b.WriteByte('Z')
		}
		i = j + 1
	}
	if b.Len() > 0 {
		p.Areas = append(p.Areas, Area{class, b.String()})
	}
}

// NewSmallPlot is a plot of w by h pixels with few ticks, for many beside one another.
func NewSmallPlot(id, title, message string, w, h float64, x, y [2]float64) *Plot {
	p := &Plot{ID: id, Title: title, Message: message, W: w, H: h, Left: 26, Right: w - 6, Top: 6, Bottom: h - 18}
	x, y = spread(x), spread(y)
	p.x, p.y = axis{x[0], x[1], p.Left, p.Right}, axis{y[0], y[1], p.Bottom, p.Top}
	p.XTicks, p.YTicks = p.x.ticks(3), p.y.ticks(2)
	return p
}
