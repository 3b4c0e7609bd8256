package days

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/wording"
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
		{"one-dive", "Two records of one dive", "two logs with one profile of depth, as the two halves of doubled electronics keep", checkAlike},
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
		fmt.Sprintf("%s that %s given %s in no figure. Every sum is a lower bound.", wording.Count(len(lost), "log", "logs"), wasWere(len(lost)), isAre(len(lost))))
	x.Evidence = lost
	return found(x, wording.Count(len(lost), "log", "logs")+" left out")
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
		fmt.Sprintf("%s the same time. One diver can't take two doses at once: that time counts once, by the log with the larger dose there. If a clock or a zone is wrong and these are different dives, every sum is too low.", wording.Count(len(lines), "pair of logs covers", "pairs of logs cover")))
	x.Evidence = lines
	return found(x, wording.Count(len(lines), "pair of logs shares", "pairs of logs share")+" time")
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
	return found(x, wording.Count(len(lines), "remark", "remarks"))
}
