package report

import (
	_ "embed"
	"path"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
	"afterloop/ingest"
)

// comments are the doc comments of the types in a debrief.
//
//go:embed schema/comments.json
var comments []byte

var document = Document{Value: analysis.Debrief{}, ID: analysis.SchemaID, Title: "afterloop debrief"}

// Schema returns the JSON Schema of the JSON form of a debrief. Readers shall
// ignore keys that they do not know.
func Schema() ([]byte, error) { return document.Schema(comments) }

// typeName keeps types of one name apart by their package: vote.Params becomes
// VoteParams.
func typeName(t reflect.Type) string {
	pkg := path.Base(t.PkgPath())
	if pkg == "analysis" || pkg == "." || pkg == "" {
		return t.Name()
	}
	return strings.ToUpper(pkg[:1]) + pkg[1:] + t.Name()
}

// mapType gives the types whose JSON form reflection cannot know.
func mapType(t reflect.Type) *jsonschema.Schema {
	switch t {
	case reflect.TypeFor[analysis.Float](), reflect.TypeFor[calibration.Figure]():
		return orNull(&jsonschema.Schema{Type: "number"})
	case reflect.TypeFor[analysis.Outcome]():
		return oneOf(analysis.Found, analysis.NotFound, analysis.Borderline, analysis.NotAssessed, analysis.DoesNotApply)
	case reflect.TypeFor[analysis.Severity]():
		return oneOf(analysis.Note, analysis.Caution, analysis.Warning)
	case reflect.TypeFor[analysis.Confidence]():
		return oneOf(analysis.Sure, analysis.Likely, analysis.Possible)
	case reflect.TypeFor[ingest.Severity]():
		return oneOf(ingest.Info, ingest.Warning, ingest.Error)
	}
	return nil
}

func oneOf[T ~string](values ...T) *jsonschema.Schema {
	s := &jsonschema.Schema{Type: "string"}
	for _, v := range values {
		s.Enum = append(s.Enum, string(v))
	}
	return s
}

func orNull(s *jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{s, {Type: "null"}}}
}

// allowNull walks the types and lets every pointer be null in its schema.
func allowNull(s *jsonschema.Schema, defs jsonschema.Definitions, t reflect.Type, seen map[reflect.Type]bool) {
	if s == nil || s.Properties == nil || seen[t] {
		return
	}
	seen[t] = true
	for i := 0; i < t.NumField(); i++ {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		p, ok := s.Properties.Get(name)
		if !ok {
			continue
		}
		if f.Type.Kind() == reflect.Pointer {
			description := p.Description
			p.Description = ""
			n := orNull(p)
			n.Description = description
			s.Properties.Set(name, n)
		}
		if e := elem(f.Type); e.Kind() == reflect.Struct {
			allowNull(defs[typeName(e)], defs, e, seen)
		}
	}
}

// elem is what a pointer points to and a slice holds.
func elem(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}
