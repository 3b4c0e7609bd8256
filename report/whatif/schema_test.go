package whatif

import (
	"io"
	"testing"

	"afterloop/analysis/whatif"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

// TestSchema: the schema is that of the repository, and results follow it.
func TestSchema(t *testing.T) {
	reporttest.Schema(t, document, "../..", "whatif")
	check := reporttest.Follows(t, Schema)
	follows := func(r *whatif.Report) error {
		return check(reporttest.Bytes(t, func(w io.Writer) error { return report.EncodeJSON(w, r) }))
	}
	for name, r := range map[string]*whatif.Report{"both": result(t, both()), "open": result(t, whatif.Changes{Kind: whatif.Open, Policy: "mean"})} {
		if err := follows(r); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	bad := result(t, both())
	bad.Schema = "afterloop/whatif/0"
	if follows(bad) == nil {
		t.Error("the schema lets another version pass")
	}
}
