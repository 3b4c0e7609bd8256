package linearity

import (
	"math"

	"afterloop/analysis/fit"
)

// Result is the test of all cells.
type Result struct {
	PO2Bar   []float64 // of the pot, in every row
	Fraction []float64
	Levels   []Level
	Cells    []Cell
}

// Cell is what one cell showed. Slopes are raw units (mV or bar) per bar.
type Cell struct {
	Points []Point // one per level
	// Line is the straight line through the levels that the cell follows, known
	// errors of pressure and reading included; LineFrom is how many they are.
	Slope, OffsetRaw, OffsetBar Estimate
	LineLevels                  int
	LineReason                  string // why there is no line
	// FollowsToBar is the highest PO2 to which the cell was shown to follow: every
	// rising level up to it departs, with its whole interval, by less than the
	// limit. NaN where that holds nowhere.
	FollowsToBar float64
	// FirstOffBar is the lowest level whose departure is, with its whole interval,
	// beyond the limit; NaN for none.
	FirstOffBar float64
	Ceiling     Estimate // as the cell's reading in bar; NaN where none was seen
	Hysteresis  Estimate // largest difference, falling less rising, bar
	Steps       []Step
	T90S        Estimate // of the steps together
	T90Reason   string
}

// Point is a cell at a level.
type Point struct {
	Level    int
	Reading  float64 // raw; NaN where not recorded
	SDRaw    float64 // standard uncertainty of the reading
	Settled  bool
	InLine   bool
	LineBar  float64  // the reading in bar by the line's slope and offset
	Depart   Estimate // reading less line, bar
	LimitBar float64
	// State is within, beyond, open (the interval holds the limit) or unsettled.
	State string
}

// States of a point.
const (
	Within    = "within"
	Beyond    = "beyond"
	Open      = "open"
	Unsettled = "unsettled"
)

// Analyze runs the test. It never panics on data: what can't be had is NaN.
func Analyze(in Input, p Params) Result {
	r := Result{}
	r.PO2Bar, r.Fraction = PotPO2(in, p)
	r.Levels = Levels(in, r.PO2Bar, r.Fraction, p)
	for k := range in.Readings {
		r.Cells = append(r.Cells, analyzeCell(in, r, k, p))
	}
	return r
}

func analyzeCell(in Input, r Result, k int, p Params) Cell {
	c := Cell{Slope: Unknown(), OffsetRaw: Unknown(), OffsetBar: Unknown(), FollowsToBar: nan, FirstOffBar: nan, Ceiling: Unknown(), Hysteresis: Unknown()}
	for l := range r.Levels {
		c.Points = append(c.Points, point(in, r.Levels, l, k, p))
	}
	line, used, reason := findLine(r.Levels, c.Points, p)
	c.LineLevels, c.LineReason = len(used), reason
	if reason == "" {
		c.judge(line, used, r.Levels, p)
	}
	c.Steps = steps(in, r, k, c.Points, p)
	c.T90S, c.T90Reason = pooledT90(c.Steps)
	return c
}

// point reads a cell at the settled end of a level.
func point(in Input, levels []Level, l, k int, p Params) Point {
	lv := levels[l]
	from := settledFrom(in.TimeS, lv.From, lv.To, p.SettledS)
	var t, v []float64
	for i := from; i <= lv.To; i++ {
		if y := in.Readings[k][i]; !math.IsNaN(y) {
			t, v = append(t, in.TimeS[i]), append(v, y)
		}
	}
	pt := Point{Level: l, Reading: meanOf(v), SDRaw: nan, Depart: Unknown(), LineBar: nan, LimitBar: p.DepartureFraction*lv.PO2Bar + p.DepartureBar, State: Unsettled}
	if len(v) < 3 {
		return pt
	}
	s := fit.LeastSquares(t, v, nil, false)
	drift := s.Slope * (t[len(t)-1] - t[0])
	pt.Settled = math.Abs(drift) <= p.UnsettledFraction*math.Abs(pt.Reading)+2*in.StepRaw[k]
	// The mean of readings that were all rounded alike is not better than the rounding.
	pt.SDRaw = math.Hypot(fit.Noise(t, v)/math.Sqrt(float64(len(v))), in.StepRaw[k]/math.Sqrt(12))
	return pt
}

// findLine looks for the longest run of levels, from the lowest up, whose own
// straight line leaves every one of them within the limit. Two levels lie on any
// line: they count only if their line passes near zero, as a cell's does.
func findLine(levels []Level, pts []Point, p Params) (line fit.Line, used []int, reason string) {
	order := risingOrder(levels, pts)
	if len(order) < 2 {
		return line, nil, "fewer than two settled levels on the way up"
	}
	if levels[order[len(order)-1]].PO2Bar-levels[order[0]].PO2Bar < 0.3 {
		return line, nil, "the levels span less than 0.3 bar of PO2"
	}
	for n := len(order); n >= 2; n-- {
		l, ok := lineThrough(levels, pts, order[:n])
		if !ok || !(l.Slope > 0) {
			continue
		}
		if fits(l, levels, pts, order[:n], p) && (n > 2 || nearZero(l, p)) {
			l, n = unbend(l, levels, pts, order, n, p)
			return l, order[:n], ""
		}
	}
	return line, nil, "no straight line holds even the two lowest levels: the reading does not go with PO2, or the pot's gas is not what was stated"
}

func nearZero(l fit.Line, p Params) bool { return math.Abs(l.Intercept/l.Slope) <= p.OffsetBar }

// unbend takes the highest level out of the line where the levels above it read
// low and so does it, by more than its own error, against the line of those
// below: a ceiling just under it would else bend the line.
func unbend(l fit.Line, levels []Level, pts []Point, order []int, n int, p Params) (fit.Line, int) {
	if n < 3 || n == len(order) {
		return l, n
	}
	below, ok := lineThrough(levels, pts, order[:n-1])
	last := order[n-1]
	sd := math.Hypot(pts[last].SDRaw, below.Slope*levels[last].PO2SDBar)
	if !ok || !(below.Slope > 0) || n == 3 && !nearZero(below, p) || pts[last].Reading-below.At(levels[last].PO2Bar) > -sd {
		return l, n
	}
	return below, n - 1
}

// risingOrder are the settled levels in order of PO2, of the way up only, since
// a cell that hangs behind would else blur the line.
func risingOrder(levels []Level, pts []Point) []int {
	var order []int
	top := math.Inf(-1)
	for i := range pts {
		if l := levels[i]; pts[i].Settled && l.Rising && l.PO2Bar > top+0.02 {
			order, top = append(order, i), l.PO2Bar
		}
	}
	return order
}

func lineThrough(levels []Level, pts []Point, use []int) (fit.Line, bool) {
	var x, y, w []float64
	slope := pts[use[len(use)-1]].Reading / levels[use[len(use)-1]].PO2Bar
	for _, i := range use {
		sd := math.Hypot(pts[i].SDRaw, slope*levels[i].PO2SDBar)
		if !(sd > 0) {
			return fit.Line{}, false
		}
		x, y, w = append(x, levels[i].PO2Bar), append(y, pts[i].Reading), append(w, 1/(sd*sd))
	}
	l := fit.LeastSquares(x, y, w, true)
	return l, !math.IsNaN(l.Slope)
}

func fits(l fit.Line, levels []Level, pts []Point, use []int, p Params) bool {
	for _, i := range use {
		if math.Abs(pts[i].Reading-l.At(levels[i].PO2Bar))/l.Slope > pts[i].LimitBar {
			return false
		}
	}
	return true
}

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
