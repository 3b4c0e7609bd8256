package course

import (
	"io"
	"testing"

	"afterloop/analysis/course"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

// TestSchemaGolden holds the schema, and the comments that it takes from the
// sources, to files that can be reviewed.
func TestSchemaGolden(t *testing.T) { reporttest.Schema(t, document, "../..", "course") }

// holds tells whether a document holds to the schema.
func holds(t *testing.T, v any) error {
	t.Helper()
	return reporttest.Follows(t, Schema)(reporttest.Bytes(t, func(w io.Writer) error { return report.EncodeJSON(w, v) }))
}

// TestJSONFollowsSchema with and without names.
func TestJSONFollowsSchema(t *testing.T) {
	for _, anonymous := range []bool{false, true} {
		c, err := course.Build(entries(t, 4, nil), course.Options{By: course.ByAuto, Anonymous: anonymous})
		if err != nil {
			t.Fatal(err)
		}
		if err := holds(t, c); err != nil {
			t.Error(err)
		}
		c.Students[0].Logs = nil
		if holds(t, c) == nil {
			t.Error("a nil slice passes")
		}
	}
}
