package days

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis"
)

// verdict is the answer to one check.
type verdict struct {
	outcome analysis.Outcome
	reason  string
	finding *analysis.Finding
}

func notAssessed(reason string) verdict { return verdict{analysis.NotAssessed, reason, nil} }

// check is one question put to the series.
type check struct {
	id, title, looks string
	run              func(*series) verdict
}

// checks are the questions, in the order of the report.
func checks() []check {
	return []check{
		{"placed", "Logs placed in time", "logs that were given and are in no figure, although their dose is not known to be nothing", checkPlaced},
		{"start-times", "Start of the clocks", "logs whose clock times seem to count from midnight although they state a start", checkStarts},
		{"overlap", "Overlapping logs", "two logs that cover the same time of one diver", checkOverlap},
		{"whole", "Whole records", "records that begin or end under water, have gaps, or an unknown gas", checkWhole},
		{"rolling-24h", "24-hour limit", "any 24 hours near or past the 24-hour limit, without decay", checkRolling},
		{"single-cns", "Single-exposure limit", "a dive that ends near or past the single-exposure limit, with what earlier dives left by the 90-minute convention", checkSingle},
		{"beyond-table", "Beyond the CNS table", "time above 1.6 bar, where the table is silent", checkBeyond},
		{"otu-day", "Pulmonary dose of each day", "a local day near or past its limit of OTU", checkDays},
		{"otu-run", "Pulmonary dose of each run of days", "a run of diving days near or past its limit of OTU", checkRuns},
		{"esot-day", "Equivalent surface oxygen time of each day", "a local day past the limit of ESOT (memory, unverified)", checkESOT},
	}
}

// CheckList are the checks by id, title and what each looks for.
func CheckList() []analysis.Check {
	var out []analysis.Check
	for _, c := range checks() {
		out = append(out, analysis.Check{ID: c.id, Version: 1, Title: c.title, Looks: c.looks})
	}
	return out
}

// runChecks asks everything. The share of time is that of all logs of the diver.
func (s *series) runChecks(logs []Log) {
	var known, all float64
	for _, d := range s.dives {
		total, _, _ := sum(d.head, s.p.Exposure)
		known += total.Seconds + d.coveredS
	}
	for _, l := range logs {
		all += float64(l.Debrief.Dive.DurationS)
	}
	share := math.Min(1, known/math.Max(all, 1))
	var fs []analysis.Finding
	for _, c := range checks() {
		v := c.run(s)
		s.r.Checks = append(s.r.Checks, analysis.Check{ID: c.id, Version: 1, Title: c.title, Looks: c.looks, Outcome: v.outcome, Reason: v.reason, AssessableFraction: f(share)})
		if a := &s.r.Assessable; v.outcome != analysis.DoesNotApply {
			a.ChecksTotal++
			if v.outcome != analysis.NotAssessed {
				a.ChecksRun++
			}
		}
		if v.finding != nil {
			v.finding.Check = c.id
			fs = append(fs, *v.finding)
		}
	}
	s.r.Assessable.TimeFraction = f(share)
	s.r.Findings = complete(fs)
}

func none(unit string) analysis.Value {
	return analysis.Value{Value: unknown, Unit: unit, AtS: unknown}
}

func of(v float64, unit string) analysis.Value {
	return analysis.Value{Value: f(v), Unit: unit, AtS: unknown}
}

// finding is one without moments: a series has no one time axis, its times stand in words.
func finding(kind string, severity analysis.Severity, sure analysis.Confidence, why, observed string) *analysis.Finding {
	return &analysis.Finding{Kind: kind, Severity: severity, Confidence: sure, WhySure: why, Observed: observed, FromS: unknown, ToS: unknown,
		Onset: none(""), Worst: none(""), End: none(""), Limit: none("")}
}

func found(x *analysis.Finding, reason string) verdict { return verdict{analysis.Found, reason, x} }

func checkPlaced(s *series) verdict {
	var lost []string
	for _, l := range s.r.LeftOut {
		if l.loses() {
			lost = append(lost, l.Reason)
		}
	}
	if len(lost) == 0 {
		return verdict{analysis.NotFound, "every log of the diver is in the figures, or counts in another", nil}
	}
	x := finding("series-incomplete", analysis.Caution, analysis.Sure, "it follows from the logs themselves",
		fmt.Sprintf("%s that %s given %s in no figure. Every sum is a lower bound.", plural(len(lost), "log", "logs"), wasWere(len(lost)), isAre(len(lost))))
	x.Evidence = lost
	return found(x, plural(len(lost), "log", "logs")+" left out")
}

func wasWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// checkStarts: the format's start is the time at time_s = 0, not that of the first
// row; a log whose first row is hours into its clock, by as much as the clock time
// of its start, may mean the latter.
func checkStarts(s *series) verdict {
	var odd []string
	for k, d := range s.dives {
		first := d.from.Sub(d.zero).Seconds()
		if clock := d.zero.Sub(midnight(d.zero)).Seconds(); first >= 600 && math.Abs(first-clock) < 60 {
			odd = append(odd, strconv.Itoa(k+1))
		}
	}
	if len(odd) == 0 {
		return verdict{analysis.NotFound, "no first row repeats the clock time of its start", nil}
	}
	x := finding("series-clock", analysis.Caution, analysis.Likely, "the first row's time repeats the clock time of the stated start",
		"The first row of "+list("dive", odd)+" is as far into the log's clock as the stated start is into its day. The start is that of time 0 by the format, so the dive was placed that much later; if the start meant the first row, it is wrong by as much.")
	return verdict{analysis.Borderline, "the start of " + list("dive", odd) + " may be that of the first row", x}
}

func checkOverlap(s *series) verdict {
	if len(s.dives) < 2 {
		return verdict{analysis.DoesNotApply, "one log is placed", nil}
	}
	if len(s.overlaps) == 0 {
		return verdict{analysis.NotFound, "no two logs share time", nil}
	}
	var lines []string
	for _, o := range s.overlaps {
		lines = append(lines, fmt.Sprintf("dives %d and %d share %s from %s; dive %d counts there", o.a, o.b, length(o.toS-o.fromS), moment(s.instant(o.fromS)), o.counted))
	}
	x := finding("logs-overlap", analysis.Caution, analysis.Sure, "by the starts that the logs state",
		fmt.Sprintf("%s the same time. One diver can't take two doses at once: that time counts once, by the log with the larger dose there. If a clock or a zone is wrong and these are different dives, every sum is too low.", plural(len(lines), "pair of logs covers", "pairs of logs cover")))
	x.Evidence = lines
	return found(x, plural(len(lines), "pair of logs shares", "pairs of logs share")+" time")
}

func checkWhole(s *series) verdict {
	var lines []string
	for _, d := range s.r.Dives {
		for _, remark := range d.Remarks {
			if !strings.Contains(remark, "covered by") {
				lines = append(lines, fmt.Sprintf("dive %d: %s", d.Number, remark))
			}
		}
	}
	if len(lines) == 0 {
		return verdict{analysis.NotFound, "every record begins and ends at the surface, or does not tell, and has no gap in its PO2", nil}
	}
	x := finding("series-record", analysis.Note, analysis.Sure, "it follows from the logs themselves", "Part of the diver's time is not in the records.")
	x.Evidence = lines
	return found(x, plural(len(lines), "remark", "remarks"))
}

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
		x := finding("series-esot", analysis.Note, analysis.Possible, "equation and limits are from memory and unverified", "The equivalent surface oxygen time of "+plural(len(lines), "day", "days")+" is past the limit for that day of a run.")
		x.LimitSource, x.Evidence = "DMAC 35 (memory): 660 on a single day, 500 for up to 5 days, 420 for up to 10", lines
		return found(x, percent(worst)+" of the limit")
	case !any:
		return notAssessed("no day lies in the published range with a known limit")
	case outside > 0 || s.incomplete():
		return notAssessed(percent(worst) + " of the limit from what could be judged; exposure is missing from the figures")
	}
	return verdict{analysis.NotFound, "at most " + percent(worst) + " of the limit", nil}
}
