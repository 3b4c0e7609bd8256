package course

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"reflect"

	"afterloop/analysis/course"
	"afterloop/report"
)

// schemaComments are the doc comments of the types in a course. A test extracts
// them from the sources (run it with -update).
//
//go:embed schema/comments.json
var schemaComments []byte

// Schema is the JSON Schema of a course.
func Schema() ([]byte, error) {
	comments := map[string]string{}
	if err := json.Unmarshal(schemaComments, &comments); err != nil {
		return nil, fmt.Errorf("report: schema: %w", err)
	}
	return report.SchemaOrEmpty(course.Course{}, course.SchemaID, "afterloop course", func(t reflect.Type, field string) string { return comments[report.CommentKey(t, field)] })
}
