package report

import (
	"strings"
	"testing"

	"afterloop/analysis"
)

// TestReasonHasNoUnit: a reason stands in the place of a figure without its unit,
// and what was used is not told across a filling.
func TestReasonHasNoUnit(t *testing.T) {
	none := analysis.Interval{Value: analysis.Float(nan), Low: analysis.Float(nan), High: analysis.Float(nan), Reason: "the cylinder's volume is not stated"}
	if s := litresUnit(none); strings.HasSuffix(s, " L") {
		t.Errorf("%q", s)
	}
	if s := litresUnit(analysis.Interval{Value: 51, Low: 43, High: 59}); !strings.HasSuffix(s, " L") {
		t.Errorf("%q", s)
	}
	filled := analysis.Cylinder{StartBar: analysis.Value{Value: 185}, EndBar: analysis.Value{Value: 214}, UsedBar: none, Reason: "it was filled"}
	if s := cylinderText(filled) + usedLitres(filled); s != "185 to 214 bar; what was used is not assessed: it was filled" {
		t.Errorf("%q", s)
	}
	if s := sentences([]string{"one row of 0.00 V, left out"}); s != " One row of 0.00 V, left out." {
		t.Errorf("%q", s)
	}
}
