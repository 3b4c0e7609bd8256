package days

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/report/paper"
)

// between prints a range, or nothing where it is one figure.
func between(v days.Figure, n int) string {
	if !v.Value.Known() {
		return ""
	}
	if !v.High.Known() {
		return "at least " + paper.Value(v.Low, n)
	}
	a, b := paper.Value(v.Low, n), paper.Value(v.High, n)
	if a == b {
		return ""
	}
	return a + " to " + b
}

// figure prints a percentage. Close below the whole it keeps a decimal, so that
// 99.9 % does not read as the limit.
func figure(v days.Figure) string {
	if !v.Value.Known() {
		return "–"
	}
	s := paper.Value(v.Value, 0)
	if x := float64(v.Value); x < 100 && x > 99.4 {
		s = fmt.Sprintf("%.1f", math.Floor(10*x)/10)
	}
	if v.IsLowerBound {
		s = "≥ " + s
	}
	return s + " %"
}

// otu prints a pulmonary dose.
func otu(v days.Figure) string {
	s := paper.Value(v.Value, 0)
	if v.Value.Known() && v.IsLowerBound {
		s = "≥ " + s
	}
	return s
}

// length prints a time for people.
func length(v analysis.Float) string {
	if !v.Known() {
		return "–"
	}
	m := int(math.Round(float64(v) / 60))
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// when prints an RFC 3339 time for people, to the minute; its offset stays.
func when(s string) string {
	if len(s) < 20 {
		return s
	}
	zone := s[19:]
	if zone == "Z" {
		zone = "+00:00"
	}
	return s[:10] + " " + s[11:16] + " " + zone
}

// clock is the time of day alone.
func clock(s string) string {
	if len(s) < 20 {
		return s
	}
	return s[11:16]
}

// source says in words whose PO2 a dose rests on.
func source(name string) string {
	switch name {
	case "unit":
		return "the unit's PO2"
	case "mid-value":
		return "the mid-value of the cells"
	case "model":
		return "the estimate"
	case "model-high":
		return "the top of the estimate's band"
	}
	return name
}

// short is the beginning of a digest, enough to tell logs apart.
func short(digest string) string {
	if len(digest) <= 12 {
		return digest
	}
	return digest[:12] + "…"
}
