package scenario

import (
	"runtime"
	"testing"
)

// TestCourseDemosAreWhatTheCodeMakes holds testdata/course equal to the specs.
// Their truth is not kept: it is in the specs.
func TestCourseDemosAreWhatTheCodeMakes(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("not amd64: fused multiply-add may move a reading across a rounding step; the files are compared on amd64 only")
	}
	for _, d := range CourseDemos() {
		heldLog(t, d, 30_000)
	}
}
