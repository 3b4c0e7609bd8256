// Package ingest reads a loop log, version 1, into a [Dive].
//
// The question it answers: what did the recorder write down, and what of it can
// be used? It converts every quantity to one base unit on entry (bar absolute,
// metres, seconds, fractions), keeps "not recorded" apart from zero, and
// turns whatever is wrong with the file into [Problem] records that carry the
// file, the line and the column and do not end the reading. It draws no
// conclusion about cells, valves or people: that is the business of package
// analysis.
//
// [Read] cuts the file into records (lines.go), finds out what each column is
// (columns.go, header.go), converts field by field (fields.go), mends what only
// whole columns show (repair.go, sentinels.go), and joins the columns into the
// Dive (assemble.go). [Write] is its inverse, [Schema] describes a log's header
// to other programs, [Inspect] lists what a log holds.
//
// The format is documented in README.md. Pressure and depth are related by
// package analysis/gas, the only package outside of its folder that ingest imports.
package ingest

import "math"

// Missing is what a numeric series holds where the log recorded nothing. The
// reader accepts no NaN from a file, so a NaN in a Dive always means "not
// recorded" and never a value.
func Missing() float64 { return math.NaN() }

// IsMissing tells whether v stands for "not recorded".
func IsMissing(v float64) bool { return math.IsNaN(v) }

// Dive is one recorded dive in columns: every slice that is not nil has one
// element per row. A nil slice means that the log has no such column.
//
// [Dive.Check] states and verifies the invariants that package analysis relies on.
type Dive struct {
	Source   Source
	Meta     Meta
	Problems []Problem

	// TimeS is the time in seconds as recorded; finite and strictly increasing.
	TimeS []float64
	// Line is the line of the file on which a row begins, from 1.
	Line []int
	// DepthM is the depth in metres, or nil where the log has pressure alone and
	// no depth could follow from it.
	DepthM []float64
	// AmbientBar is the absolute ambient pressure: measured where AmbientFrom is
	// "measured", else computed. Never nil; NaN on rows that recorded neither.
	AmbientBar []float64
	// AmbientFrom says where AmbientBar comes from: [AmbientMeasured],
	// [AmbientPressureDepth] (metres or feet of sea water, which are pressures)
	// or [AmbientFromDepth].
	AmbientFrom string
	// AmbientByNumber holds ambient1_bar, ambient2_bar ... where there are several sensors.
	AmbientByNumber []Numbered

	Cells  []Cell
	Valves []Valve

	// UnitPO2Bar is the PO2 that the unit controlled on.
	UnitPO2Bar []float64
	// HalfPO2Bar is the PO2 of each half of doubled electronics, by its letter.
	HalfPO2Bar  []Lettered
	SetPointBar []float64

	// LoopHe is the measured helium fraction, of the sensor with the lowest number
	// where only numbered ones are there; noise may take it below 0 or above 1.
	// LoopHeByNumber holds the numbered ones.
	LoopHe         []float64
	LoopHeByNumber []Numbered

	LoopMbar  []float64 // loop pressure relative to ambient, mbar
	TempC     []float64 // water
	LoopTempC []float64
	O2CylBar  []float64
	DilCylBar []float64
	BatteryV  []Numbered

	// Breathing is what the diver breathed from, by row: the breathing column, or
	// derived from bailout and on_loop events. Never nil.
	Breathing []Breathing
	// OpenGas and Diluent are the gases in force by row; Known is false where the
	// log does not say, and from a change on that could not be read. Never nil.
	OpenGas []Gas
	Diluent []Gas

	Events []Event
	Notes  []Note

	// Unknown are columns that the format does not define, kept as text.
	Unknown []TextColumn
	// Columns lists every column of the header in file order with what was found in it.
	Columns []ColumnFacts

	// DepthStepM is the step to which depth was rounded in the file, 0 where
	// unknown; Cell.StepBar is the same for a cell.
	DepthStepM float64
}

// Rows is the number of rows.
func (d *Dive) Rows() int { return len(d.TimeS) }

// Source identifies the bytes that were read.
type Source struct {
	// File is the name as given on the command line, "-" for standard input.
	File string
	// SHA256 is the hex digest of the bytes as stored (compressed if gzip).
	SHA256 string
	Bytes  int64
	Gzip   bool
	// FormatVersion is the loop-log version stated, or 0 where none was.
	FormatVersion int
	// TimeForm is "time_s", "time_min" or "time".
	TimeForm string
	// Truncated is true where the last line was cut off.
	Truncated bool

	// Mapping and MappingSHA256 are the file with which a foreign file was read, empty for a loop log.
	Mapping, MappingSHA256 string
	// Encoding is what the bytes of a foreign file were read as.
	Encoding string
	// Part is the name of the dive, where the mapping tells several in one file
	// apart, and PartOf how many there are. SHA256 is then the digest of this
	// dive's own header and rows in UTF-8, which stays the same when the file
	// grows by another dive; FileSHA256 is that of the whole file.
	Part       string
	PartOf     int
	FileSHA256 string
}

// Cell is one oxygen cell as recorded.
type Cell struct {
	Number int
	// PO2Bar is the reading that the vote saw; NaN where not recorded.
	PO2Bar []float64
	// FromMV is true where PO2Bar was computed from millivolts and the calibration.
	FromMV bool
	// MV is the witness in millivolts, or nil.
	MV []float64
	// Vote is what the unit did with the cell, or nil where there is no such column.
	Vote []UnitVote
	// AtDisplayLimit marks readings of 9.99 that stand for two rows or more: at or
	// above what a display can show; nil where none. PO2Bar holds them as read.
	AtDisplayLimit []bool
	// StepBar is the step to which readings are rounded in the file, 0 where unknown.
	StepBar           float64
	Serial, Installed string
	// CalMV and CalPO2Bar are of the calibration, NaN where not known; the latter
	// follows from the calibration gas where the log does not state it.
	CalMV, CalPO2Bar float64
}

// UnitVote is what the unit recorded of its own vote on a cell.
type UnitVote uint8

// The words of the cellN_vote column.
const (
	VoteNotRecorded UnitVote = iota
	VoteIn
	VoteOut
	VoteManualIn
	VoteManualOut
)

func (v UnitVote) String() string {
	return [...]string{"", "in", "out", "manual_in", "manual_out"}[v]
}

// Valve is one oxygen valve as commanded.
type Valve struct {
	Number int
	// OpenS is the seconds commanded open since the previous row.
	OpenS []float64
	// Openings counts the openings since the previous row, or is nil.
	Openings []float64
}

// Numbered is a numbered series of one kind.
type Numbered struct {
	Number int
	Values []float64
}

// Lettered is a series of one half.
type Lettered struct {
	Letter string
	Values []float64
}

// Breathing is what the diver breathed from.
type Breathing uint8

// The words of the breathing column.
const (
	BreathingNotRecorded Breathing = iota // on the loop is then assumed
	OnLoop
	OpenCircuit
)

// EventKind is one of the fixed words of the event column.
type EventKind string

// The fixed words of the event column.
const (
	DiluentFlush   EventKind = "diluent_flush"
	OxygenFlush    EventKind = "oxygen_flush"
	ManualOxygen   EventKind = "manual_oxygen"
	ManualDiluent  EventKind = "manual_diluent"
	Bailout        EventKind = "bailout"
	BackOnLoop     EventKind = "on_loop"
	CalibrationRun EventKind = "calibration"
)

// Event is a fixed word on a row.
type Event struct {
	Row  int
	Kind EventKind
}

// Note is free text on a row. It is never markup.
type Note struct {
	Row  int
	Text string
}

// TextColumn keeps a column that the format does not define.
type TextColumn struct {
	Name   string
	Values []string
}

// ColumnFacts says what one column of the file holds.
type ColumnFacts struct {
	Name string // as in the header
	// Meaning is what the column was read as, in words with its base unit; empty for an unknown column.
	Meaning string
	Known   bool
	Filled  int // rows with a value
	// Min and Max are in the base unit, NaN for text and for an empty column.
	Min, Max float64
	Decimals int // largest number of decimals seen, -1 for text
}
