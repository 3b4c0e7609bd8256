package ingest

import (
	"fmt"
	"strconv"
)

// Severity tells how much a problem weakens what can be concluded.
type Severity string

// Severities of a problem, from harmless to fatal.
const (
	// Info is a fact about the file that changes no value.
	Info Severity = "info"
	// Warning is a value that was left out or repaired.
	Warning Severity = "warning"
	// Error ends the reading of this file: nothing could be used.
	Error Severity = "error"
)

// Problem is one thing that is wrong or odd in a file: where it stands, what
// was read, and what was done about it.
type Problem struct {
	File string `json:"file"`
	// Line is the line of the file, from 1; 0 where the problem has no line.
	Line int `json:"line"`
	// Column is the name of the column as the file spells it, or empty.
	Column string `json:"column"`
	// Read is the offending text, shortened to 80 runes.
	Read string `json:"read"`
	// ReadTo is the last text where several lines have the same problem with
	// different texts; else empty.
	ReadTo string `json:"read_to,omitempty"`
	// Treatment says what was done, as words that follow "treated as".
	Treatment string   `json:"treatment"`
	Severity  Severity `json:"severity"`
	// Code is a stable word for the kind of problem.
	Code string `json:"code"`
	// Want says what would be right.
	Want string `json:"want,omitempty"`
	// Count is how many rows one after the other have the same problem; Line is
	// that of the first.
	Count int `json:"count"`
}

// Error makes a Problem usable as an error.
func (p Problem) Error() string { return p.String() }

// String is `file:line: column "x": read "…", treated as …`. Text from the
// file is quoted, so that no control character reaches a terminal.
func (p Problem) String() string {
	s := clean(p.File)
	if p.Line > 0 {
		s += ":" + strconv.Itoa(p.Line)
	}
	s += ": "
	if p.Column != "" {
		s += "column " + strconv.Quote(p.Column) + ": "
	}
	s += "read " + strconv.Quote(p.Read)
	if p.ReadTo != "" {
		s += " ... " + strconv.Quote(p.ReadTo)
	}
	s += ", treated as " + p.Treatment
	if p.Want != "" {
		s += " (right would be " + p.Want + ")"
	}
	if p.Count > 1 {
		s += fmt.Sprintf(" [%d rows]", p.Count)
	}
	return s
}

// clean makes a file name printable.
func clean(s string) string {
	q := strconv.Quote(s)
	return q[1 : len(q)-1]
}
