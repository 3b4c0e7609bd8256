package bench

import (
	"bufio"
	"io"
	"strings"
	"unicode/utf8"

	"afterloop/analysis"
	"afterloop/analysis/bench"
	"afterloop/report"
)

// TextOptions choose how text for a terminal is set.
type TextOptions = report.TextOptions

// text sets lines for a terminal; all that comes from a file is cleaned.
type text struct {
	w     *bufio.Writer
	color bool
	width int
}

func newText(w io.Writer, o TextOptions) *text {
	width := o.Width
	if width <= 0 {
		width = 80
	}
	return &text{bufio.NewWriter(w), o.Color, max(width, 40)}
}

func (t *text) bold(s string) string {
	if !t.color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

func (t *text) title(s string) {
	t.w.WriteString("\n" + t.bold(report.Clean(s)) + "\n" + strings.Repeat("-", min(utf8.RuneCountInString(s), t.width)) + "\n")
}

func (t *text) para(s string) { t.item("", s) }

// item is a paragraph whose first line has a sign before it.
func (t *text) item(sign, s string) {
	for i, l := range report.Wrap(report.Clean(s), t.width-len(sign)) {
		if i > 0 {
			sign = strings.Repeat(" ", len(sign))
		}
		t.w.WriteString(strings.TrimRight(sign+l, " ") + "\n")
	}
}

// table sets columns; a table that is too wide becomes a list.
func (t *text) table(rows [][]string) {
	widths := make([]int, len(rows[0]))
	total := 0
	for k := range widths {
		for i := range rows {
			rows[i][k] = report.Clean(rows[i][k])
			widths[k] = max(widths[k], utf8.RuneCountInString(rows[i][k]))
		}
		total += widths[k] + 2
	}
	if total-2 > t.width {
		for _, r := range rows[1:] {
			s := r[0]
			for k := 1; k < len(r); k++ {
				s += "; " + rows[0][k] + " " + r[k]
			}
			t.item("- ", s)
		}
		return
	}
	for _, r := range rows {
		line := ""
		for k, c := range r {
			line += c + strings.Repeat(" ", widths[k]-utf8.RuneCountInString(c)+2)
		}
		t.w.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

func (t *text) findings(fs []analysis.Finding) {
	t.title("Findings: " + itoa(len(fs)))
	if len(fs) == 0 {
		t.para("No finding was made by the checks that ran. See below for what was not assessed.")
	}
	sign := map[analysis.Severity]string{analysis.Warning: "!! ", analysis.Caution: "! ", analysis.Note: "· "}
	for _, x := range fs {
		what := strings.ToUpper(string(x.Severity)) + " " + x.Title
		if x.Cell != nil {
			what += ", cell " + itoa(*x.Cell)
		}
		t.item(sign[x.Severity], what+" ("+string(x.Confidence)+")")
		t.item("   ", x.Observed)
		t.item("   ", "Technician: "+x.Advice.Technician)
	}
}

// unassessed lists the checks that did not run, or did not settle.
func (t *text) unassessed(cs []analysis.Check) {
	t.title("Not assessed, or borderline")
	n := 0
	for _, c := range cs {
		if c.Outcome == analysis.NotAssessed || c.Outcome == analysis.Borderline {
			n++
			t.item("- ", c.Title+": "+outcomeWord(c.Outcome)+": "+c.Reason)
		}
	}
	if n == 0 {
		t.para("Every check that applies ran and settled.")
	}
}

func itoa(n int) string { return value(analysis.Float(n), 0) }

// WriteCellsText writes a test of cells for a terminal.
func WriteCellsText(w io.Writer, r *bench.CellReport, o TextOptions) error {
	t := newText(w, o)
	t.w.WriteString(t.bold("Cell linearity test: "+report.Clean(orElse(r.Test.Name, "not named"))) + "\n")
	t.para("Date " + orElse(r.Test.Date, "not stated") + "; " + itoa(len(r.Levels)) + " levels up to " + value(r.Test.MaxBar, 2) + " bar absolute, PO2 up to " + value(r.Test.MaxPO2Bar, 2) + " bar.")
	t.para(bench.Safety)
	t.para(bench.OxygenCaution)
	t.title("Cells")
	for _, c := range r.Cells {
		t.item("", "cell "+itoa(c.Cell)+" "+c.Serial+": "+outcomeWord(c.Outcome)+": "+c.Verdict+".")
	}
	t.w.WriteString("\n")
	rows := [][]string{{"cell", "slope", "follows to, bar", "ceiling, bar", "T90, s"}}
	for _, c := range r.Cells {
		slope := value(c.MVPerBar.Value, 2) + " mV/bar"
		if c.RawUnit != "mV" {
			slope = value(c.Gain.Value, 3)
		}
		rows = append(rows, []string{itoa(c.Cell), slope, value(c.FollowsToBar, 2), range95(short(c.CeilingBar), 2), range95(short(c.T90S), 1)})
	}
	t.table(rows)
	t.findings(r.Findings)
	t.unassessed(r.Checks)
	return t.w.Flush()
}

// short leaves the reason to the page.
func short(v analysis.Interval) analysis.Interval { v.Reason = ""; return v }

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// WriteTightnessText writes a tightness test for a terminal.
func WriteTightnessText(w io.Writer, r *bench.TightnessReport, o TextOptions) error {
	t := newText(w, o)
	t.w.WriteString(t.bold("Loop tightness test, "+r.Test.Kind+": "+report.Clean(orElse(r.Test.Name, "not named"))) + "\n")
	t.para("Date " + orElse(r.Test.Date, "not stated") + "; unit " + orElse(r.Test.Unit, "not stated") + "; " + value(r.Test.DurationS, 0) + " s.")
	t.para(bench.Safety)
	t.title("Verdict")
	t.para(outcomeWord(r.Result.Outcome) + ": " + r.Result.Verdict)
	if r.Result.Confidence != "" {
		t.para("How sure: " + string(r.Result.Confidence) + ".")
	}
	t.para("As a flow: " + range95(r.Result.LeakLMin, 4) + unitIf(r.Result.LeakLMin, " L/min") + ".")
	t.title("Stretches")
	rows := [][]string{{"stretch", "from, s", "to, s", "mbar/min"}}
	for _, s := range r.Stretches {
		rows = append(rows, []string{s.Kind, value(s.FromS, 1), value(s.ToS, 1), value(s.RateMbarMin, 2)})
	}
	t.table(rows)
	t.findings(r.Findings)
	t.unassessed(r.Checks)
	t.title("Method")
	t.para(r.Method)
	return t.w.Flush()
}

func unitIf(v analysis.Interval, unit string) string {
	if v.Value.Known() {
		return unit
	}
	return ""
}
