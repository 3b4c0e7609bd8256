package ingest

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
)

// WriteText writes the inspection for a terminal. Text from the file is quoted,
// so that no control character or escape sequence of it gets through. It
// returns the errors of w.
func (in Inspection) WriteText(w io.Writer) error {
	b := bufio.NewWriter(w) // keeps the first error for Flush
	in.writeFile(b)
	in.writeTime(b)
	in.writeColumns(b)
	in.writeMetadata(b)
	writeList(b, "Assumed, because the log does not say", in.Assumptions)
	in.writeProblems(b)
	return b.Flush()
}

func (in Inspection) writeFile(b *bufio.Writer) {
	fmt.Fprintf(b, "%s: %d bytes%s, sha256 %s\n", clean(in.File), in.Bytes, choose(in.Gzip, " (gzip)", ""), in.SHA256)
	if in.MappingSHA256 != "" {
		fmt.Fprintf(b, "Foreign log, %s, read with the mapping %s%s%s\n", in.Encoding, clean(in.Mapping), in.partWords(), choose(in.Truncated, "; the file is cut off", ""))
		return
	}
	version := "not stated"
	if in.FormatVersion > 0 {
		version = strconv.Itoa(in.FormatVersion)
	}
	fmt.Fprintf(b, "Loop log, version %s%s\n", version, choose(in.Truncated, "; the file is cut off", ""))
}

func (in Inspection) partWords() string {
	if in.PartOf == 0 {
		return ""
	}
	return fmt.Sprintf("; dive %s of %d", strconv.Quote(shorten(in.Part)), in.PartOf)
}

func choose(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func (in Inspection) writeTime(b *bufio.Writer) {
	fmt.Fprintf(b, "\n%d rows from %s to %s s", in.Rows, plain(&in.FirstS), plain(&in.LastS))
	if in.UsualIntervalS != nil {
		fmt.Fprintf(b, ", usually every %s s", plain(in.UsualIntervalS))
	}
	fmt.Fprintf(b, " (column %s)\n", in.TimeColumn)
	for _, g := range in.Gaps {
		fmt.Fprintf(b, "Gap of %s s from %s to %s s (behind line %d)\n", plain1(g.ToS-g.FromS), plain1(g.FromS), plain1(g.ToS), g.Line)
	}
	fmt.Fprintf(b, "Ambient pressure: %s. Cells: %s. Valves: %s. Events: %d. Notes: %d.\n",
		in.pressureWords(), cellList(in.Cells), intList(in.Valves), in.Events, in.Notes)
}

func (in Inspection) pressureWords() string {
	switch in.PressureFrom {
	case AmbientMeasured:
		return "measured"
	case AmbientPressureDepth:
		return "from depth in metres or feet of sea water, which is a pressure"
	}
	return "computed from depth"
}

func cellList(cells []CellSeen) string {
	numbers := make([]int, len(cells))
	for i, c := range cells {
		numbers[i] = c.Cell
	}
	return intList(numbers)
}

func intList(numbers []int) string {
	if len(numbers) == 0 {
		return "none"
	}
	texts := make([]string, len(numbers))
	for i, n := range numbers {
		texts[i] = strconv.Itoa(n)
	}
	return strings.Join(texts, ", ")
}

func (in Inspection) writeColumns(b *bufio.Writer) {
	fmt.Fprintln(b)
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "column\tfilled\tmin\tmax\tdecimals\tmeaning")
	for _, c := range in.Columns {
		meaning := c.Meaning
		if !c.Known {
			meaning = "not known; kept as text"
		}
		fmt.Fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s\n", strconv.Quote(shorten(c.Name)), c.Filled, plain(c.Min), plain(c.Max), decimalsText(c.Decimals), meaning)
	}
	t.Flush() // into a bufio.Writer, which keeps the error
}

func decimalsText(n *int) string {
	if n == nil {
		return "-"
	}
	return strconv.Itoa(*n)
}

func (in Inspection) writeMetadata(b *bufio.Writer) {
	lines := make([]string, len(in.Metadata))
	for i, m := range in.Metadata {
		lines[i] = strconv.Quote(shorten(m.Value))
		if m.Key != "" {
			lines[i] = clean(shorten(m.Key)) + ": " + lines[i]
		}
	}
	writeList(b, "Stated", lines)
}

func (in Inspection) writeProblems(b *bufio.Writer) {
	lines := make([]string, len(in.Problems))
	for i, p := range in.Problems {
		lines[i] = string(p.Severity) + ": " + p.String()
	}
	if len(lines) == 0 {
		lines = []string{"none"}
	}
	writeList(b, "Problems", lines)
}

// writeList writes a heading and its lines; nothing without lines.
func writeList(b *bufio.Writer, heading string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s:\n", heading)
	for _, l := range lines {
		fmt.Fprintf(b, "  %s\n", l)
	}
}

// plain is a number with nine significant digits, "-" where there is none.
func plain(v *float64) string {
	if v == nil {
		return "-"
	}
	return plain1(*v)
}

func plain1(v float64) string {
	if r := rounded(v); r != nil {
		v = *r
	}
	return string(appendNumber(nil, v))
}
