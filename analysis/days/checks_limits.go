package days

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// judged is a share of a limit put to the two marks.
type judged struct {
	kind, what  string // "the worst 24 hours reached"
	share       Figure // fractions
	where       string // when, in words
	limitSource string
	unverified  bool
	evidence    []string
}

// judge compares a share with the marks. A figure below them from which exposure is
// known to be missing proves nothing: that is not assessed.
func (s *series) judge(j judged) verdict {
	v, low, high := float64(j.share.Value), float64(j.share.Low), float64(j.share.High)
	mark := s.p.CautionFraction - 1e-9
	reason := fmt.Sprintf("at most %s of the limit", percent(math.Max(v, high)))
	switch {
	case v >= mark:
	case high >= mark:
		return verdict{analysis.Borderline, fmt.Sprintf("%s, and up to %s if the gaps or the other sources are charged", percent(v), percent(high)), nil}
	case j.share.IsLowerBound || math.IsNaN(high):
		others := ""
		if percent(low) != percent(v) {
			others = ", from " + percent(low) + " by other sources that may have been breathed"
		}
		return notAssessed("≥ " + percent(v) + " of the limit by the headline's source" + others + ", from what was recorded; exposure is missing from the figures")
	default:
		return verdict{analysis.NotFound, reason, nil}
	}
	x := finding(j.kind, analysis.Caution, analysis.Likely, "by the headline's source of PO2; by the lowest source the mark is not reached", fmt.Sprintf("%s %s of the limit, %s.", j.what, percent(v), j.where))
	if low >= mark {
		x.Confidence, x.WhySure = analysis.Sure, "by every source of PO2 that is believed, with nothing charged for gaps"
	}
	if v >= s.p.WarningFraction-1e-9 {
		x.Severity = analysis.Warning
	}
	if j.unverified {
		x.Severity, x.Confidence, x.WhySure = analysis.Caution, analysis.Possible, "the limit is from memory and unverified: never more than a caution"
	}
	x.Worst, x.End, x.Limit, x.LimitSource, x.Evidence = of(100*v, "%"), of(100*v, "%"), of(100, "%"), j.limitSource, j.evidence
	if !math.IsNaN(high) {
		x.Others = fmt.Sprintf("over the sources of PO2 that are believed, and with gaps charged, between %s and %s", percent(low), percent(high))
	}
	return found(x, percent(v)+" of the limit")
}

// fraction turns per cent into shares.
func fraction(v Figure) Figure {
	return Figure{v.Value / 100, v.Low / 100, v.High / 100, v.IsLowerBound}
}

// over divides by a limit.
func over(v Figure, limit analysis.Float) Figure {
	return Figure{v.Value / limit, v.Low / limit, v.High / limit, v.IsLowerBound}
}

func checkRolling(s *series) verdict {
	w := s.r.Worst24h
	j := judged{kind: "series-24h-limit", what: "The worst 24 hours took", share: fraction(w.Percent), limitSource: "NOAA Diving Manual, 24-hour limits, step rule, no decay"}
	if w.From != "" {
		j.where = "from " + moment(s.instant(s.peak.FromS)) + " to " + moment(s.instant(s.peak.ToS))
	}
	for _, x := range w.Shares {
		j.evidence = append(j.evidence, fmt.Sprintf("dive %d took %s of the limit in that time", x.Dive, percent(float64(x.Percent)/100)))
	}
	return s.judge(j)
}

// checkSingle judges each dive's end; the gravest is told.
func checkSingle(s *series) verdict {
	var all []graded
	var evidence []string
	for _, d := range s.r.Dives {
		if !d.CNSAfterPercent.Value.Known() {
			continue
		}
		share := fraction(d.CNSAfterPercent)
		share.IsLowerBound = share.IsLowerBound || s.incomplete()
		if float64(share.Value) >= s.p.CautionFraction-1e-9 {
			evidence = append(evidence, fmt.Sprintf("dive %d: %s at its start, %s at its end", d.Number, s.figureText(d.CNSBeforePercent), s.figureText(d.CNSAfterPercent)))
		}
		all = append(all, graded{float64(share.Value), true, s.judge(judged{kind: "series-single-limit", what: fmt.Sprintf("Dive %d ended at", d.Number), share: share,
			where:       "with what earlier dives left by the convention of a 90-minute half-time",
			limitSource: "NOAA Diving Manual, single-exposure limits; the half-time is a convention without measurement behind it"})})
	}
	v := gravest(all, "no dive has a CNS figure")
	if v.finding != nil {
		v.finding.Evidence = evidence
	}
	return v
}

// graded is a verdict on one of several, with its share of the limit, and whether
// the limit was seen in a source.
type graded struct {
	share    float64
	verified bool
	verdict
}

// gravity orders outcomes: "nothing found" is said only where nothing graver is.
var gravity = map[analysis.Outcome]int{analysis.Found: 3, analysis.Borderline: 2, analysis.NotAssessed: 1, analysis.NotFound: 0}

// gravest is the verdict to tell: by outcome, a limit that was seen before one from
// memory, then the largest share.
func gravest(all []graded, none string) verdict {
	if len(all) == 0 {
		return notAssessed(none)
	}
	best := all[0]
	for _, g := range all[1:] {
		switch a, b := gravity[g.outcome], gravity[best.outcome]; {
		case a != b:
			if a > b {
				best = g
			}
		case g.verified != best.verified && g.outcome == analysis.Found:
			if g.verified {
				best = g
			}
		case g.share > best.share:
			best = g
		}
	}
	return best.verdict
}

func checkBeyond(s *series) verdict {
	var lines []string
	total := 0.0
	for _, d := range s.r.Dives {
		if d.AboveTableS > 0 {
			total += float64(d.AboveTableS)
			lines = append(lines, fmt.Sprintf("dive %d: %s", d.Number, length(float64(d.AboveTableS))))
		}
	}
	if total == 0 {
		return verdict{analysis.NotFound, "no time above 1.6 bar", nil}
	}
	x := finding("series-beyond-table", analysis.Caution, analysis.Likely, "by the headline's source of PO2",
		"For "+length(total)+" the PO2 was above 1.6 bar, where the table is silent. That time is charged at the limit of 1.6 bar: CNS figures that hold it are lower bounds.")
	x.Limit, x.LimitSource, x.Evidence = of(1.6, "bar"), "NOAA Diving Manual: last row of the table", lines
	return found(x, length(total)+" above 1.6 bar")
}

// checkDays judges each local day by the limit for that day of its run.
func checkDays(s *series) verdict {
	return s.worstDay("series-otu-day", "took", func(d Day) (Figure, analysis.Float) { return d.OTU, d.LimitOTU })
}

// checkRuns judges what a run has taken so far; on day 1 that is the day's own.
func checkRuns(s *series) verdict {
	long := false
	for _, d := range s.r.Days {
		long = long || d.DayOfRun > 1
	}
	if !long {
		return verdict{analysis.DoesNotApply, "no run is longer than a day", nil}
	}
	return s.worstDay("series-otu-run", "brought its run to", func(d Day) (Figure, analysis.Float) {
		if d.DayOfRun < 2 {
			return Figure{}, unknown
		}
		return d.RunOTU, d.RunLimitOTU
	})
}

// worstDay judges each day by a limit; the gravest is told.
func (s *series) worstDay(kind, verb string, figureOf func(Day) (Figure, analysis.Float)) verdict {
	var all []graded
	var lines []string
	for _, d := range s.r.Days {
		v, limit := figureOf(d)
		if !limit.Known() {
			continue
		}
		share := over(v, limit)
		share.IsLowerBound = share.IsLowerBound || s.incomplete()
		against := fmt.Sprintf("%s OTU against %.0f", otuText(v), float64(limit))
		if float64(share.Value) >= s.p.CautionFraction-1e-9 {
			lines = append(lines, d.Date+": "+against+memory(d.LimitVerified))
		}
		source := "REPEX (Hamilton, Kenyon and Peterson, 1988): 850 on day 1, 300 from day 11"
		if !d.LimitVerified {
			source = "REPEX (Hamilton, Kenyon and Peterson, 1988), days 2 to 10 from memory, unverified"
		}
		all = append(all, graded{float64(share.Value), d.LimitVerified, s.judge(judged{kind: kind, what: fmt.Sprintf("The local day %s (day %d of a run) %s", d.Date, d.DayOfRun, verb),
			share: share, where: against, limitSource: source, unverified: !d.LimitVerified})})
	}
	v := gravest(all, "no day has a pulmonary dose")
	if v.finding != nil {
		v.finding.Evidence = lines
	}
	return v
}

func checkESOT(s *series) verdict {
	if !s.p.ESOT {
		return verdict{analysis.DoesNotApply, "not asked for (--models esot)", nil}
	}
	worst, any, outside := 0.0, false, 0
	var lines []string
	for _, d := range s.r.Days {
		if !d.ESOT.Value.Known() {
			outside++
			continue
		}
		if !d.ESOT.Limit.Known() {
			continue
		}
		any = true
		share := float64(d.ESOT.Value / d.ESOT.Limit)
		worst = math.Max(worst, share)
		if share >= 1-1e-9 {
			lines = append(lines, fmt.Sprintf("%s: %.0f against %.0f (memory, unverified)", d.Date, float64(d.ESOT.Value), float64(d.ESOT.Limit)))
		}
	}
	switch {
	case len(lines) > 0:
		x := finding("series-esot", analysis.Note, analysis.Possible, "equation and limits are from memory and unverified", "The equivalent surface oxygen time of "+wording.Count(len(lines), "day", "days")+" is past the limit for that day of a run.")
		x.LimitSource, x.Evidence = "DMAC 35 (memory): 660 on a single day, 500 for up to 5 days, 420 for up to 10", lines
		return found(x, percent(worst)+" of the limit")
	case !any:
		return notAssessed("no day lies in the published range with a known limit")
	case outside > 0 || s.incomplete():
		return notAssessed(percent(worst) + " of the limit from what could be judged; exposure is missing from the figures")
	}
	return verdict{analysis.NotFound, "at most " + percent(worst) + " of the limit", nil}
}
