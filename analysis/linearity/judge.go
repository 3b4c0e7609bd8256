package linearity

import (
	"math"

	"afterloop/analysis/fit"
)

// judge fills everything that needs the line.
func (c *Cell) judge(l fit.Line, used []int, levels []Level, p Params) {
	z := fit.StudentT(p.Confidence, 0) // the errors are known beforehand, so the normal distribution holds
	c.Slope = around(l.Slope, z*l.SlopeSE)
	c.OffsetRaw = around(l.Intercept, z*l.InterceptSE)
	c.OffsetBar = around(l.Intercept/l.Slope, z*l.InterceptSE/l.Slope)
	for _, i := range used {
		c.Points[i].InLine = true
	}
	for i := range c.Points {
		c.Points[i].depart(l, levels[i], z)
	}
	c.follows(levels)
	c.ceiling(l, levels, z, p)
	c.hysteresis(levels, l, z, p)
}

func around(v, half float64) Estimate { return Estimate{v, v - half, v + half} }

// depart compares a point with the line. The interval joins the errors of the
// reading, of the PO2 and of the line; for points in the line that is too wide,
// and so on the safe side for a verdict that a cell follows.
func (pt *Point) depart(l fit.Line, lv Level, z float64) {
	if math.IsNaN(pt.SDRaw) {
		return
	}
	pt.LineBar = (pt.Reading - l.Intercept) / l.Slope
	d := (pt.Reading - l.At(lv.PO2Bar)) / l.Slope
	sd := math.Hypot(math.Hypot(pt.SDRaw/l.Slope, lv.PO2SDBar), l.SEAt(lv.PO2Bar)/l.Slope)
	pt.Depart = around(d, z*sd)
	switch {
	case !pt.Settled:
		pt.State = Unsettled
	case pt.Depart.High <= pt.LimitBar && pt.Depart.Low >= -pt.LimitBar:
		pt.State = Within
	case pt.Depart.Low > pt.LimitBar || pt.Depart.High < -pt.LimitBar:
		pt.State = Beyond
	default:
		pt.State = Open
	}
}

// follows walks up the rising levels.
func (c *Cell) follows(levels []Level) {
	shown := c.LineLevels >= 2
	for _, i := range risingOrder(levels, c.Points) {
		pt := c.Points[i]
		if shown = shown && pt.State == Within; shown {
			c.FollowsToBar = levels[i].PO2Bar
		}
		if pt.State == Beyond && math.IsNaN(c.FirstOffBar) {
			c.FirstOffBar = levels[i].PO2Bar
		}
	}
}

// ceiling looks for levels above the line that read low and hardly rise: the
// ceiling is where the line meets what the cell then gives, as its reading.
func (c *Cell) ceiling(l fit.Line, levels []Level, z float64, p Params) {
	var above []int
	for _, i := range risingOrder(levels, c.Points) {
		if !c.Points[i].InLine && c.Points[i].Depart.High < 0 && c.Points[i].State != Within {
			above = append(above, i)
		}
	}
	if len(above) == 0 {
		return
	}
	first, last := above[0], above[len(above)-1]
	slope := 0.0
	if len(above) > 1 {
		slope = (c.Points[last].LineBar - c.Points[first].LineBar) / (levels[last].PO2Bar - levels[first].PO2Bar)
	}
	if slope > p.CeilingSlope {
		return // it departs, but it still rises: no ceiling
	}
	meet := func(slope float64) float64 { // reading = PO2 meets reading = r1 + slope (PO2 - p1)
		return (c.Points[first].LineBar - slope*levels[first].PO2Bar) / (1 - slope)
	}
	knee := meet(slope)
	half := z * math.Hypot(c.Points[first].SDRaw/l.Slope, l.SEAt(knee)/l.Slope)
	low, high := knee-half, math.Max(knee, c.Points[last].LineBar)+half
	if len(above) == 1 { // one level tells no slope: it may be up to the largest that is still a ceiling
		low = meet(p.CeilingSlope) - half
	}
	for _, i := range risingOrder(levels, c.Points) { // it followed, within the limit, at least up to there
		if f := levels[i].PO2Bar - c.Points[i].LimitBar; levels[i].PO2Bar <= c.FollowsToBar && f > low {
			low = math.Min(f, knee)
		}
	}
	c.Ceiling = Estimate{knee, low, high}
}

// hysteresis compares the departures on the way down with those on the way up,
// interpolated to the same PO2.
func (c *Cell) hysteresis(levels []Level, l fit.Line, z float64, p Params) {
	up := risingOrder(levels, c.Points)
	worst := -1.0
	for i := range c.Points {
		pt := c.Points[i]
		if levels[i].Rising || !pt.Settled || math.IsNaN(pt.Depart.Value) {
			continue
		}
		d, sd, ok := departAt(levels, c.Points, up, levels[i].PO2Bar, l)
		if !ok {
			continue
		}
		diff := pt.Depart.Value - d
		if math.Abs(diff) > worst {
			worst = math.Abs(diff)
			c.Hysteresis = around(diff, z*math.Hypot(sd, math.Hypot(pt.SDRaw/l.Slope, levels[i].PO2SDBar)))
		}
	}
}

// departAt interpolates the departure on the way up.
func departAt(levels []Level, pts []Point, up []int, po2Bar float64, l fit.Line) (d, sd float64, ok bool) {
	for k := 1; k < len(up); k++ {
		a, b := up[k-1], up[k]
		lo, hi := levels[a].PO2Bar, levels[b].PO2Bar
		if po2Bar < lo-0.02 || po2Bar > hi+0.02 {
			continue
		}
		w := math.Min(1, math.Max(0, (po2Bar-lo)/(hi-lo)))
		d = (1-w)*pts[a].Depart.Value + w*pts[b].Depart.Value
		sd = math.Max(math.Hypot(pts[a].SDRaw/l.Slope, levels[a].PO2SDBar), math.Hypot(pts[b].SDRaw/l.Slope, levels[b].PO2SDBar))
		return d, sd, true
	}
	return 0, 0, false
}
