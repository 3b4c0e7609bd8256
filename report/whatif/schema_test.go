package whatif

import (
	"bytes"
	"encoding/json"
	"flag"
	"io"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"

	"afterloop/analysis/whatif"
	"afterloop/report"
)

var update = flag.Bool("update", false, "rewrite golden files")

// TestSchema: the schema is that of the repository, and results follow it.
func TestSchema(t *testing.T) {
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"../../analysis", "../../ingest"} {
		if err := r.AddGoComments("afterloop/report/whatif", dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	if _, err := schemaWith(func(ty reflect.Type, field string) string {
		key := report.CommentKey(ty, field)
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	}); err != nil {
		t.Fatal(err)
	}
	comments, err := json.MarshalIndent(used, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/comments.json", append(comments, '\n'))
	if *update {
		schemaComments = comments
	}
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/whatif.schema.json", text)
	follows(t, text)
}

func follows(t *testing.T, text []byte) {
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("whatif.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("whatif.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	for name, r := range map[string]*whatif.Report{"both": result(t, both()), "open": result(t, whatif.Changes{Kind: whatif.Open, Policy: "mean"})} {
		v, err := validator.UnmarshalJSON(strings.NewReader(written(t, func(w io.Writer) error { return report.EncodeJSON(w, r) })))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	bad := result(t, both())
	bad.Schema = "afterloop/whatif/0"
	v, _ := validator.UnmarshalJSON(strings.NewReader(written(t, func(w io.Writer) error { return report.EncodeJSON(w, bad) })))
	if s.Validate(v) == nil {
		t.Error("the schema lets another version pass")
	}
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update)", err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s differs (-want +got); if it should, run with -update:\n%s", file, d)
	}
}
