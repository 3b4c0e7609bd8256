package days

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"reflect"

	"afterloop/analysis/days"
	"afterloop/report"
)

// comments are the doc comments of the types of a series, as for the debrief: a
// test extracts them from the sources (run it with -update).
//
//go:embed schema/comments.json
var comments []byte

// Schema returns the JSON Schema of the JSON form of a series, by the rules of
// [report.Schema].
func Schema() ([]byte, error) {
	text := map[string]string{}
	if err := json.Unmarshal(comments, &text); err != nil {
		return nil, fmt.Errorf("report: schema: %w", err)
	}
	return schemaWith(func(t reflect.Type, field string) string { return text[commentKey(t, field)] })
}

func schemaWith(comment func(reflect.Type, string) string) ([]byte, error) {
	return report.SchemaOf(days.Report{}, days.Schema, "afterloop series of dives", comment)
}

func commentKey(t reflect.Type, field string) string {
	key := t.PkgPath() + "." + t.Name()
	if field != "" {
		key += "." + field
	}
	return key
}
