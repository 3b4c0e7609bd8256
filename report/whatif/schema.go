package whatif

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"reflect"

	"afterloop/analysis/whatif"
	"afterloop/report"
)

// schemaComments are the doc comments of the types; a test extracts them from the sources
// (run it with -update).
//
//go:embed schema/comments.json
var schemaComments []byte

// Schema is the JSON Schema (draft 2020-12) of the JSON form of a result. Readers shall
// ignore keys that they do not know.
func Schema() ([]byte, error) {
	comments := map[string]string{}
	if err := json.Unmarshal(schemaComments, &comments); err != nil {
		return nil, fmt.Errorf("report: schema: %w", err)
	}
	return schemaWith(func(t reflect.Type, field string) string { return comments[report.CommentKey(t, field)] })
}

func schemaWith(comment func(reflect.Type, string) string) ([]byte, error) {
	return report.SchemaOf(whatif.Report{}, whatif.SchemaID, "afterloop whatif", comment)
}
