package ingest

import (
	"os"
	"strings"
	"testing"
)

// TestReadmeMapping: the mapping in README reads the file that it describes.
func TestReadmeMapping(t *testing.T) {
	readme, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, found := strings.Cut(string(readme), "```toml\n")
	text, _, closed := strings.Cut(text, "```")
	if !found || !closed {
		t.Fatal("README has no mapping")
	}
	log := "A lake\nDiver: R.T.\nPressure: 965 mbar\nSamples\nTime;Depth;PO2 1;State 1;Event;Dive no\n;ft;bar;;;\n" +
		"23:59:55;1.000,0;71;ok;;17\n0:00:05;--;72;X;Dil. flush;17\n"
	d := mustForeign(t, text, log)
	if d.Rows() != 2 || d.TimeS[1]-d.TimeS[0] != 10 || d.DepthM[0] != 304.8 || !IsMissing(d.DepthM[1]) || d.Cells[0].PO2Bar[1] != 0.72 || d.Cells[0].Vote[1] != VoteOut ||
		d.SetPointBar[0] != 1.2 || len(d.Events) != 1 || d.Meta.Diver != "R.T." || d.Meta.SurfacePressureBar != 0.965 || d.Meta.WaterDensityKgM3 != 1000 || d.Source.Part != "17" {
		t.Errorf("%+v", d)
	}
	if bad := graver(d); len(bad) > 0 {
		t.Errorf("problems %v", bad)
	}
}
