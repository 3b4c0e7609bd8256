package report

import (
	"math"
	"strconv"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// unknown stands in tables for a figure that is not known; the page says so.
const unknown = wording.Unknown

// notKnown is the same in running text.
var notKnown = say("not-known")

// minus is the typographic minus sign.
const minus = "−"

// fixed prints v with the given decimals, or unknown.
func fixed(v analysis.Float, decimals int) string { return wording.Figure(float64(v), decimals) }

// trimmed prints v with at most max and at least min decimals. It keeps 1.604
// apart from a limit of 1.60 without printing 1.300.
func trimmed(v analysis.Float, min, max int) string {
	s := fixed(v, max)
	if !v.Known() || max == 0 {
		return s
	}
	for n := max; n > min && strings.HasSuffix(s, "0"); n-- {
		s = s[:len(s)-1]
	}
	return strings.TrimSuffix(s, ".")
}

// bar prints a pressure: two decimals, a third where it is not zero.
func bar(v analysis.Float) string { return trimmed(v, 2, 3) }

// share prints a fraction as a whole percentage. It never rounds up to 100 %
// or down to 0 %, because both are read as "all" and "none".
func share(v analysis.Float) string {
	f := float64(v)
	switch {
	case !v.Known():
		return unknown
	case f > 0 && f < 0.01:
		return say("number.under-1")
	case f < 1 && f > 0.99:
		return say("number.over-99")
	}
	return fixed(v*100, 0) + " %"
}

// percent prints a figure that is a percentage already; one decimal below 10.
func percent(v analysis.Float) string {
	if v.Known() && math.Abs(float64(v)) < 9.95 {
		return fixed(v, 1)
	}
	return fixed(v, 0)
}

// seconds prints a duration in seconds without idle decimals.
func seconds(v analysis.Float) string {
	if v.Known() && math.Abs(float64(v)) < 1 {
		return trimmed(v, 0, 3)
	}
	return trimmed(v, 0, 1)
}

// quantity prints a value with its unit, with the digits that suit the unit.
func quantity(v analysis.Float, unit string) string {
	if !v.Known() {
		return notKnown
	}
	if of, ok := strings.CutPrefix(unit, "share of "); ok { // a share reads as per cent
		return significant(100*v, 2) + " % of " + of
	}
	s := ""
	switch unit {
	case "bar", "bar/s", "bar/min", "ata":
		s = bar(v)
	case "s", "m":
		s = seconds(v)
	case "%":
		s = percent(v)
	case "fraction": // a share of a gas reads as per cent, as everywhere else
		return significant(100*v, 2) + " %"
	default:
		s = significant(v, 3)
	}
	if unit == "" {
		return s
	}
	return s + " " + unit
}

// significant prints v with n significant digits, without an exponent for the
// sizes that occur in a log.
func significant(v analysis.Float, n int) string {
	if !v.Known() {
		return unknown
	}
	if v == 0 {
		return "0"
	}
	digitsBefore := int(math.Floor(math.Log10(math.Abs(float64(v))))) + 1
	decimals := n - digitsBefore
	if decimals < 0 {
		decimals = 0
	}
	return trimmed(v, 0, min(decimals, 9))
}

// between prints a range, or one figure where both ends print alike.
func between(low, high analysis.Float, print func(analysis.Float) string) string {
	if low.Known() && !high.Known() { // what is not known has no upper end
		return say("figures.or-more", print(low))
	}
	a, b := print(low), print(high)
	if a == b {
		return a
	}
	return say("range", a, b)
}

// plural counts things: "1 row", "2 rows".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return thousands(n) + " " + many
}

// thousands groups the digits of large counts: 10 800.
func thousands(n int) string {
	s := strconv.Itoa(n)
	if n < 10000 && n > -10000 {
		return s
	}
	var b strings.Builder
	for i, c := range s {
		if i > 0 && (len(s)-i)%3 == 0 && s[i-1] != '-' {
			b.WriteString("\u202f") // narrow no-break space
		}
		b.WriteRune(c)
	}
	return b.String()
}

// signed prints a difference with its sign.
func signed(v analysis.Float) string {
	if v.Known() && v > 0 {
		return "+" + bar(v)
	}
	return bar(v)
}

// signedTo prints a difference with its sign and the given decimals, for a column.
func signedTo(v analysis.Float, decimals int) string {
	s := fixed(v, decimals)
	if v > 0 && strings.Trim(s, "0.") != "" {
		s = "+" + s
	}
	return s
}

// cnsText prints a CNS figure; a lower bound is said to be one.
func cnsText(v analysis.Float, isLowerBound bool) string {
	if !v.Known() {
		return notKnown
	}
	if isLowerBound {
		return say("at-least-percent", percent(v))
	}
	return percent(v) + " %"
}

// notANumber stands for a figure that is not there.
var notANumber = math.NaN()
