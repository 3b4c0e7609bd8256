package scenario

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the demonstration logs")

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
		log, _, err := Run(d.Spec)
		if err != nil {
			t.Fatal(err)
		}
		var csv bytes.Buffer
		if err := log.WriteCSV(&csv); err != nil {
			t.Fatal(err)
		}
		compareFile(t, d.Name+".csv", csv.Bytes())
		if csv.Len() > 40_000 {
			t.Errorf("%s has %d bytes; a log of the series stays within 40,000", d.Name, csv.Len())
		}
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
	path := filepath.Join(testdata, name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to make it", err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s differs (-file +made); run with -update if that is meant:\n%.2000s", name, diff)
	}
}
