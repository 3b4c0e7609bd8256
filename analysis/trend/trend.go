// Package trend answers how a quantity of a cell moves over months: a robust line
// with its interval, the days on which it broke with its own past, and the day on
// which it will pass a limit, with how sure that is.
//
// It works on few points (one a dive or a test) with wild ones among them. A line
// is that of Theil and Sen since the last break; breaks are those of an optimal
// partition into straight parts (package fit). A day in the future is an
// extrapolation: it is given only as far ahead as the record can carry it.
package trend

import (
	"math"

	"afterloop/analysis/fit"
)

// Params are the thresholds; all are ours.
type Params struct {
	// LeastPoints since the last break are needed for a trend: default 5.
	LeastPoints int `json:"least_points"`
	// LeastDays they must span: days, default 28.
	LeastDays float64 `json:"least_days"`
	// LeastStretch is the fewest points of a stretch between two breaks: default 4.
	LeastStretch int `json:"least_stretch"`
	// LeastShift is the smallest shift that counts as a break, as a share of the level: default 0.03.
	LeastShift float64 `json:"least_shift"`
	// Ahead is how far ahead of the record a day is given, in lengths of the record: default 2.
	Ahead float64 `json:"ahead"`
	// Confidence is the level of the intervals: default 0.95.
	Confidence float64 `json:"confidence"`
}

// DefaultParams are the defaults of each field.
func DefaultParams() Params {
	return Params{LeastPoints: 5, LeastDays: 28, LeastStretch: 4, LeastShift: 0.03, Ahead: 2, Confidence: 0.95}
}

// Limits are the bounds that a quantity should keep; NaN for none.
type Limits struct{ Low, High float64 }

// Estimate is a value with its interval; NaN throughout where nothing is known,
// an infinite end where nothing bounds it.
type Estimate struct{ Value, Low, High float64 }

// Result is how a quantity moved.
type Result struct {
	N, NSince int // points, and those since the last break
	Noise     float64
	Breaks    []Break
	SinceDay  float64
	PerDay    Estimate // slope since the last break
	Intercept float64  // of the line value = Intercept + PerDay day
	Now       Estimate // the line at the last day
	Reason    string   // why there is no trend; empty where there is one
	Passing   Passing
}

// Break is a day on which the quantity left its own line.
type Break struct {
	Day, Shift float64 // of the first point after it; the jump of the two lines there
}

// Passing is when a limit is passed.
type Passing struct {
	State string
	Limit float64
	// Day is the middle, Earliest and Latest the interval; +Inf where it may never be.
	Day, Earliest, Latest float64
	Confidence            string // sure, likely, possible; empty without a day
	Reason                string
}

// States of a passing.
const (
	Passed      = "passed"       // the line is past the limit already
	Ahead       = "ahead"        // a day can be given
	NoTrend     = "no-trend"     // the slope's interval holds zero, or leads away
	TooFar      = "too-far"      // the day lies farther ahead than the record carries
	Near        = "near"         // the line's interval holds the limit now
	NotAssessed = "not-assessed" // too few points
)

var nan = math.NaN()

// Analyze looks at values over days, ascending, none of them NaN.
func Analyze(days, values []float64, lim Limits, p Params) Result {
	unknown := Estimate{nan, nan, nan}
	r := Result{N: len(days), NSince: len(days), Noise: fit.Noise(days, values), SinceDay: nan, PerDay: unknown, Now: unknown, Intercept: nan,
		Passing: Passing{State: NotAssessed, Limit: nan, Day: nan, Earliest: nan, Latest: nan}}
	if len(days) == 0 {
		r.Reason = "nothing was measured"
		r.Passing.Reason = r.Reason
		return r
	}
	from := r.breaks(days, values, p)
	r.SinceDay, r.NSince = days[from], len(days)-from
	d, v := days[from:], values[from:]
	span := d[len(d)-1] - d[0]
	switch {
	case len(d) < p.LeastPoints:
		r.Reason = "too few points for a trend"
	case span < p.LeastDays:
		r.Reason = "the points span too few days for a trend"
	}
	if r.Reason != "" {
		r.Passing.Reason = r.Reason
		return r
	}
	f := fit.TheilSen(d, v, nil, p.Confidence, true)
	r.PerDay, r.Intercept = Estimate{f.Slope, f.Low, f.High}, f.Intercept
	r.now(d, v, f)
	r.passing(d, lim, p)
	return r
}

// breaks finds the breaks and returns the index of the first point after the last.
func (r *Result) breaks(days, values []float64, p Params) int {
	n := len(days)
	if n < 2*p.LeastStretch || math.IsNaN(r.Noise) {
		return 0
	}
	floor := 0.25 * p.LeastShift * math.Abs(fit.Median(values)) // readings that are rounded alike have no noise
	sd := math.Max(r.Noise, floor)
	// Three figures more for each stretch, as in Schwarz's criterion, and twice
	// that, since dives are few and their errors no normal ones.
	penalty := 6 * math.Log(float64(n)) * sd * sd
	starts := fit.Segments(days, withoutWild(values, 3*sd), fit.Sloped, penalty, p.LeastStretch)
	from := 0
	for k := 1; k < len(starts); k++ {
		end := n
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		a := fit.TheilSen(days[from:starts[k]], values[from:starts[k]], nil, p.Confidence, false)
		b := fit.TheilSen(days[starts[k]:end], values[starts[k]:end], nil, p.Confidence, false)
		at := days[starts[k]]
		shift := b.Intercept + b.Slope*at - a.Intercept - a.Slope*at
		if level := math.Abs(fit.Median(values[from:starts[k]])); math.Abs(shift) < math.Max(2.5*sd, p.LeastShift*level) {
			continue // a bend, or nothing: the line goes on through it
		}
		r.Breaks = append(r.Breaks, Break{at, shift})
		from = starts[k]
	}
	return from
}

// withoutWild puts the median of five neighbours in the place of a value that
// lies farther than limit from it (F. R. Hampel's identifier): one wild point
// breaks no line, while a jump that stays is left as it is.
func withoutWild(v []float64, limit float64) []float64 {
	out := append([]float64{}, v...)
	for i := range v {
		m := fit.Median(v[max(0, i-2):min(len(v), i+3)])
		if math.Abs(v[i]-m) > limit {
			out[i] = m
		}
	}
	return out
}

// now is the line at the last day: its interval from the scatter about the line
// and the slope's own interval, from the middle of the days on.
func (r *Result) now(d, v []float64, f fit.Robust) {
	last, mid := d[len(d)-1], fit.Median(d)
	at := f.Intercept + f.Slope*last
	scatter := 1.2533 * 1.96 * f.ResidualMAD / math.Sqrt(f.NEff) // of a median
	arm := last - mid
	r.Now = Estimate{at, at - math.Hypot(scatter, arm*(f.Slope-f.Low)), at + math.Hypot(scatter, arm*(f.High-f.Slope))}
}

// passing finds the day of the limit that the line heads for.
func (r *Result) passing(d []float64, lim Limits, p Params) {
	q := &r.Passing
	limit, towards := lim.Low, -1.0
	if math.IsNaN(lim.Low) || !math.IsNaN(lim.High) && r.nearer(lim) {
		limit, towards = lim.High, 1
	}
	if q.Limit = limit; math.IsNaN(limit) {
		q.Reason = "no limit"
		return
	}
	last, mid := d[len(d)-1], fit.Median(d)
	atMid := r.Intercept + r.PerDay.Value*mid
	gap := towards * (limit - r.Now.Value)
	edge := towards * (limit - pick(towards > 0, r.Now.Low, r.Now.High)) // the end of the interval that is farthest from the limit
	fast, slow := pick(towards > 0, r.PerDay.High, -r.PerDay.Low), pick(towards > 0, r.PerDay.Low, -r.PerDay.High)
	day := func(perDay float64) float64 {
		if perDay <= 0 {
			return math.Inf(1)
		}
		return math.Max(last, mid+towards*(limit-atMid)/perDay)
	}
	q.Day, q.Earliest, q.Latest = day(towards*r.PerDay.Value), day(fast), day(slow)
	span := last - d[0]
	switch {
	case edge < 0:
		q.State, q.Confidence, q.Day, q.Earliest, q.Latest = Passed, "sure", last, nan, nan
	case gap < 0 || towards*(limit-pick(towards > 0, r.Now.High, r.Now.Low)) < 0:
		q.State, q.Confidence, q.Reason = Near, "possible", "the line's interval holds the limit"
	case slow <= 0:
		q.State, q.Reason, q.Day = NoTrend, "the slope's interval holds zero or leads away from the limit", nan
	case q.Day > last+p.Ahead*span:
		q.State, q.Reason, q.Day = TooFar, "the day lies farther ahead than the record carries", nan
	case q.Latest <= last+span:
		q.State, q.Confidence = Ahead, "likely"
	default:
		q.State, q.Confidence = Ahead, "possible"
	}
}

// nearer tells whether the line heads for the upper limit, or lies past it.
func (r *Result) nearer(lim Limits) bool {
	if r.Now.Value > lim.High || r.Now.Value < lim.Low {
		return r.Now.Value > lim.High
	}
	return r.PerDay.Value > 0
}

func pick(yes bool, a, b float64) float64 {
	if yes {
		return a
	}
	return b
}
