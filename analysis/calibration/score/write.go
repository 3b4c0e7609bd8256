package score

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// WriteJSON writes the result, dive by dive too, indented.
func (r Result) WriteJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(r); err != nil {
		return fmt.Errorf("score: writing the result: %w", err)
	}
	return nil
}

// WriteText writes tables for a terminal; verbose adds a line for every dive.
func (r Result) WriteText(w io.Writer, verbose bool) error {
	b := bufio.NewWriter(w)
	for _, line := range r.preface() {
		fmt.Fprintln(b, line)
	}
	for _, f := range r.Families {
		fmt.Fprintf(b, "\n== %s\n", f.title())
		for _, s := range f.sections() {
			fmt.Fprintf(b, "\n%s\n", s.title)
			if s.note != "" {
				fmt.Fprintf(b, "(%s)\n", s.note)
			}
			s.writeAligned(b)
		}
	}
	if verbose {
		fmt.Fprint(b, "\n== Dives: a mark, family, seed, scenario; what was expected; what was found\n\n")
		for i := range r.Logs {
			fmt.Fprintln(b, r.Logs[i].Line())
		}
	}
	return flushed(b)
}

// writeAligned pads the columns to their widest field.
func (s section) writeAligned(w io.Writer) {
	table := append([][]string{s.header}, s.rows...)
	width := make([]int, len(s.header))
	for _, row := range table {
		for k, field := range row {
			width[k] = max(width[k], utf8.RuneCountInString(field))
		}
	}
	for _, row := range table {
		line := " "
		for k, field := range row {
			line += " " + field + strings.Repeat(" ", width[k]-utf8.RuneCountInString(field)+1)
		}
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
}

// WriteMarkdown writes the same tables for a page of documentation.
func (r Result) WriteMarkdown(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprint(b, "# What the verdicts are worth\n")
	for _, line := range r.preface() {
		fmt.Fprintf(b, "\n%s\n", line)
	}
	for _, f := range r.Families {
		fmt.Fprintf(b, "\n## %s\n", f.title())
		for _, s := range f.sections() {
			fmt.Fprintf(b, "\n### %s\n\n", s.title)
			if s.note != "" {
				fmt.Fprintf(b, "%s\n\n", s.note)
			}
			s.writePipes(b)
		}
	}
	return flushed(b)
}

func (s section) writePipes(w io.Writer) {
	fmt.Fprintf(w, "| %s |\n|%s\n", strings.Join(s.header, " | "), strings.Repeat("---|", len(s.header)))
	for _, row := range s.rows {
		cells := make([]string, len(row))
		for k := range row {
			cells[k] = strings.ReplaceAll(row[k], "|", "\\|")
		}
		fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | "))
	}
}

func flushed(b *bufio.Writer) error {
	if err := b.Flush(); err != nil {
		return fmt.Errorf("score: writing the tables: %w", err)
	}
	return nil
}

// Line is one dive in one line. Its mark is the worst that happened: FAILED,
// SURE-WRONG, FALSE (alarm), MISSED, KIND (right part, wrong kind), UNTOLD (an
// undecidable gain neither told nor settled by helium), or ok.
func (l *Log) Line() string {
	var expected, found []string
	for _, f := range l.Faults {
		expected = append(expected, f.words())
	}
	if len(l.Undecidable) > 0 {
		expected = append(expected, fmt.Sprintf("cells %v undecidable", l.Undecidable))
	}
	if l.UndecidableLeak {
		expected = append(expected, "leak undecidable")
	}
	for _, g := range l.Found {
		found = append(found, g.words())
	}
	if l.CellsDisagree {
		found = append(found, "cells-disagree")
	}
	if l.Failed != "" {
		found = append(found, l.Failed)
	}
	return fmt.Sprintf("%-10s %s %d %s (%s, %d cells, %g s): expected %s; found %s; estimate %s bar, vote %s, band %.0f %%", l.mark(), l.Family, l.Seed, l.Scenario, l.Profile, l.Cells, float64(l.SampleS),
		either(strings.Join(expected, ", "), "nothing"), either(strings.Join(found, ", "), "nothing"), bar3(l.Estimate.RMS), bar3(l.Estimate.VoteRMS), 100*float64(l.Estimate.Inside)/float64(max(1, l.Estimate.Rows)))
}

func (l *Log) mark() string {
	verdicts := map[string]bool{}
	for _, f := range l.Faults {
		verdicts[f.Verdict] = true
	}
	switch {
	case l.Failed != "":
		return "FAILED"
	case len(l.SureAndWrong) > 0:
		return "SURE-WRONG"
	case l.falseAlarms() > 0:
		return "FALSE"
	case verdicts[Missed]:
		return "MISSED"
	case verdicts[RightPart]:
		return "KIND"
	case len(l.Undecidable) > 0 && !l.CellsDisagree && !l.settled():
		return "UNTOLD"
	}
	return "ok"
}

func (f Fault) words() string {
	s := f.Kind + numberWords(f.Cell, f.Valve) + " from " + whole(f.FromS) + " s"
	if f.NotAssessed {
		s += " (not assessed)"
	}
	return s
}

func (f Finding) words() string {
	return fmt.Sprintf("%s%s from %s s %s (%s)", f.Kind, numberWords(f.Cell, f.Valve), whole(f.FromS), f.Confidence, f.Verdict)
}

func numberWords(cell, valve int) string {
	if n := max(cell, valve); n > 0 {
		return fmt.Sprintf(" %d", n)
	}
	return ""
}
