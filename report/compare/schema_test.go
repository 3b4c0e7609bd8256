package compare

import (
	"io"
	"testing"

	"afterloop/analysis/compare"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

// TestSchemaGolden holds the schema, and the comments that it takes from the
// sources, to files that can be reviewed.
func TestSchemaGolden(t *testing.T) { reporttest.Schema(t, document, "../..", "compare") }

// holds tells whether a document holds to the schema.
func holds(t *testing.T, v any) error {
	t.Helper()
	return reporttest.Follows(t, Schema)(reporttest.Bytes(t, func(w io.Writer) error { return report.EncodeJSON(w, v) }))
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
