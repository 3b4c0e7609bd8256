package bench

import (
	"fmt"
	"io"
	"strconv"

	"github.com/gocarina/gocsv"

	"afterloop/analysis"
	"afterloop/ingest/register"
	"afterloop/report"
)

// The typed rows of the register's tables. Numbers that are not known are empty
// fields: gocsv would write a pointer's absence and zero alike.

type cellRow struct {
	Serial        string `csv:"serial"`
	Made          string `csv:"made"`
	Retired       string `csv:"retired"`
	RetiredReason string `csv:"retired_reason"`
	Note          string `csv:"note"`
}

type fittingRow struct {
	Serial   string `csv:"serial"`
	Unit     string `csv:"unit"`
	Position int    `csv:"position"`
	From     string `csv:"from"`
	To       string `csv:"to"`
}

type measurementRow struct {
	Serial   string   `csv:"serial"`
	Quantity string   `csv:"quantity"`
	At       string   `csv:"at"`
	Value    csvValue `csv:"value"`
	Low      csvValue `csv:"low"`
	High     csvValue `csv:"high"`
	Kind     string   `csv:"source_kind"`
	File     string   `csv:"source_file"`
	SHA256   string   `csv:"source_sha256"`
}

// csvValue is a number, or nothing.
type csvValue struct{ v *float64 }

// MarshalCSV writes the number in its shortest form.
func (v csvValue) MarshalCSV() (string, error) {
	if v.v == nil || !analysis.Float(*v.v).Known() {
		return "", nil
	}
	return strconv.FormatFloat(*v.v, 'g', -1, 64), nil
}

// WriteCellTable writes the cells of the register as CSV.
func WriteCellTable(w io.Writer, c register.Content) error {
	rows := []cellRow{}
	for _, x := range c.Cells {
		rows = append(rows, cellRow{report.NoFormula(x.Serial), x.Made, x.Retired, report.NoFormula(x.RetiredReason), report.NoFormula(x.Note)})
	}
	return table(w, rows)
}

// WriteFittingTable writes where each cell was.
func WriteFittingTable(w io.Writer, c register.Content) error {
	rows := []fittingRow{}
	for _, x := range c.Cells {
		for _, f := range x.Fittings {
			rows = append(rows, fittingRow{report.NoFormula(x.Serial), report.NoFormula(f.Unit), f.Position, f.From, f.To})
		}
	}
	return table(w, rows)
}

// WriteMeasurementTable writes every measurement with its source.
func WriteMeasurementTable(w io.Writer, c register.Content) error {
	rows := []measurementRow{}
	for _, m := range c.Measurements {
		rows = append(rows, measurementRow{report.NoFormula(m.Serial), m.Quantity, m.At, csvValue{&m.Value}, csvValue{m.Low}, csvValue{m.High}, m.Kind, report.NoFormula(m.File), m.SHA256})
	}
	return table(w, rows)
}

func table[T any](w io.Writer, rows []T) error {
	if err := gocsv.Marshal(rows, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}
