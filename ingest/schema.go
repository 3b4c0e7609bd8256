package ingest

import (
	"encoding/json"
	"math"
	"strconv"
)

// TableSchema is a Frictionless Table Schema for the header of one log. The
// format cannot have one schema for all, because cellN_, valveN_ and their like
// are open-ended.
//
// Source: Table Schema, part of Data Package v2, https://datapackage.org/standard/table-schema/.
type TableSchema struct {
	Schema        string        `json:"$schema"`
	Title         string        `json:"title"`
	Fields        []SchemaField `json:"fields"`
	MissingValues []string      `json:"missingValues"`
}

// SchemaField describes one column. Unit is not of the standard, which allows
// more properties than its own.
type SchemaField struct {
	Name          string            `json:"name"`
	Type          string            `json:"type"`
	Description   string            `json:"description"`
	Unit          string            `json:"unit,omitempty"`
	Constraints   SchemaConstraints `json:"constraints"`
	MissingValues []string          `json:"missingValues,omitempty"`
}

// SchemaConstraints is what the values of a column must be.
type SchemaConstraints struct {
	Required bool     `json:"required,omitempty"`
	Minimum  *float64 `json:"minimum,omitempty"`
	Maximum  *float64 `json:"maximum,omitempty"`
	Enum     []string `json:"enum,omitempty"`
	Pattern  string   `json:"pattern,omitempty"`
}

// Patterns of fields that are text to the standard. The standard's own time
// knows no mm:ss.
const (
	clockPattern = `^ *([0-9]{1,9}:)?[0-9]{1,9}:[0-9]{1,2}(\.[0-9]+)? *$`
	mixPattern   = `^ *([Aa][Ii][Rr]|unknown|[0-9.]+ */ *[0-9.]+) *$`
	eventPattern = `^ *(diluent_flush|oxygen_flush|manual_oxygen|manual_diluent|bailout|on_loop|calibration|;| )* *$`
)

// Schema is the table schema for the header of the log that d was read from.
// The fields are in the order of the file.
func Schema(d *Dive) TableSchema {
	names := make([]string, len(d.Columns))
	for i, c := range d.Columns {
		names[i] = c.Name
	}
	return SchemaOf(names)
}

// SchemaOf is the table schema for a header.
func SchemaOf(header []string) TableSchema {
	s := TableSchema{
		Schema:        "https://datapackage.org/profiles/2.0/tableschema.json",
		Title:         "Loop log, version 1",
		Fields:        []SchemaField{},
		MissingValues: []string{""},
	}
	for _, name := range header {
		s.Fields = append(s.Fields, schemaField(name))
	}
	return s
}

// JSON is the schema as a document.
func (s TableSchema) JSON() ([]byte, error) {
	b, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}

func schemaField(name string) SchemaField {
	def, key, _ := match(name)
	if def == nil {
		return SchemaField{Name: name, Type: "string", Description: "not defined by the format; kept as text"}
	}
	f := SchemaField{Name: name, Type: "string", Description: fill(def.meaning, key.number, key.letter)}
	f.Constraints.Required = def.quantity == timeQuantity
	switch def.kind {
	case numberKind:
		def.constrain(&f)
	case clockKind:
		f.Constraints.Pattern = clockPattern
	case codeKind:
		f.Constraints.Enum = def.words[1:]
	case sparseKind:
		f.Constraints.Pattern = map[quantity]string{openGasQuantity: mixPattern, diluentQuantity: mixPattern, eventQuantity: eventPattern}[def.quantity]
	}
	return f
}

// constrain makes the field a number with its unit and limits. The numbers that
// stand for "not recorded" are missing values, so that they break no limit.
func (d *columnDef) constrain(f *SchemaField) {
	f.Type = "number"
	f.Unit = d.unit
	if d.from != "" {
		f.Unit = d.from
	}
	f.Constraints.Minimum = rounded(d.lowest * d.perBase())
	f.Constraints.Maximum = rounded(d.highest * d.perBase())
	switch d.sentinels {
	case neverNegative:
		f.MissingValues = []string{"", "-1", "65535"}
	case maybeNegative, alwaysValue:
		f.MissingValues = []string{"", "65535"}
	}
}

// rounded is v with nine significant digits, so that a converted limit is the
// same text on every machine.
func rounded(v float64) *float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 8, 64), 64)
	if err != nil || math.IsInf(r, 0) {
		return nil
	}
	return &r
}
