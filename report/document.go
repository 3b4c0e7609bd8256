package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"
)

// Document is a kind of JSON file of the house; from it its JSON Schema is made.
type Document struct {
	// Value is a value of the file's type. A key "schema" of it holds ID.
	Value any
	// ID is the name of the file's version, as in "afterloop/days/1".
	ID, Title string
	// EmptyWords lets a fixed word be empty: some files hold states of what was not
	// found, which have no severity.
	EmptyWords bool
	// Strict forbids keys that are not named: the file is read strictly.
	Strict bool
}

// Schema returns the JSON Schema (draft 2020-12) of the document, generated from
// its Go types: a [analysis.Float] is a number or null, a pointer may be null,
// descriptions are the types' doc comments. comments is a JSON object of them, by
// the full name of a type or of its field, as in "afterloop/analysis.Finding.Kind":
// a built program has no sources to read, so a test extracts them (run it with
// -update).
func (d Document) Schema(comments []byte) ([]byte, error) {
	byKey := map[string]string{}
	if err := json.Unmarshal(comments, &byKey); err != nil {
		return nil, fmt.Errorf("report: schema: %w", err)
	}
	return d.SchemaBy(func(key string) string { return byKey[key] })
}

// SchemaBy is [Document.Schema] with descriptions from a function of their full
// name; it gives an empty text where there is none.
func (d Document) SchemaBy(comment func(key string) string) ([]byte, error) {
	r := &jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, AllowAdditionalProperties: !d.Strict, Mapper: d.mapType, Namer: typeName,
		LookupComment: func(t reflect.Type, field string) string { return comment(commentKey(t, field)) }}
	s := r.Reflect(d.Value)
	s.ID = "urn:" + jsonschema.ID(strings.ReplaceAll(d.ID, "/", ":"))
	s.Title = d.Title
	if p, ok := s.Properties.Get("schema"); ok {
		p.Const = d.ID
	}
	allowNull(s, s.Definitions, reflect.TypeOf(d.Value), map[reflect.Type]bool{})
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(s); err != nil {
		return nil, fmt.Errorf("report: schema: %w", err)
	}
	return b.Bytes(), nil
}

func (d Document) mapType(t reflect.Type) *jsonschema.Schema {
	s := mapType(t)
	if d.EmptyWords && s != nil && s.Enum != nil {
		s.Enum = append(s.Enum, "")
	}
	return s
}

// commentKey names a type, or a field of it, in full.
func commentKey(t reflect.Type, field string) string {
	key := t.PkgPath() + "." + t.Name()
	if field != "" {
		key += "." + field
	}
	return key
}
