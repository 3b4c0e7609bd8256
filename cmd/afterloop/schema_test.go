package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// TestEveryDocumentHasASchema: what the program writes follows the schema that it prints.
func TestEveryDocumentHasASchema(t *testing.T) {
	dir := t.TempDir()
	db := filepath.Join(dir, "cells.db")
	pot := filepath.Join(dir, "pot.json")
	output(t, "bench", "cells", "-q", "../../testdata/bench-cells.csv", "--json", pot)
	output(t, "register", "import", pot, "--add-cells", "--register", db)
	file := func(name string) string {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	for name, text := range map[string]string{
		"bench-cells":     file(pot),
		"bench-tightness": output(t, "bench", "tightness", "../../testdata/bench-tightness-positive.csv", "--json", "-"),
		"register":        output(t, "register", "list", "--register", db, "--as-of", "2026-07-01", "--json", "-"),
		"inspect":         output(t, "inspect", "../../testdata/ombrel-two-limited.csv", "--json"),
		"remarks":         `{"format":"afterloop-remarks/1","log_sha256":"00","remarks":[{"at_s":1.5,"who":"","text":"look"}]}`,
		"scenario":        output(t, "scenario", "make", "limited-pair", "--spec"),
		"truth":           file("../../testdata/ombrel-two-limited.truth.json"),
		"calibration":     file("../../analysis/calibration/table.json"),
		"score":           output(t, "scenario", "score", "--families", "plain:2", "--json", "-"),
	} {
		t.Run(name, func(t *testing.T) {
			s := compiled(t, name)
			var v map[string]any
			if err := json.Unmarshal([]byte(text), &v); err != nil {
				t.Fatal(err)
			}
			if err := s.Validate(any(v)); err != nil {
				t.Error(err)
			}
			for key := range v { // a schema that lets anything pass is none
				v[key] = map[string]any{"no": "such"}
			}
			if s.Validate(any(v)) == nil {
				t.Error("anything passes")
			}
		})
	}
	if err := compiled(t, "remarks").Validate(map[string]any{"format": "other", "log_sha256": "", "remarks": []any{}}); err == nil {
		t.Error("another format passes")
	}
}

func compiled(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader([]byte(strings.TrimSpace(output(t, "schema", name)))))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(name, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
