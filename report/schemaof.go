package report

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"
)

// SchemaOf returns the JSON Schema of another document of the house, by the rules
// of [Schema]: v is a value of its type, id the name of its version, as in
// "afterloop/compare/1". Descriptions are the types' doc comments, by
// [CommentKey]; comment may be nil.
func SchemaOf(v any, id, title string, comment func(reflect.Type, string) string) ([]byte, error) {
	if comment == nil {
		comment = func(reflect.Type, string) string { return "" }
	}
	r := &jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, AllowAdditionalProperties: true, Mapper: mapOrEmpty, Namer: typeName, LookupComment: comment}
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

// mapOrEmpty is mapType with "" among the fixed words: these documents hold states
// of what was not found, which have no severity.
func mapOrEmpty(t reflect.Type) *jsonschema.Schema {
	s := mapType(t)
	if s != nil && s.Enum != nil {
		s.Enum = append(s.Enum, "")
	}
	return s
}

// CommentKey names a type, or a field of it, in a file of comments.
func CommentKey(t reflect.Type, field string) string { return commentKey(t, field) }
