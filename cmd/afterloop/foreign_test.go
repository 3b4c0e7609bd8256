package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterloop/analysis"
	"afterloop/ingest"
	"afterloop/ingest/mapping"
	"afterloop/report"
)

// TestForeignDebriefIsThatOfTheLoopLog: a foreign file debriefed with its mapping
// gives the debrief of the same dive as a loop log: every check, finding, figure
// and row. Only what is said of the file itself differs. The file in feet is
// rounded to other steps than its loop log, so that figures differ by them.
func TestForeignDebriefIsThatOfTheLoopLog(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/foreign/*.toml")
	if len(files) < 6 {
		t.Fatalf("%d fixtures", len(files))
	}
	for _, f := range files {
		base := strings.TrimSuffix(f, ".toml")
		m, err := mapping.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, ending := range textEndings {
			if _, err := os.Stat(base + ending); err != nil || filepath.Base(base) == "feet" {
				continue
			}
			parts, err := ingest.ReadPartsFile(base+ending, ingest.Options{Mapping: m})
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range parts {
				loop, err := ingest.ReadFile(fmt.Sprintf("%s.%d.loop.csv", base, i+1), ingest.Options{})
				if err != nil || p.Err != nil {
					t.Fatal(err, p.Err)
				}
				if diff := cmp.Diff(debriefJSON(t, loop), debriefJSON(t, p.Dive), cmpopts.EquateApprox(1e-6, 1e-9)); diff != "" {
					t.Errorf("%s, dive %s (-loop log +foreign):\n%s", base, p.Name, diff)
				}
			}
		}
	}
}

// debriefJSON is a debrief without what is said of the file.
func debriefJSON(t *testing.T, d *ingest.Dive) map[string]any {
	t.Helper()
	var b bytes.Buffer
	if err := report.WriteJSON(&b, analysis.Analyze(d, analysis.DefaultParameters()), report.Options{}); err != nil {
		t.Fatal(err)
	}
	var v map[string]any
	if err := json.Unmarshal(b.Bytes(), &v); err != nil {
		t.Fatal(err)
	}
	delete(v, "sources")
	delete(v, "problems")
	return v
}
