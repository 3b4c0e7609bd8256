package days

import (
	"io"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/analysis/wording"
	"afterloop/report"
	"afterloop/report/paper"
)

// WriteText writes a series for a terminal.
func WriteText(w io.Writer, r *days.Report, o report.TextOptions) error {
	t := paper.NewText(w, o)
	head := "Oxygen over " + wording.Count(len(r.Dives), "dive", "dives")
	if r.Diver != "" {
		head += ", " + r.Diver
	}
	t.Head(head)
	t.Para("Only what was given counts: a dive that was not given can't be known.")
	t.Para(days.Safety)
	t.Para("Any symptom during or after a dive: call emergency medical services and a diving physician; do not wait for a report.")
	t.Title("The answer")
	for _, s := range r.Answer {
		t.Item("- ", s)
	}
	findings(t, r.Findings)
	t.Title("By local day")
	t.Table(dayTable(r))
	t.Title("By dive")
	t.Table(diveTable(r))
	if len(r.LeftOut) > 0 {
		t.Title("Logs that are in no figure")
		for _, l := range r.LeftOut {
			t.Item("- ", l.File+": "+l.Reason)
		}
	}
	t.Unassessed(r.Checks)
	t.Title("Assumptions")
	for _, a := range r.Assumptions {
		t.Item("- ", a.Text)
	}
	return t.Flush()
}

// findings lists findings with their evidence and the diver's advice: this report
// is about a person, not about a part.
func findings(t *paper.Text, fs []analysis.Finding) {
	t.Title("Findings: " + paper.Itoa(len(fs)))
	if len(fs) == 0 {
		t.Para("No finding was made by the checks that ran. That is no permission for a next dive. See below for what was not assessed.")
	}
	sign := map[analysis.Severity]string{analysis.Warning: "!! ", analysis.Caution: "! ", analysis.Note: "· "}
	for _, x := range fs {
		t.Item(sign[x.Severity], strings.ToUpper(string(x.Severity))+" "+x.Title+" ("+string(x.Confidence)+")")
		t.Item("   ", x.Observed)
		for _, e := range x.Evidence {
			t.Item("   - ", e)
		}
		t.Item("   ", "Diver: "+x.Advice.Diver)
	}
}

func dayTable(r *days.Report) [][]string {
	rows := [][]string{{"local day", "dives", "day of run", "OTU", "low to high", "limit", "run so far", "its limit", "worst 24 h"}}
	if r.Parameters.ESOT {
		rows[0] = append(rows[0], "ESOT (memory)", "its limit")
	}
	for _, d := range r.Days {
		dives := ""
		for i, n := range d.Dives {
			if i > 0 {
				dives += ", "
			}
			dives += paper.Itoa(n)
		}
		run := "–"
		if d.DayOfRun > 0 {
			run = paper.Itoa(d.DayOfRun)
		}
		limit := paper.Value(d.LimitOTU, 0)
		if !d.LimitVerified {
			limit += " (memory)"
		}
		row := []string{d.Date, dives, run, otu(d.OTU), between(d.OTU, 0), limit, otu(d.RunOTU), paper.Value(d.RunLimitOTU, 0), paper.Value(d.Worst24hPercent, 0) + " %"}
		if e := d.ESOT; e != nil {
			value := paper.Value(e.Value, 0)
			if e.Standing == "outside" {
				value = "outside its range"
			}
			row = append(row, value, paper.Value(e.Limit, 0))
		}
		rows = append(rows, row)
	}
	return rows
}

func diveTable(r *days.Report) [][]string {
	rows := [][]string{{"dive", "from", "length", "surface before", "CNS", "at start", "at end", "OTU"}}
	for _, d := range r.Dives {
		rows = append(rows, []string{paper.Itoa(d.Number), when(d.From), length(d.DurationS), length(d.SurfaceIntervalS), figure(d.CNSPercent), figure(d.CNSBeforePercent), figure(d.CNSAfterPercent), otu(d.OTU)})
	}
	return rows
}
