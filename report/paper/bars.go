package paper

import "afterloop/report"

// Bar is a filled column from the x axis up.
type Bar struct {
	X, Y, W, H float64
	Stroke     report.Stroke
	Title      string
}

// Bar adds a column from one x to another, from the axis up to y; none for NaN.
func (p *Plot) Bar(from, to, y float64, s report.Stroke, title string) {
	a, b, top := p.x.at(from), p.x.at(to), p.clampY(y)
	if !(b > a) || !(top <= p.Bottom) {
		return
	}
	p.Bars = append(p.Bars, Bar{round(a), round(top), round(b - a), round(p.Bottom - top), s, title})
}

// TicksAt puts the ticks of the x axis at given values, with their labels.
func (p *Plot) TicksAt(at []float64, labels []string) {
	p.XTicks = nil
	for i, v := range at {
		if v >= p.x.from && v <= p.x.to {
			p.XTicks = append(p.XTicks, Tick{round(p.x.at(v)), labels[i]})
		}
	}
}
