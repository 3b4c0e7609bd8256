package ingest

import (
	"bytes"
	"compress/gzip"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// mustRead reads a log given as text.
func mustRead(t *testing.T, log string) *Dive {
	t.Helper()
	d, err := Read(strings.NewReader(log), "test.csv", Options{})
	if err != nil {
		t.Fatalf("Read: %v", err)
	}
	return d
}

// mustFail reads a log that gives nothing and returns the problem.
func mustFail(t *testing.T, log string, o Options) Problem {
	t.Helper()
	d, err := Read(strings.NewReader(log), "test.csv", o)
	if err == nil {
		t.Fatalf("Read gave %d rows, want an error", d.Rows())
	}
	if d != nil {
		t.Error("Read gave a dive beside its error")
	}
	var p Problem
	if !errors.As(err, &p) {
		t.Fatalf("error is %T (%v), want a Problem", err, err)
	}
	return p
}

// graver lists the problems of severity Warning or worse.
func graver(d *Dive) []Problem {
	var list []Problem
	for _, p := range d.Problems {
		if p.Severity != Info {
			list = append(list, p)
		}
	}
	return list
}

// withCode lists the problems of one code.
func withCode(d *Dive, code string) []Problem {
	var list []Problem
	for _, p := range d.Problems {
		if p.Code == code {
			list = append(list, p)
		}
	}
	return list
}

// theProblem is the one problem with a code.
func theProblem(t *testing.T, d *Dive, code string) Problem {
	t.Helper()
	list := withCode(d, code)
	if len(list) != 1 {
		t.Fatalf("%d problems %q, want 1; all: %v", len(list), code, d.Problems)
	}
	return list[0]
}

// wantSeries compares numbers; NaN equals NaN.
func wantSeries(t *testing.T, what string, got, want []float64) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmpopts.EquateNaNs(), cmpopts.EquateApprox(0, 1e-9)); diff != "" {
		t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

var nan = math.NaN()

func gzipped(t testing.TB, data string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write([]byte(data)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// testLogs lists the logs that stand in this folder's testdata and in the
// module's.
func testLogs(t testing.TB) []string {
	t.Helper()
	var all []string
	for _, pattern := range []string{"testdata/*.csv", "../testdata/*.csv"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if isLog(t, f) {
				all = append(all, f)
			}
		}
	}
	if len(all) == 0 {
		t.Fatal("no logs in testdata")
	}
	return all
}

// isLog leaves out the tables beside the logs.
func isLog(t testing.TB, file string) bool {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return bytes.Contains(data, []byte("loop-log")) && !strings.Contains(file, ".truth.")
}

// sameDive compares what a log carries: not where it came from, what was wrong
// with it, in which unit and order its columns were, and how it was rounded.
func sameDive() cmp.Options {
	return cmp.Options{
		cmpopts.IgnoreFields(Dive{}, "Source", "Problems", "Line", "Columns", "DepthStepM"),
		cmpopts.IgnoreFields(Cell{}, "StepBar"),
		cmpopts.IgnoreFields(KeyValue{}, "Line"),
		cmpopts.EquateNaNs(),
		cmpopts.EquateApprox(1e-9, 1e-12),
	}
}
