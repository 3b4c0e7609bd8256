package score

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis/calibration"
)

// section is one table of the account, for text and Markdown alike.
type section struct {
	title, note string
	header      []string
	rows        [][]string
}

// preface says what was measured and what it is worth.
func (r Result) preface() []string {
	dives := 0
	for _, f := range r.Families {
		dives += f.Dives
	}
	return []string{
		fmt.Sprintf("afterloop %s held to the truth of %d simulated dives.", r.Tool.Version, dives),
		"All figures are " + calibration.Note + ": a simulation knows no dirt, no water on a cell's face and no wiring. Intervals are 95 %.",
	}
}

// title names a family and says where its dives come from.
func (f Family) title() string {
	s := fmt.Sprintf("%s: %d dives, seeds %d to %d, %s", f.Family, f.Dives, f.FirstSeed, f.FirstSeed+uint64(f.Dives)-1, calibration.Note)
	if f.Failed > 0 {
		s += fmt.Sprintf("; THE PROGRAM FAILED ON %d", f.Failed)
	}
	return s
}

// sections are the tables of a family; empty ones are left out.
func (f Family) sections() []section {
	var out []section
	for _, s := range []section{f.faultTable(), f.timeTable(), f.takenForTable(), f.alarmTable(), f.gradeTable(), f.estimateTable(), f.simpleTable(), f.checkTable(), f.scenarioTable()} {
		if len(s.rows) > 0 {
			out = append(out, s)
		}
	}
	return out
}

func (f Family) faultTable() section {
	s := section{title: "Faults", note: "Right kind: the true kind and no more kinds on that part than are true. Trivial: a simple rule finds the cell and names no healthy one.",
		header: []string{"kind", "faults", "detected", "right part", "right kind", "said sure", "not assessed", "trivial", "right part, not trivial"}}
	for _, k := range f.kindRows() {
		s.rows = append(s.rows, []string{k.Kind, strconv.Itoa(k.Faults), share(k.Detected), rate(k.RightPart), rate(k.RightKind), share(k.Sure), strconv.Itoa(k.NotAssessed), strconv.Itoa(k.Trivial), share(k.RightPartRest)})
	}
	return s
}

// kindRows are the kinds, and all of them where there are several.
func (f Family) kindRows() []Kind {
	if len(f.Kinds) < 2 {
		return f.Kinds
	}
	return append(append([]Kind{}, f.Kinds...), f.All)
}

func (f Family) timeTable() section {
	s := section{title: "Onset and figures", note: "Over faults that start during the dive: median / 90 % / worst; none where the figure is not given. Delay is the start of the finding less that of the fault, never for a fault whose kind was not found.",
		header: []string{"kind", "onset error, s", "delay, s", "error of the figure"}}
	for _, k := range f.kindRows() {
		figure := ""
		switch k.Kind {
		case "slow-cell":
			figure = "T90: " + spread(f.T90Error, percent)
		case "current-limited-cell":
			figure = "ceiling, bar: " + spread(f.CeilingErrorBar, bar3)
		}
		if k.DelayS.N+len(figure) > 0 {
			s.rows = append(s.rows, []string{k.Kind, spread(k.OnsetErrorS, whole), strings.ReplaceAll(spread(k.DelayS, whole), "none", "never"), figure})
		}
	}
	return s
}

func (f Family) takenForTable() section {
	s := section{title: "Faults whose kind was not right", header: []string{"kind", "taken for", "times"}}
	for _, t := range f.TakenFor {
		s.rows = append(s.rows, []string{t.Kind, either(t.TakenFor, "nothing"), strconv.Itoa(t.Count)})
	}
	return s
}

func (f Family) alarmTable() section {
	a, u := f.FalseAlarms, f.Undecidable
	rows := [][]string{
		{"false alarms per dive", count(a.All, "dives")},
		{"false alarms per healthy hour", count(a.Healthy, "h")},
		{"healthy dives without a false alarm", rate(a.HealthyClean)},
		{"all dives without a false alarm", rate(a.AllClean)},
		{"faults for which a wrong part was named", strconv.Itoa(a.MisIsolated)},
		{"sure and wrong", strconv.Itoa(a.SureAndWrong)},
		{"borderline notes, not counted", strconv.Itoa(a.Notes)},
	}
	if u.Gains.Of > 0 {
		rows = append(rows, []string{"undecidable gains told as such", rate(u.Gains)}, []string{"undecidable gains settled by helium instead", strconv.Itoa(u.Settled)},
			[]string{"undecidable gains called more than possible without helium", strconv.Itoa(u.Overclaimed)})
	}
	if u.Leaks.Of > 0 {
		rows = append(rows, []string{"undecidable leaks not claimed", rate(u.Leaks)})
	}
	return section{title: "False alarms and open questions", note: "Limits are exact for a Poisson count, one-sided.", header: []string{"what", "figure"}, rows: rows}
}

func (f Family) gradeTable() section {
	s := section{title: "What the grades are worth", header: []string{"confidence", "findings", "right", "undecidable, left out"}}
	for _, g := range f.Grades {
		s.rows = append(s.rows, []string{g.Confidence, strconv.Itoa(g.Of), rate(g.Rate), strconv.Itoa(g.Open)})
	}
	return s
}

func (f Family) estimateTable() section {
	e := f.Estimate
	if e.RMSBar.N == 0 {
		return section{}
	}
	return section{title: "Estimate of PO2 at the cells", note: "Root mean square error per dive: median / 90 % / worst. Scaled: what is left after each dive's best constant factor, that is, without the error of gain that all cells share.",
		header: []string{"what", "figure"},
		rows: [][]string{
			{"recorded vote, bar", spread(e.VoteRMSBar, bar3)},
			{"estimate, bar", spread(e.RMSBar, bar3)},
			{"estimate over vote", spread(e.Ratio, two)},
			{"estimate scaled, bar", spread(e.ScaledRMSBar, bar3)},
			{"estimate scaled over vote", spread(e.ScaledRatio, two)},
			{"size of that factor", spread(e.ScaleError, percent)},
			{"band covers, mean over dives", fmt.Sprintf("%s (%s to %s)", percent(e.Coverage.Mean), percent(e.Coverage.Low), percent(e.Coverage.High))},
			{"band covers, all rows pooled", percent(e.CoveragePooled)},
			{"band covers, worst dive", percent(e.CoverageWorst)},
			{"band's width, median, bar", bar3(e.WidthBar)},
		}}
}

func (f Family) simpleTable() section {
	s := section{title: "Simple rules on the same dives, cells only", note: "Detected: any cell named at that time. Exact: the right cell, and no healthy one in the whole dive.",
		header: []string{"rule", "detected", "right cell", "exact", "false alarms per dive", "healthy dives clean", "what it does"}}
	for _, r := range f.Simple {
		s.rows = append(s.rows, []string{r.Rule, share(r.Detected), share(r.Named), rate(r.Exact), two(r.FalseAlarms.Rate), share(r.HealthyClean), r.Text})
	}
	return s
}

func (f Family) checkTable() section {
	s := section{title: "How the checks ended", header: []string{"check", "found", "not found", "borderline", "not assessed", "assessable, mean"}}
	for _, c := range f.Checks {
		s.rows = append(s.rows, []string{c.Check, strconv.Itoa(c.Found), strconv.Itoa(c.NotFound), strconv.Itoa(c.Borderline), strconv.Itoa(c.NotAssessed), percent(c.Assessable)})
	}
	return s
}

func (f Family) scenarioTable() section {
	s := section{title: "Scenarios", header: []string{"scenario", "dives", "faults", "right part", "right kind", "false alarms", "sure and wrong", "onset error, s", "estimate over vote", "band covers"}}
	for _, c := range f.Scenarios {
		s.rows = append(s.rows, []string{c.Scenario, strconv.Itoa(c.Dives), strconv.Itoa(c.Faults), strconv.Itoa(c.RightPart), strconv.Itoa(c.RightKind), strconv.Itoa(c.FalseAlarms), strconv.Itoa(c.SureWrong), whole(c.OnsetS), two(c.RatioMedian), percent(c.Coverage)})
	}
	return s
}

// The words for figures. What is missing is said, never 0.

func number(v Float, format string, by float64) string {
	switch {
	case math.IsNaN(float64(v)):
		return "-"
	case math.IsInf(float64(v), 0):
		return "none"
	}
	return fmt.Sprintf(format, float64(v)*by)
}

func percent(v Float) string { return number(v, "%.1f %%", 100) }
func bar3(v Float) string    { return number(v, "%.4f", 1) }
func two(v Float) string     { return number(v, "%.2f", 1) }
func whole(v Float) string   { return number(v, "%.0f", 1) }

func share(r Rate) string {
	if r.Of == 0 {
		return "-"
	}
	return fmt.Sprintf("%d/%d", r.Right, r.Of)
}

func rate(r Rate) string {
	if r.Of == 0 {
		return "-"
	}
	return fmt.Sprintf("%d/%d %s (%s to %s)", r.Right, r.Of, percent(r.Share), percent(r.Low), percent(r.High))
}

func count(c Count, unit string) string {
	if math.IsNaN(float64(c.Rate)) {
		return "-"
	}
	return fmt.Sprintf("%d in %.4g %s: %.2g (at most %.2g)", c.Count, float64(c.Per), unit, float64(c.Rate), float64(c.High))
}

func spread(d Distribution, words func(Float) string) string {
	if d.N == 0 {
		return "-"
	}
	return fmt.Sprintf("%s / %s / %s", words(d.Median), words(d.P90), words(d.Worst))
}

func either(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
