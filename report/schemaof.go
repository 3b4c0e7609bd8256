package report

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"
)

// SchemaOf returns the JSON Schema of the JSON form of another result of the house, made
// as [Schema] makes the debrief's. v is a value of its type, id the version that its key
// "schema" holds, comments its types' doc comments, by package path, type and field.
func SchemaOf(v any, id, title string, comments func(key string) string) ([]byte, error) {
	r := &jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, AllowAdditionalProperties: true, Mapper: mapType, Namer: typeName,
		LookupComment: func(t reflect.Type, field string) string { return comments(commentKey(t, field)) }}
	s := r.Reflect(v)
	s.ID = "urn:" + jsonschema.ID(strings.ReplaceAll(id, "/", ":"))
	s.Title = title
	if p, ok := s.Properties.Get("schema"); ok {
		p.Const = id
	}
	allowNull(s, s.Definitions, reflect.TypeOf(v), map[reflect.Type]bool{})
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	err := enc.Encode(s)
	return b.Bytes(), err
}
