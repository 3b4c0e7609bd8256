package reporttest

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"

	"afterloop/internal/golden"
)

// Document is a kind of JSON file with a schema, as report.Document is.
type Document interface {
	Schema(comments []byte) ([]byte, error)
	SchemaBy(comment func(key string) string) ([]byte, error)
}

// Schema holds the schema of a document, schema/NAME.schema.json, and the doc
// comments in it, schema/comments.json, to files that can be reviewed. root leads
// from the package to the module, as in "../..".
func Schema(t *testing.T, d Document, root, name string) {
	t.Helper()
	comments, err := json.MarshalIndent(sourceComments(t, d, root), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	comments = append(comments, '\n')
	golden.Hold(t, "schema/comments.json", comments)
	got, err := d.Schema(comments)
	if err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "schema/"+name+".schema.json", got)
}

// sourceComments reads the doc comments that the schema uses from the sources.
func sourceComments(t *testing.T, d Document, root string) map[string]string {
	t.Helper()
	below := "afterloop" + strings.Repeat("/x", strings.Count(root, "..")) // any package that lies as deep
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"/analysis", "/ingest"} {
		if err := r.AddGoComments(below, root+dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	if _, err := d.SchemaBy(func(key string) string {
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	}); err != nil {
		t.Fatal(err)
	}
	return used
}

// Follows returns a check whether a JSON text holds to a schema.
func Follows(t testing.TB, schema func() ([]byte, error)) func(json []byte) error {
	t.Helper()
	text, err := schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("document.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("document.json")
	if err != nil {
		t.Fatal(err)
	}
	return func(json []byte) error {
		v, err := validator.UnmarshalJSON(bytes.NewReader(json))
		if err != nil {
			t.Fatal(err)
		}
		return s.Validate(v)
	}
}
