package ingest

import (
	"bytes"
	"io"
	"os"
	"unicode/utf8"
)

// Sheet is a small CSV over one time axis, as the bench tests write them: lines
// "# key: value", a header, rows. It is read with the parts that read a loop log,
// by the same rules: an empty field is "not recorded", numbers are plain
// decimals, what is odd is listed with its line and its column.
type Sheet struct {
	Source Source
	Meta   []KeyValue
	// TimeS is finite and strictly increasing; Line is the line of each row.
	TimeS   []float64
	Line    []int
	Columns []SheetColumn
	Unknown []string // columns that the format does not define
	// HeaderLine is the line of the header.
	HeaderLine int
	problems   problemList
}

// SheetColumn is one column that the format defines.
type SheetColumn struct {
	Name   string // as the header spells it
	Key    string // as the format calls it, with # for the number
	Number int    // of cellN_mv; 0 without
	// Values are in the format's unit, NaN where not recorded; Words is for columns of words.
	Values   []float64
	Words    []string
	Decimals int // most digits after the point
	def      *SheetColumnDef
}

// SheetFormat says what a kind of sheet may hold.
type SheetFormat struct {
	Name    string // of the metadata key that states the version, as in "bench-cells"
	Columns []SheetColumnDef
}

// SheetColumnDef is a column of a format.
type SheetColumnDef struct {
	Name string // with # where a number stands
	Key  string // several names may give one quantity
	Mul  float64
	// Lowest and Highest bound, in the column's own unit, what an instrument can give.
	Lowest, Highest float64
	Unit            string
	// Words are what a column of words may hold; nil for a column of numbers; one
	// that holds "*" takes any text.
	Words []string
}

// ReadSheetFile reads the file at path; "-" is standard input, taken from stdin.
func ReadSheetFile(path string, stdin io.Reader, format SheetFormat) (*Sheet, error) {
	if path == "-" {
		return ReadSheet(stdin, path, format)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written, so closing cannot lose anything
	return ReadSheet(f, path, format)
}

// ReadSheet reads a sheet. The error is a [Problem] where nothing could be used.
func ReadSheet(r io.Reader, name string, format SheetFormat) (*Sheet, error) {
	l, err := load(r, name, DefaultMaxBytes)
	if err != nil {
		return nil, err
	}
	if !utf8.Valid(l.data) {
		l.data = bytes.ToValidUTF8(l.data, []byte(string(utf8.RuneError)))
	}
	rd := &sheetReader{Sheet: &Sheet{Source: l.source, problems: problemList{file: name}}, format: format, s: splitter{data: l.data, line: 1}}
	for _, step := range []func() error{rd.preamble, rd.header, rd.rows} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return rd.Sheet, nil
}

// Add notes a problem that was found while giving the sheet its meaning.
func (s *Sheet) Add(p Problem) { s.problems.add(wholeFile, wholeFile, p) }

// Problems are all problems in the order of their lines.
func (s *Sheet) Problems() []Problem { return s.problems.sorted() }

// Fatal makes the problem that ends the reading.
func (s *Sheet) Fatal(line int, code, read, treatment, want string) error {
	return s.problems.fatal(line, code, read, treatment, want)
}

// Find is the column of a key and a number, or nil.
func (s *Sheet) Find(key string, number int) *SheetColumn {
	for i := range s.Columns {
		if c := &s.Columns[i]; c.Key == key && c.Number == number {
			return c
		}
	}
	return nil
}

// ParseDecimal reads a plain decimal as the formats define it: no NaN, Inf,
// hexadecimal number, digit separator or decimal comma.
func ParseDecimal(s string) (float64, bool) {
	v, _, ok := parseDecimal([]byte(s))
	return v, ok
}
