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
