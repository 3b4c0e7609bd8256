package ingest

import "math"

// quantity is what a column holds, whatever its unit.
type quantity uint8

const (
	unknownQuantity quantity = iota
	timeQuantity
	depthQuantity
	pressureDepthQuantity // metres or feet of sea water
	ambientQuantity
	cellPO2Quantity
	cellMVQuantity
	cellVoteQuantity
	unitPO2Quantity
	halfPO2Quantity
	setPointQuantity
	valveOpenQuantity
	valveOpeningsQuantity
	loopHeQuantity
	loopMbarQuantity
	waterTempQuantity
	loopTempQuantity
	o2CylQuantity
	dilCylQuantity
	batteryQuantity
	breathingQuantity
	openGasQuantity
	diluentQuantity
	eventQuantity
	noteQuantity
)

// columnKind is how the fields of a column are read and kept.
type columnKind uint8

const (
	textKind   columnKind = iota // kept as it is: an unknown column
	numberKind                   // a plain decimal
	clockKind                    // mm:ss or h:mm:ss
	codeKind                     // one of a few words, kept as a byte
	sparseKind                   // text on few rows: events, notes, changes of gas
)

// sentinels says which numbers of a column stand for "not recorded". They are
// looked for in the file's own unit, before conversion.
type sentinels uint8

const (
	// noSentinel: every number is a value (time).
	noSentinel sentinels = iota
	// neverNegative: -1 and 65535 are "not recorded".
	neverNegative
	// maybeNegative: 65535 is; -1 is where it is jumped to and from, and a value
	// where the neighbours are near it.
	maybeNegative
	// alwaysValue: 65535 is; -1 is a value.
	alwaysValue
)

// columnDef is one line of the format's table of columns.
type columnDef struct {
	// name may hold one '#' for a number from 1 and one '@' for a letter.
	name     string
	quantity quantity
	kind     columnKind
	// A value in the base unit is field * mul / div; both are exact numbers
	// where the definition of the unit is, and dividing by 1000 rounds once.
	// add is for a foreign column with an offset; 0 for a loop log.
	mul, div, add float64
	unit          string // base unit
	from          string // the file's unit where it is another
	// lowest and highest are what an instrument can give, in the base unit.
	lowest, highest float64
	sentinels       sentinels
	// jump is how far from -1 a neighbour must be for -1 to be "not recorded" (maybeNegative).
	jump    float64
	words   []string // of a codeKind column; code 0 is "not recorded"
	meaning string   // '#' and '@' as in name
	note    string   // for the table in the documentation
}

func number(name string, q quantity, unit string, lowest, highest float64, s sentinels, meaning string) columnDef {
	return columnDef{name: name, quantity: q, kind: numberKind, mul: 1, div: 1, unit: unit,
		lowest: lowest, highest: highest, sentinels: s, meaning: meaning}
}

func pressure(name string, q quantity, highest float64, meaning string) columnDef {
	return number(name, q, "bar", 0, highest, neverNegative, meaning)
}

func ambient(name, meaning string) columnDef {
	return number(name, ambientQuantity, "bar", minAmbientBar, maxAmbient, neverNegative, meaning)
}

func clock(name string, q quantity, meaning string) columnDef {
	d := number(name, q, "s", 0, maxAbsTimeS, noSentinel, meaning)
	d.kind, d.from = clockKind, "clock"
	return d
}

func word(name string, q quantity, words []string, meaning string) columnDef {
	return columnDef{name: name, quantity: q, kind: codeKind, words: words, meaning: meaning, mul: 1, div: 1}
}

func sparse(name string, q quantity, meaning string) columnDef {
	return columnDef{name: name, quantity: q, kind: sparseKind, meaning: meaning, mul: 1, div: 1}
}

func (d columnDef) in(unit string, mul, div float64) columnDef {
	d.from, d.mul, d.div = unit, mul, div
	return d
}

func (d columnDef) jumping(far float64) columnDef { d.jump = far; return d }
func (d columnDef) with(note string) columnDef    { d.note = note; return d }

// base converts a number of the file to the base unit.
func (d *columnDef) base(v float64) float64 { return v*d.mul/d.div + d.add }

// width converts a difference of the file to the base unit.
func (d *columnDef) width(v float64) float64 { return math.Abs(v * d.mul / d.div) }

// inFile converts a value in the base unit to the file's.
func (d *columnDef) inFile(v float64) float64 { return (v - d.add) * d.perBase() }

// perBase is how many of the file's units make one of the base unit.
func (d *columnDef) perBase() float64 { return d.div / d.mul }

// bounds are the limits in the file's unit; the slack keeps a value on the
// limit, converted, inside.
func (d *columnDef) bounds() (lowest, highest float64) {
	slack := 1e-9 * math.Max(1, math.Abs(d.highest))
	lowest, highest = d.lowest, d.highest
	if d.div != d.mul || d.add != 0 {
		lowest, highest = d.inFile(lowest-slack), d.inFile(highest+slack)
	}
	if d.lowest == 0 && d.add == 0 {
		lowest = 0
	}
	return math.Min(lowest, highest), math.Max(lowest, highest)
}

// columnKey tells quantities of several parts from one another.
type columnKey struct {
	quantity quantity
	number   int    // 0 where the name has none
	letter   string // empty where the name has none
}
