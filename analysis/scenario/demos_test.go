package scenario

import (
	"bytes"
	"path/filepath"
	"runtime"
	"testing"

	"afterloop/internal/golden"
)

const testdata = "../../testdata"

// TestDemosAreWhatTheCodeMakes holds the files in testdata equal to the specs.
func TestDemosAreWhatTheCodeMakes(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("not amd64: fused multiply-add may move a reading across a rounding step; the files are compared on amd64 only")
	}
	for _, d := range Demos() {
		log, truth, err := Run(d.Spec)
		if err != nil {
			t.Fatal(err)
		}
		var csv, truthCSV, truthJSON bytes.Buffer
		for _, err := range []error{log.WriteCSV(&csv), truth.WriteCSV(&truthCSV), truth.WriteJSON(&truthJSON)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		compareFile(t, d.Name+".csv", csv.Bytes())
		compareFile(t, d.Name+".truth.csv", truthCSV.Bytes())
		compareFile(t, d.Name+".truth.json", truthJSON.Bytes())
		if csv.Len() > 120_000 {
			t.Errorf("%s has %d bytes; a demonstration stays within 120,000", d.Name, csv.Len())
		}
	}
}

// TestDayDemosAreWhatTheCodeMakes does the same for the logs of a series of dives,
// which stand without their truth.
func TestDayDemosAreWhatTheCodeMakes(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("not amd64: fused multiply-add may move a reading across a rounding step; the files are compared on amd64 only")
	}
	for _, d := range DayDemos() {
		heldLog(t, d, 40_000)
	}
}

// The two logs of the doubled demonstration are what its spec makes.
func TestDoubledDemo(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("not amd64: fused multiply-add may move a reading across a rounding step; the files are compared on amd64 only")
	}
	spec, logs := DoubledDemo()
	whole, _, err := Run(spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range logs {
		var csv bytes.Buffer
		if err := l.Half.Record(whole).WriteCSV(&csv); err != nil {
			t.Fatal(err)
		}
		compareFile(t, l.Name+".csv", csv.Bytes())
		if csv.Len() > 120_000 {
			t.Errorf("%s has %d bytes; a demonstration stays within 120,000", l.Name, csv.Len())
		}
	}
}

func compareFile(t *testing.T, name string, got []byte) {
	t.Helper()
	golden.Hold(t, filepath.Join(testdata, name), got)
}

// heldLog holds a demo's log, which stands without its truth, to its file and to a
// size.
func heldLog(t *testing.T, d Named, most int) {
	t.Helper()
	log, _, err := Run(d.Spec)
	if err != nil {
		t.Fatal(err)
	}
	var csv bytes.Buffer
	if err := log.WriteCSV(&csv); err != nil {
		t.Fatal(err)
	}
	compareFile(t, d.Name+".csv", csv.Bytes())
	if csv.Len() > most {
		t.Errorf("%s has %d bytes; at most %d", d.Name, csv.Len(), most)
	}
}
