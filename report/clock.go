package report

import (
	"fmt"
	"math"

	"afterloop/analysis"
)

// clock prints moments: seconds on the log's own axis, and hours, minutes and
// seconds since the first row, because a log may start at any number.
type clock struct{ firstS float64 }

// newClock starts at the first row; at 0 where that is not known.
func newClock(first analysis.Float) clock {
	if !first.Known() {
		return clock{}
	}
	return clock{firstS: float64(first)}
}

// since is h:mm:ss since the first row.
func (c clock) since(t analysis.Float) string {
	if !t.Known() {
		return notKnown
	}
	return hms(float64(t) - c.firstS)
}

// at is "0:20:34 (1234 s)".
func (c clock) at(t analysis.Float) string {
	if !t.Known() {
		return notKnown
	}
	return say("clock.at", c.since(t), seconds(t))
}

// span is "0:20:34 to 0:21:00 (1234 to 1260 s; lasting 26 s)".
func (c clock) span(from, to analysis.Float) string {
	switch {
	case !from.Known() && !to.Known():
		return say("clock.time-not-known")
	case !to.Known():
		return say("clock.from", c.at(from))
	case !from.Known():
		return say("clock.until", c.at(to))
	case from == to:
		return c.at(from)
	}
	return say("clock.to-to-s-lasting",
		c.since(from), c.since(to), seconds(from), seconds(to), duration(to-from))
}

// hms prints seconds as h:mm:ss, rounded down to the second.
func hms(s float64) string {
	sign := ""
	if s < 0 {
		sign, s = minus, -s
	}
	n := int64(math.Floor(s + 1e-6))
	return fmt.Sprintf("%s%d:%02d:%02d", sign, n/3600, n/60%60, n%60)
}

// duration prints a length of time in the units that people say.
func duration(d analysis.Float) string {
	if !d.Known() {
		return notKnown
	}
	s := float64(d)
	if math.Abs(s) < 100 {
		return seconds(d) + " s"
	}
	n := int64(math.Round(s))
	if n >= 3600 { // hours go with whole minutes
		n = int64(math.Round(s/60)) * 60
	}
	h, m, r := n/3600, n/60%60, n%60
	switch {
	case h > 0 && m == 0:
		return say("clock.h", h)
	case h > 0:
		return say("clock.h-min", h, m)
	case r == 0:
		return say("clock.min", m)
	}
	return say("clock.min-s", m, r)
}
