package report

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"
)

// SchemaOf returns the JSON Schema of a document of the house, by the rules of
// [Schema]: v is a value of its type with a key "schema" that holds id, the name of
// its version, as in "afterloop/days/1". Descriptions are the types' doc comments,
// by [CommentKey]; comment may be nil.
func SchemaOf(v any, id, title string, comment func(reflect.Type, string) string) ([]byte, error) {
	return schemaBy(v, id, title, comment, mapType)
}

// SchemaOrEmpty is [SchemaOf] for documents in which a fixed word may be empty:
// those hold states of what was not found, which have no severity.
func SchemaOrEmpty(v any, id, title string, comment func(reflect.Type, string) string) ([]byte, error) {
	return schemaBy(v, id, title, comment, func(t reflect.Type) *jsonschema.Schema {
		s := mapType(t)
		if s != nil && s.Enum != nil {
			s.Enum = append(s.Enum, "")
		}
		return s
	})
}

func schemaBy(v any, id, title string, comment func(reflect.Type, string) string, mapper func(reflect.Type) *jsonschema.Schema) ([]byte, error) {
	if comment == nil {
		comment = func(reflect.Type, string) string { return "" }
	}
	r := &jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, AllowAdditionalProperties: true, Mapper: mapper, Namer: typeName, LookupComment: comment}
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

// CommentKey names a type, or a field of it, in a file of comments.
func CommentKey(t reflect.Type, field string) string {
	key := t.PkgPath() + "." + t.Name()
	if field != "" {
		key += "." + field
	}
	return key
}
