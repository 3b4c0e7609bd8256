package report

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

	"afterloop/analysis"
)

var update = flag.Bool("update", false, "rewrite golden files")

// golden compares got with a file of the repository, or rewrites it.
func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s rewritten", file)
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

// sourceComments reads the doc comments that the schema uses from the sources.
func sourceComments(t *testing.T) map[string]string {
	t.Helper()
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"../analysis", "../ingest"} {
		if err := r.AddGoComments("afterloop/report", dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	_, err := schemaWith(func(ty reflect.Type, field string) string {
		key := CommentKey(ty, field)
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	})
	if err != nil {
		t.Fatal(err)
	}
	return used
}

func TestSchemaGolden(t *testing.T) {
	comments, err := json.MarshalIndent(sourceComments(t), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	comments = append(comments, '\n')
	golden(t, "schema/comments.json", comments)
	if *update {
		schemaComments = comments
	}
	got, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/debrief.schema.json", got)
}

func compiledSchema(t *testing.T) *validator.Schema {
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
	if err := c.AddResource("debrief.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("debrief.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(t *testing.T, s *validator.Schema, d *analysis.Debrief) error {
	t.Helper()
	var b bytes.Buffer
	if err := WriteJSON(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	v, err := validator.UnmarshalJSON(&b)
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

func TestJSONFollowsSchema(t *testing.T) {
	s := compiledSchema(t)
	if err := validate(t, s, small.debrief()); err != nil {
		t.Errorf("the rich fixture: %v", err)
	}
	d := small.debrief()
	d.Tracking, d.Injection, d.Estimate = nil, nil, nil
	if err := validate(t, s, d); err != nil {
		t.Errorf("null parts: %v", err)
	}
	for name, spoil := range map[string]func(*analysis.Debrief){
		"a nil slice":         func(d *analysis.Debrief) { d.Findings = nil },
		"an unknown severity": func(d *analysis.Debrief) { d.Findings[0].Severity = "grave" },
		"an unknown outcome":  func(d *analysis.Debrief) { d.Checks[0].Outcome = "passed" },
		"another schema":      func(d *analysis.Debrief) { d.Schema = "afterloop/debrief/0" },
	} {
		d := small.debrief()
		spoil(d)
		if validate(t, s, d) == nil {
			t.Errorf("the schema lets %s pass", name)
		}
	}
}
