package ageing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/trend"
)

// check puts every question to a cell.
func (c *Cell) check(asOf float64, p Params) {
	judged := 0
	for _, q := range c.Quantities {
		if q.LimitLow.Known() || q.LimitHigh.Known() || q.Key == "mv_per_bar" {
			a := broken(q, c.quantityOutcome(q, asOf, p))
			c.add(q.Key, q.Name, "a "+q.Name+" beyond its limit, or on its way there", a)
			if a.outcome != analysis.NotAssessed {
				judged++
			}
		}
	}
	c.add("age-in-use", "age in use", "longer in use than the limit", ageOutcome(c.MonthsInUse, p.MonthsInUse, "since it was first fitted", "no fitting is recorded"))
	c.add("age-made", "age since it was made", "older than the limit", ageOutcome(c.MonthsSinceMade, p.MonthsMade, "since it was made", "the day it was made is not recorded"))
	c.Outcome, c.Assessable = analysis.NotAssessed, analysis.Assessable{ChecksTotal: len(c.Checks), TimeFraction: unknown()}
	if judged > 0 {
		c.Outcome = analysis.NotFound
	}
	for _, k := range c.Checks {
		if k.Outcome != analysis.NotAssessed {
			c.Assessable.ChecksRun++
		}
		if o := k.Outcome; o == analysis.Found || o == analysis.Borderline && c.Outcome != analysis.Found {
			c.Outcome = o
		}
	}
	c.Summary = c.summary()
}

// answer is how a check ended.
type answer struct {
	outcome analysis.Outcome
	reason  string
}

func (c *Cell) add(id, title, looks string, a answer) {
	c.Checks = append(c.Checks, analysis.Check{ID: id, Version: 1, Title: title, Looks: looks, Outcome: a.outcome, Reason: a.reason, AssessableFraction: unknown()})
}

// ageOutcome: within the last tenth of the limit is borderline.
func ageOutcome(months analysis.Float, limit float64, since, absent string) answer {
	switch {
	case !months.Known():
		return answer{analysis.NotAssessed, absent}
	case float64(months) > limit+1e-6:
		return answer{analysis.Found, fmt.Sprintf("%s months %s, limit %s", num(float64(months), 1), since, num(limit, 0))}
	case float64(months) > 0.9*limit:
		return answer{analysis.Borderline, fmt.Sprintf("%s of %s months %s", num(float64(months), 1), num(limit, 0), since)}
	}
	return answer{analysis.NotFound, fmt.Sprintf("%s of %s months %s", num(float64(months), 1), num(limit, 0), since)}
}

// quantityOutcome looks at the last measurement first: one that lies beyond the
// limit needs no trend. A trend that could not be computed is not assessed, even
// where the last measurement is well.
func (c *Cell) quantityOutcome(q Quantity, asOf float64, p Params) answer {
	if len(q.Points) == 0 {
		if last, ok := c.last("follows_to_bar"); ok && q.Key == "ceiling_bar" && float64(last.Value) >= p.CeilingBar {
			return answer{analysis.NotFound, "none seen; shown to follow up to " + num(float64(last.Value), 2) + " bar on " + last.At[:10]}
		}
		if q.Key == "ceiling_bar" {
			return answer{analysis.NotAssessed, "no ceiling was seen in any source; that is no proof that there is none"}
		}
		return answer{analysis.NotAssessed, "it was not measured"}
	}
	last := q.Points[len(q.Points)-1]
	said := "last " + num(float64(last.Value), digits(q)) + unit(q) + " on " + last.At[:10]
	s := q.Passing
	switch beyond(q, last) {
	case analysis.Found:
		side := ", beyond the limit of "
		if q.Key == "ceiling_bar" {
			side = ", below the limit of "
		}
		return answer{analysis.Found, said + side + limitText(q, float64(last.Value))}
	case analysis.Borderline:
		return answer{analysis.Borderline, said + ", its interval holds the limit of " + limitText(q, float64(last.Value))}
	}
	switch {
	case q.Key == "ceiling_bar":
		return answer{analysis.Borderline, said + ": a ceiling was seen, above the limit"}
	case s.State == trend.Passed:
		return answer{analysis.Found, said + "; its trend is past the limit"}
	case s.State == trend.Near:
		return answer{analysis.Borderline, said + "; the trend's interval holds the limit"}
	case s.State == trend.NotAssessed:
		return answer{analysis.NotAssessed, said + ", within the limit; no trend can be given: " + s.Reason}
	case s.State == trend.Ahead && s.day-asOf <= p.SoonDays:
		return answer{analysis.Borderline, said + "; it will pass the limit about " + s.Day + " (" + s.Confidence + ", " + span(s) + ")"}
	case s.State == trend.Ahead:
		return answer{analysis.NotFound, said + "; it will pass the limit about " + s.Day + " (" + s.Confidence + ", " + span(s) + ")"}
	}
	return answer{analysis.NotFound, said + "; " + s.Reason}
}

// broken raises an answer where the quantity left its own line: a sudden step is
// worth a look even where no limit is near.
func broken(q Quantity, a answer) answer {
	if n := len(q.Breaks); n > 0 && (a.outcome == analysis.NotFound || a.outcome == analysis.NotAssessed) {
		b := q.Breaks[n-1]
		return answer{analysis.Borderline, a.reason + "; it left its own line about " + b.Day + ", by " + num(float64(b.Shift), digits(q)) + unit(q)}
	}
	return a
}

// last is the last measurement of a quantity.
func (c *Cell) last(key string) (Point, bool) {
	for _, q := range c.Quantities {
		if n := len(q.Points); q.Key == key && n > 0 {
			return q.Points[n-1], true
		}
	}
	return Point{}, false
}

// span is the interval of a day.
func span(s Passing) string {
	if s.Latest == "open" {
		return "not before " + s.Earliest
	}
	return s.Earliest + " to " + s.Latest
}

// beyond compares one measurement with the limits.
func beyond(q Quantity, p Point) analysis.Outcome {
	low, high := p.Low, p.High
	if !low.Known() || !high.Known() {
		low, high = p.Value, p.Value
	}
	switch {
	case q.LimitLow.Known() && high < q.LimitLow || q.LimitHigh.Known() && low > q.LimitHigh:
		return analysis.Found
	case q.LimitLow.Known() && low < q.LimitLow || q.LimitHigh.Known() && high > q.LimitHigh:
		return analysis.Borderline
	}
	return analysis.NotFound
}

// limitText is the limit on the side of the value.
func limitText(q Quantity, v float64) string {
	l := q.LimitLow
	if !l.Known() || q.LimitHigh.Known() && math.Abs(v-float64(q.LimitHigh)) < math.Abs(v-float64(l)) {
		l = q.LimitHigh
	}
	return num(float64(l), digits(q)) + unit(q)
}

func unit(q Quantity) string {
	if q.Unit == "" {
		return ""
	}
	return " " + q.Unit
}

// digits are the decimals that suit a quantity.
func digits(q Quantity) int {
	switch q.Key {
	case "mv_per_bar", "t90_s":
		return 1
	case "gain", "drift_per_h", "offset_bar":
		return 3
	}
	return 2
}

// Digits are the decimals that suit the quantity.
func (q Quantity) Digits() int { return digits(q) }

func num(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }

// summary is the cell in one sentence: the gravest first.
func (c *Cell) summary() string {
	switch {
	case c.Retired != "" && c.RetiredReason != "":
		return "retired on " + c.Retired + ": " + c.RetiredReason
	case c.Retired != "":
		return "retired on " + c.Retired
	case c.Measurements == 0:
		return "nothing was measured of it"
	}
	for _, o := range []analysis.Outcome{analysis.Found, analysis.Borderline} {
		var all []string
		for _, k := range c.Checks {
			if k.Outcome == o {
				all = append(all, k.Title+": "+k.Reason)
			}
		}
		if len(all) > 0 {
			return strings.Join(all, "; ")
		}
	}
	n := 0
	for _, k := range c.Checks {
		if k.Outcome == analysis.NotAssessed {
			n++
		}
	}
	if n > 0 {
		return fmt.Sprintf("no limit is passed by what was measured; %d of %d checks could not be assessed", n, len(c.Checks))
	}
	return "within all limits"
}
