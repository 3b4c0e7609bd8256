package compare

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"

	"afterloop/analysis/compare"
	"afterloop/report"
)

var update = flag.Bool("update", false, "rewrite golden files")

// golden compares got with a file of the repository, or rewrites it.
func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update)", err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s differs (-want +got); if it should, run with -update:\n%s", file, d)
	}
}

// TestSchemaGolden holds the schema, and the comments that it takes from the
// sources, to files that can be reviewed.
func TestSchemaGolden(t *testing.T) {
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"../../analysis", "../../ingest"} {
		if err := r.AddGoComments("afterloop/report/compare", dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	_, err := report.SchemaOrEmpty(compare.Comparison{}, compare.SchemaID, "", func(ty reflect.Type, field string) string {
		key := report.CommentKey(ty, field)
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	})
	if err != nil {
		t.Fatal(err)
	}
	comments, err := json.MarshalIndent(used, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	comments = append(comments, '\n')
	golden(t, "schema/comments.json", comments)
	schemaComments = comments
	got, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/compare.schema.json", got)
}

// holds tells whether a document holds to the schema.
func holds(t *testing.T, v any) error {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("x.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("x.json")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.EncodeJSON(&b, v); err != nil {
		t.Fatal(err)
	}
	got, err := validator.UnmarshalJSON(&b)
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(got)
}

// TestJSONFollowsSchema in both modes, and the schema lets no nonsense pass.
func TestJSONFollowsSchema(t *testing.T) {
	for _, n := range []int{2, 3, 8} {
		c, err := compare.Compare(subjects(t, n, nil), compare.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := holds(t, c); err != nil {
			t.Errorf("%d dives: %v", n, err)
		}
		c.Figures = nil
		if holds(t, c) == nil {
			t.Error("a nil slice passes")
		}
	}
	ss := subjects(t, 2, nil)
	ss[1] = compare.Take(hostileDebrief(), compare.Source{FromJSON: true, Keep: true})
	ss[1].SHA256 = ss[0].SHA256
	c, err := compare.Compare(ss, compare.Options{})
	if err != nil || c.Versions == nil {
		t.Fatal(err)
	}
	if err := holds(t, c); err != nil {
		t.Errorf("two versions: %v", err)
	}
}
