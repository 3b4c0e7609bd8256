package scenario

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// TestCourseDemosAreWhatTheCodeMakes holds testdata/course equal to the specs.
// Their truth is not kept: it is in the specs.
func TestCourseDemosAreWhatTheCodeMakes(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("not amd64: fused multiply-add may move a reading across a rounding step; the files are compared on amd64 only")
	}
	if *update {
		if err := os.MkdirAll(filepath.Join(testdata, "course"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, d := range CourseDemos() {
		log, _, err := Run(d.Spec)
		if err != nil {
			t.Fatal(err)
		}
		var csv bytes.Buffer
		if err := log.WriteCSV(&csv); err != nil {
			t.Fatal(err)
		}
		compareFile(t, d.Name+".csv", csv.Bytes())
		if csv.Len() > 30_000 {
			t.Errorf("%s has %d bytes; a log of the course stays within 30,000", d.Name, csv.Len())
		}
	}
}
