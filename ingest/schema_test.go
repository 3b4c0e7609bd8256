package ingest

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// tableSchemaProfile is what the published profile of Table Schema
// (https://datapackage.org/profiles/2.0/tableschema.json) asks of the members
// that are used here: fields is required and not empty, each has a name; types
// and members are of its list; missing values are texts, each once.
const tableSchemaProfile = `{
  "type": "object",
  "required": ["fields"],
  "properties": {
    "$schema": {"type": "string", "format": "uri"},
    "title": {"type": "string"},
    "missingValues": {"type": "array", "items": {"type": "string"}, "uniqueItems": true},
    "fields": {
      "type": "array", "minItems": 1,
      "items": {
        "type": "object",
        "required": ["name"],
        "properties": {
          "name": {"type": "string"},
          "type": {"enum": ["string", "number", "integer", "boolean", "object", "array", "list", "datetime", "date", "time", "year", "yearmonth", "duration", "geopoint", "geojson", "any"]},
          "description": {"type": "string"},
          "missingValues": {"type": "array", "items": {"type": "string"}, "uniqueItems": true},
          "constraints": {
            "type": "object",
            "properties": {
              "required": {"type": "boolean"},
              "minimum": {"type": "number"},
              "maximum": {"type": "number"},
              "pattern": {"type": "string"},
              "enum": {"type": "array", "minItems": 1, "uniqueItems": true, "items": {"type": "string"}}
            }
          }
        }
      }
    }
  }
}`

func compileProfile(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(tableSchemaProfile))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("profile.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("profile.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSchemaIsATableSchema(t *testing.T) {
	profile := compileProfile(t)
	for _, file := range testLogs(t) {
		d, err := ReadFile(file, Options{})
		if err != nil {
			t.Fatal(err)
		}
		text, err := Schema(d).JSON()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Schema(d).JSON()
		if err != nil || !bytes.Equal(text, again) {
			t.Errorf("%s: two schemas differ (%v)", file, err)
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := profile.Validate(doc); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	if err := profile.Validate(map[string]any{"fields": []any{map[string]any{"type": "number"}}}); err == nil {
		t.Error("the profile lets a field without a name pass")
	}
}

// Logs without a warning obey their schema; the untidy one does not.
func TestLogsObeyTheirSchema(t *testing.T) {
	for _, file := range testLogs(t) {
		d, err := ReadFile(file, Options{})
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		faults := validate(t, data, Schema(d))
		if tidy := len(graver(d)) == 0; tidy && len(faults) > 0 {
			t.Errorf("%s: %s", file, strings.Join(faults, "\n"))
		} else if !tidy && len(faults) == 0 {
			t.Logf("%s: warnings, but the schema is obeyed", file)
		}
	}
}

func TestSchemaFindsFaults(t *testing.T) {
	tests := []struct{ row, want string }{
		{"0,1,0.7,in,", ""},
		{",1,0.7,in,", "time_s is required"},
		{"0,x,0.7,in,", `depth_m: "x" is no number`},
		{"0,1,-0.5,in,", "cell1_po2_bar: -0.5 is below 0"},
		{"0,1,-1,in,", ""},
		{"0,1,0.7,perhaps,", `cell1_vote: "perhaps" is none of [in out manual_in manual_out]`},
		{"0,1,0.7,in,whale", `event: "whale" does not match`},
		{"0,1,0.7,in,bailout;diluent_flush", ""},
	}
	const header = "time_s,depth_m,cell1_po2_bar,cell1_vote,event\n"
	for _, tt := range tests {
		got := strings.Join(validate(t, []byte(header+tt.row+"\n"), SchemaOf(strings.Split(strings.TrimSpace(header), ","))), "; ")
		if got != tt.want {
			t.Errorf("%s: %q, want %q", tt.row, got, tt.want)
		}
	}
}

// validate is a small validator by the rules of Table Schema: missing values
// first, then the type, then the constraints.
func validate(t *testing.T, data []byte, s TableSchema) []string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.FieldsPerRecord = '#', -1
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var faults []string
	for _, record := range records[1:] {
		if len(record) != len(s.Fields) {
			faults = append(faults, fmt.Sprintf("%d fields for %d columns", len(record), len(s.Fields)))
			continue
		}
		for i, f := range s.Fields {
			if fault := fieldFault(f, s.MissingValues, record[i]); fault != "" {
				faults = append(faults, fault)
			}
		}
	}
	return faults
}

func fieldFault(f SchemaField, missing []string, text string) string {
	if f.MissingValues != nil {
		missing = f.MissingValues
	}
	c := f.Constraints
	switch {
	case slices.Contains(missing, text) && c.Required:
		return f.Name + " is required"
	case slices.Contains(missing, text):
		return ""
	case f.Type == "number":
		return numberFault(f, text)
	case c.Enum != nil && !slices.Contains(c.Enum, text):
		return fmt.Sprintf("%s: %q is none of %v", f.Name, text, c.Enum)
	case c.Pattern != "" && !regexp.MustCompile(c.Pattern).MatchString(text):
		return fmt.Sprintf("%s: %q does not match", f.Name, text)
	}
	return ""
}

func numberFault(f SchemaField, text string) string {
	v, err := strconv.ParseFloat(text, 64)
	switch c := f.Constraints; {
	case err != nil || math.IsNaN(v):
		return fmt.Sprintf("%s: %q is no number", f.Name, text)
	case c.Minimum != nil && v < *c.Minimum:
		return fmt.Sprintf("%s: %v is below %v", f.Name, v, *c.Minimum)
	case c.Maximum != nil && v > *c.Maximum:
		return fmt.Sprintf("%s: %v is above %v", f.Name, v, *c.Maximum)
	}
	return ""
}

func TestSchemaOfOneHeader(t *testing.T) {
	got, err := SchemaOf([]string{"time", "depth_ft", "cell12_po2_ata", "cell12_vote", "halfB_po2_bar", "diluent", "Heading"}).JSON()
	if err != nil {
		t.Fatal(err)
	}
	var doc TableSchema
	if err := json.Unmarshal(got, &doc); err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, f := range doc.Fields {
		lines = append(lines, fmt.Sprintf("%s %s %q %s required=%v", f.Name, f.Type, f.Unit, f.Description, f.Constraints.Required))
	}
	want := []string{
		`time string "" time required=true`,
		`depth_ft number "ft" depth required=false`,
		`cell12_po2_ata number "ata" PO2 of cell 12 required=false`,
		`cell12_vote string "" the unit's own vote on cell 12 required=false`,
		`halfB_po2_bar number "bar" PO2 of half B required=false`,
		`diluent string "" diluent from this row on required=false`,
		`Heading string "" not defined by the format; kept as text required=false`,
	}
	if diff := cmp.Diff(want, lines); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{""}, doc.MissingValues); diff != "" {
		t.Errorf("missing values (-want +got):\n%s", diff)
	}
}
