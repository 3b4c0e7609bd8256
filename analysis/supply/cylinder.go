package supply

import (
	"math"
	"slices"

	"afterloop/analysis/fit"
)

// Reading is what a gauge showed about a moment: the median of some seconds.
type Reading struct {
	Bar, AtS float64
	// HalfBar is half its interval by the gauge's step and its noise.
	HalfBar float64
}

// Cylinder is one cylinder over the dive.
type Cylinder struct {
	// Start and End are the readings of the first and the last ReadOverS with readings.
	Start, End Reading
	// StepBar is the gauge's step as the log shows it, NaN where it shows one value.
	StepBar float64
	// UsedBar is Start less End with the gauge's interval, the two ends' added up, since a
	// step hides anything within it; temperature is not in it.
	UsedBar Range
	// UsedL is the same of the oxygen cylinder in L STPD, with temperature, volume and
	// compressibility: see [Litres].
	UsedL Range
	// RateBarH is the fall per hour by Theil and Sen, over all readings.
	RateBarH Range
	// Phases are the fall and its rate in each kind of phase, in order of first occurrence.
	Phases []PhaseFall
	// Reason is why there are no figures, or why the two ends can't be compared: it was
	// filled or changed, so that neither use nor rate nor phases are known.
	Reason string
	whole  drawn
}

// PhaseFall is what a cylinder lost in all phases of one kind.
type PhaseFall struct {
	Kind             string
	Seconds, FallBar float64
	// HalfBar is half the interval of FallBar.
	HalfBar, BarPerMin float64
}

// cylinder reads one gauge.
func cylinder(in Input, bar []float64, p Params) Cylinder {
	c := Cylinder{Start: noReading(), End: noReading(), StepBar: math.NaN(), UsedBar: unknown(""), UsedL: unknown("")}
	if bar == nil {
		c.Reason = "the cylinder's pressure was not recorded"
		c.UsedBar, c.UsedL, c.RateBarH = unknown(c.Reason), unknown(c.Reason), unknown(c.Reason)
		return c
	}
	c.StepBar = stepOf(bar)
	first, last := firstKnown(bar), lastKnown(bar)
	if first < 0 || in.TimeS[last]-in.TimeS[first] < p.LeastS {
		c.Reason = "too few readings of the cylinder's pressure"
		c.UsedBar, c.UsedL, c.RateBarH = unknown(c.Reason), unknown(c.Reason), unknown(c.Reason)
		return c
	}
	step := orElse(c.StepBar, p.AssumedStepBar)
	c.Start = readingIn(in, bar, in.TimeS[first], in.TimeS[first]+p.ReadOverS, step)
	c.End = readingIn(in, bar, in.TimeS[last]-p.ReadOverS, in.TimeS[last], step)
	c.UsedBar = about(c.Start.Bar-c.End.Bar, c.Start.HalfBar+c.End.HalfBar)
	if at, rise := refilled(in, bar, p); rise > 0 {
		c.Reason = "the pressure rose by " + barText(rise) + " within two minutes at " + secondsText(at) + ": the cylinder was filled or changed"
		c.UsedBar, c.RateBarH = unknown(c.Reason), unknown(c.Reason)
		return c
	}
	c.RateBarH = perHour(in.TimeS, bar, -1, step)
	c.Phases = phaseFalls(in, bar, step)
	return c
}

// litres turns the oxygen cylinder's readings into litres.
func (c *Cylinder) litres(in Input, p Params) {
	if c.Reason != "" {
		c.UsedL = unknown(c.Reason)
		return
	}
	c.whole = wholeDrawn(in, c.Start, c.End, p)
	c.UsedL = c.whole.litres
}

func noReading() Reading { return Reading{math.NaN(), math.NaN(), math.NaN()} }

// readingIn is the median of the readings of a stretch of time, at their median
// time. Its half-interval holds half a step and two standard errors of the median.
func readingIn(in Input, bar []float64, fromS, toS, step float64) Reading {
	a, b := rowsWithin(in.TimeS, fromS, toS)
	var v, t []float64
	for i := a; i < b; i++ {
		if x := bar[i]; !math.IsNaN(x) {
			v, t = append(v, x), append(t, in.TimeS[i])
		}
	}
	if len(v) == 0 {
		return noReading()
	}
	noise := 2 * 1.25 * 1.4826 * fit.MAD(v) / math.Sqrt(float64(len(v)))
	return Reading{fit.Median(v), fit.Median(t), math.Hypot(step/2, noise)}
}

// stepOf is the smallest change from one reading to the next, NaN where nothing changes.
func stepOf(v []float64) float64 {
	step, was := math.NaN(), math.NaN()
	for _, x := range v {
		if math.IsNaN(x) {
			continue
		}
		if d := math.Abs(x - was); d > 1e-6 && !(d >= step) {
			step = d
		}
		was = x
	}
	return step
}

// middle is the median; it sorts v.
func middle(v []float64) float64 {
	slices.Sort(v)
	switch n := len(v); {
	case n == 0:
		return math.NaN()
	case n%2 == 1:
		return v[n/2]
	default:
		return (v[n/2-1] + v[n/2]) / 2
	}
}

func firstKnown(v []float64) int {
	return slices.IndexFunc(v, func(x float64) bool { return !math.IsNaN(x) })
}

func lastKnown(v []float64) int {
	for i := len(v) - 1; i >= 0; i-- {
		if !math.IsNaN(v[i]) {
			return i
		}
	}
	return -1
}

func orElse(v, other float64) float64 {
	if v > 0 {
		return v
	}
	return other
}

// minutes are the medians of the stretches of ReadOverS, with their middle times.
func minutes(in Input, v []float64, p Params) (tS, out []float64) {
	n := len(in.TimeS)
	for a := 0; a < n; {
		b := a
		for b < n && in.TimeS[b] < in.TimeS[a]+p.ReadOverS {
			b++
		}
		if k := knownIn(v, a, b); len(k) > 0 {
			tS, out = append(tS, (in.TimeS[a]+in.TimeS[b-1])/2), append(out, middle(k))
		}
		a = b
	}
	return tS, out
}

// refilled is the largest rise between neighbouring minutes above RefillBar, and
// when; 0 where there is none.
func refilled(in Input, bar []float64, p Params) (atS, rise float64) {
	tS, v := minutes(in, bar, p)
	for i := 1; i < len(v); i++ {
		if d := v[i] - v[i-1]; d > p.RefillBar && d > rise {
			atS, rise = tS[i], d
		}
	}
	return atS, rise
}

// thinTo is the most points that a robust line is drawn through.
const thinTo = 60

// perHour is the slope per hour of a recorded quantity, times sign, its interval
// no narrower than what one step of the record leaves over the time.
func perHour(tS, v []float64, sign, step float64) Range {
	x, y := thin(tS, v)
	r := fit.TheilSen(x, y, nil, 0.95, true)
	if math.IsNaN(r.Slope) || math.IsInf(r.Low, 0) || math.IsInf(r.High, 0) {
		return unknown("too few readings for a rate")
	}
	hours := x[len(x)-1] - x[0]
	half := math.Max(0, step/math.Sqrt2/hours)
	a, b := sign*r.Low, sign*r.High
	return Range{Value: sign * r.Slope, Low: math.Min(math.Min(a, b), sign*r.Slope-half), High: math.Max(math.Max(a, b), sign*r.Slope+half)}
}

// thin takes medians over equal stretches of time until at most thinTo points are left, in hours.
func thin(tS, v []float64) (x, y []float64) {
	first, last := firstKnown(v), lastKnown(v)
	if first < 0 {
		return nil, nil
	}
	width := (tS[last] - tS[first]) / thinTo
	var bin, at []float64
	flush := func() {
		if len(bin) > 0 {
			x, y = append(x, middle(at)/3600), append(y, middle(bin))
		}
		bin, at = bin[:0], at[:0]
	}
	end := tS[first] + width
	for i := first; i <= last; i++ {
		for tS[i] > end && width > 0 {
			flush()
			end += width
		}
		if !math.IsNaN(v[i]) {
			bin, at = append(bin, v[i]), append(at, tS[i])
		}
	}
	flush()
	return x, y
}

// edgeS is the time on both sides of a moment over which a pressure is read there.
const edgeS = 15

// phaseFalls sums the falls of each kind of phase. Readings at the border between
// two phases are shared, so that the falls add up to the whole.
func phaseFalls(in Input, bar []float64, step float64) []PhaseFall {
	var out []PhaseFall
	for _, s := range in.Phases {
		a, b := readingIn(in, bar, s.FromS-edgeS, s.FromS+edgeS, step), readingIn(in, bar, s.ToS-edgeS, s.ToS+edgeS, step)
		if math.IsNaN(a.Bar) || math.IsNaN(b.Bar) {
			continue
		}
		k := slices.IndexFunc(out, func(f PhaseFall) bool { return f.Kind == s.Kind })
		if k < 0 {
			out = append(out, PhaseFall{Kind: s.Kind})
			k = len(out) - 1
		}
		out[k].Seconds += s.ToS - s.FromS
		out[k].FallBar += a.Bar - b.Bar
		out[k].HalfBar = math.Hypot(out[k].HalfBar, math.Hypot(a.HalfBar, b.HalfBar))
	}
	for k := range out {
		out[k].BarPerMin = out[k].FallBar / (out[k].Seconds / 60)
	}
	return out
}
