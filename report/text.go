package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"afterloop/analysis"
)

// TextOptions choose how the terminal text is set.
type TextOptions struct {
	// Color allows escape sequences for bold and colour. They never carry meaning alone.
	Color bool
	// Width is the line length in characters; 0 means 80, at least 40 is used.
	Width int
	// Anonymous leaves names out, as [Options] says.
	Anonymous bool
}

// WriteText writes the debrief's summary for a terminal: what was recorded, the
// safety line, how much could be assessed, the findings with the advice in
// brief, the exposure, the votes and what could not be assessed. Text from the
// log is cleaned: no control character of a log reaches the terminal.
func WriteText(w io.Writer, d *analysis.Debrief, o TextOptions) error {
	out := bufio.NewWriter(w)
	d = Options{Anonymous: o.Anonymous}.of(d)
	t := &textWriter{w: out, d: d, clock: newClock(d.Dive.FirstS), color: o.Color, width: textWidth(o.Width)}
	t.head()
	t.assessable()
	t.findings()
	t.responses()
	t.supply()
	t.exposure()
	t.gas()
	t.votes()
	t.halves()
	t.unassessed()
	t.problems()
	return out.Flush()
}

func textWidth(w int) int {
	if w <= 0 {
		return 80
	}
	return max(w, 40)
}

func (t *textWriter) head() {
	f := t.d.Dive
	t.line(t.bold("Debrief: " + Clean(titleOf(t.d))))
	t.para("", recorded(t.d))
	for _, s := range t.d.Sources {
		t.pair("file", fmt.Sprintf("%s, %s", s.File, plural(s.Rows, "row", "rows")))
		t.pair("sha256", s.SHA256)
		if s.MappingSHA256 != "" {
			t.pair("mapping", strings.TrimSpace(s.Mapping+" "+s.MappingSHA256))
		}
		if s.Dives > 0 {
			t.pair("dive", strings.TrimSpace(fmt.Sprintf("%s (of %d in the file)", s.Dive, s.Dives)))
		}
	}
	for _, p := range [][2]string{{"diver", f.Diver}, {"unit", f.Unit}, {"start", f.Start}} {
		if p[1] != "" {
			t.pair(p[0], startText(p[1]))
		}
	}
	t.line("")
	t.para("", "This is a record of what instruments said, read after the dive. It clears no equipment for use and no person to dive; a suspect cell is replaced and tested by the equipment's own procedure; local rules and the training held come first.")
	t.para("", "Any symptom during or after the dive: call emergency medical services and a diving physician, do not wait for this report. After an incident keep the unit and the original logs untouched.")
}

func (t *textWriter) assessable() {
	a := t.d.Assessable
	t.line("")
	t.para("", fmt.Sprintf("Assessed: %d of %d checks ran; %s of the recorded time could be assessed.", a.ChecksRun, a.ChecksTotal, share(a.TimeFraction)))
}

func (t *textWriter) findings() {
	t.title(fmt.Sprintf("Findings: %d", len(t.d.Findings)))
	if len(t.d.Findings) == 0 {
		t.para("", "No finding was made by the checks that ran. See below for what was not assessed.")
	}
	for i, f := range t.d.Findings {
		t.heading(number(i), f)
		t.para("   ", strings.TrimPrefix(part(f)+", "+string(f.Confidence), ", "))
		t.para("   ", t.clock.span(f.FromS, f.ToS))
		t.para("   ", f.Observed)
		if f.Worst.Value.Known() {
			limit := ""
			if f.Limit.Value.Known() {
				limit = "; limit " + t.clock.value(f.Limit)
			}
			t.para("   ", "Worst "+t.clock.value(f.Worst)+limit+".")
		}
		t.advice(i)
		t.line("")
	}
}

// advice is for the diver, and for a caution or a warning for the others too.
// Advice that stood under an earlier finding is not repeated.
func (t *textWriter) advice(i int) {
	f := t.d.Findings[i]
	for k, g := range t.d.Findings[:i] {
		if g.Advice == f.Advice && (g.Severity != analysis.Note || f.Severity == analysis.Note) {
			t.para("   ", "Advice as for "+number(k)+".")
			return
		}
	}
	list := [][2]string{{"Diver: ", f.Advice.Diver}}
	if f.Severity != analysis.Note {
		list = append(list, [2]string{"Technician: ", f.Advice.Technician}, [2]string{"Instructor: ", f.Advice.Instructor})
	}
	for _, a := range list {
		if a[1] != "" {
			t.para("   ", a[0]+a[1])
		}
	}
}

func (t *textWriter) exposure() {
	t.title("Oxygen exposure")
	t.para("", headlineText(t.d))
	if !t.d.Exposure.OpenCircuitAssessed {
		t.para("", "NOT ASSESSED: the diver breathed open circuit and the gas is not known.")
	}
	t.models()
}

func (t *textWriter) votes() {
	if len(t.d.Votes) == 0 {
		return
	}
	t.title("Vote, by policy")
	if t.d.Dive.Cells == 1 {
		t.para("", say("votes.one-cell"))
		return
	}
	rows := [][]string{{"policy", "from unit, bar", "undecided", "by number", "cells out"}}
	for _, v := range t.d.Votes {
		order := "no"
		if v.OrderDependent {
			order = "yes"
		}
		rows = append(rows, []string{Clean(v.Policy), fixed(v.MeanAbsDifferenceFromUnitBar, 3), duration(v.UndecidedS), order, outs(v.VotedOut)})
	}
	t.table(rows)
	t.para("", "from unit: mean difference from the unit's PO2; by number: whether another numbering of the cells changes the result.")
}

func (t *textWriter) unassessed() {
	t.title("Not assessed")
	list := unassessed(t.d)
	if len(list) == 0 {
		t.para("", "Every check that applies could be run over all of the record.")
	}
	for _, r := range list {
		t.bullet(r.What + ": " + r.Why)
	}
}

// maxTextProblems bounds the list of problems; the page and the JSON hold more.
const maxTextProblems = 10

func (t *textWriter) problems() {
	if len(t.d.Problems) == 0 {
		return
	}
	t.title("Problems found while reading")
	for i, p := range t.d.Problems {
		if i == maxTextProblems {
			t.para("", more(maxTextProblems, len(t.d.Problems)))
			break
		}
		t.bullet(p.String())
	}
}

// heading is a finding's first line: number, severity as sign and word, title.
func (t *textWriter) heading(number string, f analysis.Finding) {
	sign := map[analysis.Severity]string{analysis.Warning: "!!", analysis.Caution: "!", analysis.Note: "·"}[f.Severity]
	code := map[analysis.Severity]string{analysis.Warning: "1;31", analysis.Caution: "1;33", analysis.Note: "36"}[f.Severity]
	severity := strings.TrimSpace(sign + " " + strings.ToUpper(Clean(string(f.Severity))))
	for i, l := range wrap(number+" "+severity+" "+Clean(f.Title), t.width) {
		if rest, ok := strings.CutPrefix(l, number+" "+severity); ok && i == 0 {
			l = number + " " + t.paint(code, severity) + t.bold(rest)
		}
		t.line(l)
	}
}
