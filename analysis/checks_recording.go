package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/wording"
	"afterloop/ingest"
)

// The checks of the record come first: what is wrong with it limits what any
// check of a sensor may claim.

// checkGaps looks for stretches without rows.
func checkGaps(b *bench) verdict {
	gaps := b.debrief.Recording.Gaps
	if len(b.tS) < 2 {
		return notAssessed("one row has no interval")
	}
	if len(gaps) == 0 {
		return ran(1)
	}
	var under float64
	longest := gaps[0]
	for i, g := range b.gapAfter {
		if g && (b.under[i] || b.under[i+1]) {
			under += b.tS[i+1] - b.tS[i]
		}
	}
	for _, g := range gaps {
		if g.ToS-g.FromS > longest.ToS-longest.FromS {
			longest = g
		}
	}
	f := Finding{Kind: "recording-gap", Severity: Note, Confidence: Sure, WhySure: "read from the times of the rows",
		FromS: longest.FromS, ToS: longest.ToS,
		Observed: fmt.Sprintf("%d %s in the record, %s in all, the longest %s from %s. Nothing is known of what happened in them; no line is drawn across and no dose is counted as if it were.",
			len(gaps), plural(len(gaps), "gap", "gaps"), duration(float64(b.debrief.Recording.GapS)), duration(float64(longest.ToS-longest.FromS)), b.clock(float64(longest.FromS))),
		Worst: Value{Value: longest.ToS - longest.FromS, Unit: "s", AtS: longest.FromS}, Onset: noValue("s"), End: noValue("s"),
		Limit: constant(ingest.DefaultGapParams().MinS, "s"), LimitSource: "definition of a gap: more than 30 s and more than 2.5 times the usual interval",
		Others: "every check leaves gaps out and says what share of the time it could assess"}
	if under >= b.p.Limits.GapCautionS {
		f.Severity = Caution
	}
	return ran(1, f)
}

// checkClock looks at problems of time that ingest met.
func checkClock(b *bench) verdict {
	var lines []string
	for _, p := range b.dive.Problems {
		if strings.HasPrefix(p.Code, "time") && p.Severity != ingest.Info {
			lines = append(lines, p.String())
		}
	}
	if len(lines) == 0 {
		return ran(1)
	}
	f := Finding{Kind: "recording-clock", Severity: Caution, Confidence: Sure, WhySure: "read from the times of the rows",
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]),
		Observed: fmt.Sprintf("%d %s of the record did not move forward in time and had to be repaired or left out.", len(lines), plural(len(lines), "place", "places")),
		Onset:    noValue("s"), Worst: noValue("s"), End: noValue("s"), Limit: noValue("s"), LimitSource: "time has to increase from row to row",
		Others: "rates, doses and delays near these places are weaker than elsewhere", Evidence: head(lines, 5)}
	return ran(1, f)
}

// checkComplete asks whether the record holds the whole dive.
func checkComplete(b *bench) verdict {
	r := b.debrief.Recording
	var what []string
	if r.Truncated {
		what = append(what, "the last line is cut off")
	}
	if b.debrief.Dive.MaxDepthM > 3 {
		if r.FirstDepthM > 3 {
			what = append(what, fmt.Sprintf("it starts at %.1f m", float64(r.FirstDepthM)))
		}
		if r.LastDepthM > 3 {
			what = append(what, fmt.Sprintf("it ends at %.1f m", float64(r.LastDepthM)))
		}
	}
	if r.ProblemLines > 0 {
		what = append(what, fmt.Sprintf("%d %s of the file had to be repaired or left out", r.ProblemLines, plural(r.ProblemLines, "line", "lines")))
	}
	if len(what) == 0 {
		return ran(1)
	}
	f := Finding{Kind: "recording-incomplete", Severity: Note, Confidence: Sure, WhySure: "read from the file itself",
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]),
		Observed: "The record is not the whole dive, or not as it was written: " + wording.And(what) + ".",
		Onset:    noValue(""), Worst: noValue(""), End: noValue(""), Limit: noValue(""), LimitSource: "a whole record starts and ends at the surface",
		Others: "exposure and findings cover what was recorded, no more", Evidence: what}
	if r.Truncated || r.LastDepthM > 3 || r.FirstDepthM > 3 {
		f.Severity = Caution
	}
	return ran(1, f)
}

// checkResolution asks whether rounding and interval are fine enough.
func checkResolution(b *bench) verdict {
	r, l := b.debrief.Recording, b.p.Limits
	var what, means, others []string
	f := Finding{Kind: "recording-coarse", Severity: Note, Confidence: Sure, WhySure: "read from the file itself",
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]), Onset: noValue(""), Worst: noValue(""), End: noValue(""), LimitSource: "ours"}
	if float64(r.IntervalMedianS) >= l.CoarseIntervalS-1e-9 {
		what = append(what, fmt.Sprintf("the usual interval is %.0f s", float64(r.IntervalMedianS)))
		means = append(means, "Short events and slow responses may not show.")
		others = append(others, "response times shorter than about two intervals can't be told")
		f.Worst, f.Limit = Value{Value: r.IntervalMedianS, Unit: "s", AtS: unknown}, constant(l.CoarseIntervalS, "s")
	}
	if step := float64(r.CellStepBar); step >= l.CoarseStepBar-tol {
		what = append(what, fmt.Sprintf("the readings of the coarsest cell are rounded to %s", bar(step)))
		if step > b.p.Cell.TooCoarseBar {
			means = append(means, "A cell so coarse is not judged: its faults can't be told from rounding.")
		} else {
			means = append(means, "Small differences between cells may not show.")
		}
		others = append(others, "half a step, either way, is in every reading")
		f.Worst, f.Limit = Value{Value: r.CellStepBar, Unit: "bar", AtS: unknown}, constant(l.CoarseStepBar, "bar")
	}
	if n := slices.Max(append([]int{1}, r.RowsPerReading...)); n > 1 {
		held := float64(n) * float64(r.IntervalMedianS)
		what = append(what, fmt.Sprintf("a cell's reading was renewed only every %d rows, about %.0f s, and held between", n, held))
		means = append(means, "Held readings are not used to judge cells, valves and PO2; the vote is replayed on them, as it stood.")
		others = append(others, "what happened between two renewed readings is not recorded")
		if !f.Worst.Value.Known() {
			f.Worst, f.Limit = Value{Value: Float(held), Unit: "s", AtS: unknown}, constant(float64(r.IntervalMedianS), "s")
		}
	}
	if len(what) == 0 {
		return ran(1)
	}
	f.Observed = "The record is coarse: " + wording.And(what) + ". " + strings.Join(means, " ")
	f.Others, f.Evidence = strings.Join(others, "; "), what
	return ran(1, f)
}

// checkMissing looks for cells without readings and for readings at the display's limit.
func checkMissing(b *bench) verdict {
	var fs []Finding
	n := len(b.tS)
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		if miss := b.missingOf(c); float64(miss) > b.p.Limits.MissingFraction*float64(n) {
			fs = append(fs, b.missingFinding(c, miss))
		}
		if c.AtDisplayLimit != nil {
			fs = append(fs, b.displayLimitFinding(c)...)
		}
	}
	return ran(1, fs...)
}

func (b *bench) missingFinding(c *ingest.Cell, miss int) Finding {
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return math.IsNaN(c.PO2Bar[i]) && b.couldRead(c.Number, i) })
	return Finding{Kind: "readings-missing", Severity: Caution, Confidence: Sure, WhySure: "counted in the file",
		Cell: &c.Number, Cells: []int{c.Number}, FromS: Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("Cell %d has no reading in %d of %d rows.", c.Number, miss, len(b.tS)),
		Onset:    noValue("rows"), Worst: constant(float64(miss), "rows"), End: noValue("rows"),
		Limit: constant(b.p.Limits.MissingFraction*100, "%"), LimitSource: "ours",
		Others: "the vote is replayed without the cell where it has no reading"}
}

func (b *bench) displayLimitFinding(c *ingest.Cell) []Finding {
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return c.AtDisplayLimit[i] })
	if len(ss) == 0 {
		return nil
	}
	return []Finding{{Kind: "reading-at-limit", Severity: Caution, Confidence: Likely, WhySure: "one line of evidence: the recorded figure itself",
		Cell: &c.Number, Cells: []int{c.Number}, FromS: Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("Cell %d stood at the highest figure that the display can show for %s.", c.Number, duration(totalSeconds(ss))),
		Onset:    at(c.PO2Bar, b.tS, ss[0].from, "bar"), Worst: at(c.PO2Bar, b.tS, ss[0].from, "bar"), End: at(c.PO2Bar, b.tS, ss[len(ss)-1].to, "bar"),
		Limit: constant(9.99, "bar"), LimitSource: "the format: 9.99 is at or above what can be shown", Others: "the vote is replayed with the figure as read"}}
}

func countNaN(v []float64) int {
	n := 0
	for _, x := range v {
		if math.IsNaN(x) {
			n++
		}
	}
	return n
}

func head(s []string, n int) []string {
	if len(s) <= n {
		return s
	}
	return append(append([]string{}, s[:n]...), fmt.Sprintf("and %d more", len(s)-n))
}
