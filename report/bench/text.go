package bench

import (
	"io"

	"afterloop/analysis"
	"afterloop/analysis/bench"
	"afterloop/report/paper"
)

// WriteCellsText writes a test of cells for a terminal.
func WriteCellsText(w io.Writer, r *bench.CellReport, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("Cell linearity test: " + (paper.OrElse(r.Test.Name, "not named")))
	t.Para("Date " + paper.OrElse(r.Test.Date, "not stated") + "; " + paper.Itoa(len(r.Levels)) + " levels up to " + paper.Value(r.Test.MaxBar, 2) + " bar absolute, PO2 up to " + paper.Value(r.Test.MaxPO2Bar, 2) + " bar.")
	t.Para(bench.Safety)
	t.Para(bench.OxygenCaution)
	t.Title("Cells")
	for _, c := range r.Cells {
		t.Item("", "cell "+paper.Itoa(c.Cell)+" "+c.Serial+": "+paper.OutcomeWord(c.Outcome)+": "+c.Verdict+".")
	}
	t.Blank()
	rows := [][]string{{"cell", "slope", "follows to, bar", "ceiling, bar", "T90, s"}}
	for _, c := range r.Cells {
		slope := paper.Value(c.MVPerBar.Value, 2) + " mV/bar"
		if c.RawUnit != "mV" {
			slope = paper.Value(c.Gain.Value, 3)
		}
		rows = append(rows, []string{paper.Itoa(c.Cell), slope, paper.Value(c.FollowsToBar, 2), paper.Range95(paper.Short(c.CeilingBar), 2), paper.Range95(paper.Short(c.T90S), 1)})
	}
	t.Table(rows)
	t.Findings(r.Findings)
	t.Unassessed(r.Checks)
	return t.Flush()
}

// WriteTightnessText writes a tightness test for a terminal.
func WriteTightnessText(w io.Writer, r *bench.TightnessReport, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("Loop tightness test, " + r.Test.Kind + ": " + (paper.OrElse(r.Test.Name, "not named")))
	t.Para("Date " + paper.OrElse(r.Test.Date, "not stated") + "; unit " + paper.OrElse(r.Test.Unit, "not stated") + "; " + paper.Value(r.Test.DurationS, 0) + " s.")
	t.Para(bench.Safety)
	t.Title("Verdict")
	t.Para(paper.OutcomeWord(r.Result.Outcome) + ": " + r.Result.Verdict)
	if r.Result.Confidence != "" {
		t.Para("How sure: " + string(r.Result.Confidence) + ".")
	}
	t.Para("As a flow: " + paper.Range95(r.Result.LeakLMin, 4) + unitIf(r.Result.LeakLMin, " L/min") + ".")
	t.Title("Stretches")
	rows := [][]string{{"stretch", "from, s", "to, s", "mbar/min"}}
	for _, s := range r.Stretches {
		rows = append(rows, []string{s.Kind, paper.Value(s.FromS, 1), paper.Value(s.ToS, 1), paper.Value(s.RateMbarMin, 2)})
	}
	t.Table(rows)
	t.Findings(r.Findings)
	t.Unassessed(r.Checks)
	t.Title("Method")
	t.Para(r.Method)
	return t.Flush()
}

func unitIf(v analysis.Interval, unit string) string {
	if v.Value.Known() {
		return unit
	}
	return ""
}
