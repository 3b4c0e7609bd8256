package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestCompareBudget: fifty dives of one hour at 1 Hz take less than 15 s on two
// cores (30 s of processor time at most, and the program uses one core for most of
// it, so 15 s are asked for), less than 500 MB, and make a page of less than 3 MB.
func TestCompareBudget(t *testing.T) {
	if testing.Short() || raceEnabled {
		t.Skip("SKIPPED: speed and memory are measured without -short and without the race detector")
	}
	bin, dir := buildProgram(t), t.TempDir()
	logs := filepath.Join(dir, "logs")
	if err := os.Mkdir(logs, 0o755); err != nil {
		t.Fatal(err)
	}
	for k := range 50 { // each of its own length, so that no two are the same dive
		if err := os.Rename(benchLog(t, 3600+k, 1), filepath.Join(logs, fmt.Sprintf("dive-%02d.csv", k))); err != nil {
			t.Fatal(err)
		}
	}
	for _, command := range []string{"compare", "course"} {
		page := filepath.Join(dir, command+".html")
		c := exec.Command(bin, command, "-q", logs, "-o", page, "--json", filepath.Join(dir, command+".json"))
		c.Env = append(os.Environ(), "GOMAXPROCS=2")
		if out, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		st, err := os.Stat(page)
		if err != nil {
			t.Fatal(err)
		}
		s, mb, size := cpuSeconds(c.ProcessState), peakMB(c.ProcessState), float64(st.Size())/1e6
		t.Logf("%s of 50 dives of 1 h at 1 Hz: %.1f s of processor time, %.0f MB, page %.2f MB", command, s, mb, size)
		if s > 15 || mb > 500 || size > 3 {
			t.Errorf("%s takes %.1f s, %.0f MB and makes a page of %.2f MB; promised are 15 s, 500 MB and 3 MB", command, s, mb, size)
		}
	}
}
