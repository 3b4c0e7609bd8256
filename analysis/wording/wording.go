// Package wording answers how figures, moments, numbers of things and lists are
// written in the sentences of findings, answers and pages, so that one figure is
// written in one way everywhere. It knows English and nothing of dives; it imports
// none of our packages, and all may import it.
//
// Source: English usage; the minus sign and the en dash are Unicode's U+2212 and
// U+2013.
package wording

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Unknown stands in tables for a figure that is not known.
const Unknown = "–"

// Figure writes v with n decimals and the minus sign of print, or [Unknown] where
// v is not finite. What rounds to zero has no sign.
func Figure(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Unknown
	}
	return Minus(strconv.FormatFloat(v, 'f', n, 64))
}

// Minus gives a written number the minus sign of print, and a zero none.
func Minus(s string) string {
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "−", 1)
}

// Clock writes a moment or a length of time in seconds as h:mm:ss, rounded to the
// second; one before zero with a hyphen, which can be typed to search for it.
func Clock(s float64) string {
	n, sign := int64(math.Round(s)), ""
	if n < 0 {
		n, sign = -n, "-"
	}
	return fmt.Sprintf("%s%d:%02d:%02d", sign, n/3600, n/60%60, n%60)
}

// Count counts things: "1 dive", "2 dives".
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// And joins as "a, b and c".
func And(words []string) string {
	if len(words) <= 1 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
