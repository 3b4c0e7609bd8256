package main

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"afterloop/ingest/register"
)

// child is this test binary standing in for the program (see TestMain), as a
// process of its own that can be killed.
func child(args ...string) *exec.Cmd {
	c := exec.Command(os.Args[0])
	c.Args = append([]string{"afterloop"}, args...)
	return c
}

// registerDocuments writes n debriefs in JSON, each of another log.
func registerDocuments(t *testing.T, n int) []string {
	t.Helper()
	dir := t.TempDir()
	var files []string
	for i := range n {
		text := fmt.Sprintf(`{"schema":"afterloop/debrief/1","tool":{"version":"t"},"sources":[{"file":"%d.csv","sha256":"%064x"}],"dive":{"start":"2026-01-%02dT10:00:00Z","unit":"Reiher 2"},"cells":[`, i, i+1, i%28+1)
		for c := 1; c <= 3; c++ {
			text += fmt.Sprintf(`{"cell":%d,"serial":"K-%d","t90_s":{"value":%d,"low":5,"high":9},"gain":{"value":1,"low":0.98,"high":1.02},"mv":{"mv_per_bar":51.5}},`, c, c, 6+i%3)
		}
		f := filepath.Join(dir, fmt.Sprintf("%03d.json", i))
		if err := os.WriteFile(f, []byte(strings.TrimSuffix(text, ",")+"]}"), 0o644); err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}

const figuresOfDocument = 9 // three cells with three figures each

// TestKilledImport kills an import with SIGKILL at random moments, 200 times.
// After each the file must open and be sound, hold every file of which the
// program had said that it was in, and no file in part.
func TestKilledImport(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 15
	}
	files := registerDocuments(t, 30)
	r := rand.New(rand.NewPCG(1, 200))
	whole := timeWhole(t, files)
	path, told := "", map[string]bool{}
	inside, finished := 0, 0
	for n := range kills {
		if path == "" {
			path, told = filepath.Join(t.TempDir(), fmt.Sprintf("%d.db", n)), map[string]bool{}
		}
		wait := time.Duration(r.Float64() * 1.05 * float64(whole))
		killed := killAfter(t, path, files, wait, told)
		if n == 0 && !killed {
			t.Log("the first import ended before it was killed")
		}
		if len(told) > 0 && killed {
			inside++
		}
		if checkAfterKill(t, path, files, told); t.Failed() {
			t.Fatalf("after kill %d, %v after the start", n, wait)
		}
		if !killed {
			finished++
			path = "" // all are in: begin anew
		} else if r.IntN(4) == 0 {
			path = "" // or the register would soon be full, and the first moments seldom be hit
		}
	}
	t.Logf("%d imports: %d killed with some files in, %d ended first", kills, inside, finished)
	if inside < kills/4 {
		t.Errorf("only %d of %d kills hit an import under way: the test proves little", inside, kills)
	}
}

// timeWhole is how long an import of all files takes here.
func timeWhole(t *testing.T, files []string) time.Duration {
	t.Helper()
	best := time.Hour
	for range 3 {
		begin := time.Now()
		args := append([]string{"register", "import", "--add-cells", "--register", filepath.Join(t.TempDir(), "x.db")}, files...)
		if out, err := child(args...).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		best = min(best, time.Since(begin))
	}
	return best
}

// killAfter runs an import and kills it after a while. told gets the files of
// which the program said that they are in; it tells whether the kill came in time.
func killAfter(t *testing.T, path string, files []string, wait time.Duration, told map[string]bool) (killed bool) {
	t.Helper()
	c := child(append([]string{"register", "import", "--add-cells", "--register", path}, files...)...)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(wait, func() { c.Process.Kill() })
	defer timer.Stop()
	for s := bufio.NewScanner(out); s.Scan(); {
		if file, text, ok := strings.Cut(s.Text(), ": "); ok && text != "" {
			told[file] = true
		}
	}
	return c.Wait() != nil
}

// checkAfterKill opens the register as the next process would.
func checkAfterKill(t *testing.T, path string, files []string, told map[string]bool) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		if len(told) > 0 {
			t.Errorf("the register is gone: %v", err)
		}
		return // killed before it was made
	}
	r, err := register.Open(path, true)
	if err != nil {
		t.Errorf("it does not open: %v", err)
		return
	}
	content, err := r.Read()
	if err != nil || r.Close() != nil {
		t.Errorf("it can't be read: %v", err)
		return
	}
	if err := register.Verify(path); err != nil {
		t.Error(err)
	}
	perSource := map[string]int{}
	for _, m := range content.Measurements {
		perSource[m.SHA256]++
	}
	for _, s := range content.Sources {
		if perSource[s.SHA256] != figuresOfDocument {
			t.Errorf("source %s is in with %d figures of %d", s.File, perSource[s.SHA256], figuresOfDocument)
		}
	}
	for i, f := range files {
		if told[f] && perSource[fmt.Sprintf("%064x", i+1)] == 0 {
			t.Errorf("%s was said to be in and is lost", filepath.Base(f))
		}
	}
}

// TestTwoProcesses: two imports of the same files into one new register at once
// do no harm; each file is in once.
func TestTwoProcesses(t *testing.T) {
	files := registerDocuments(t, 25)
	path := filepath.Join(t.TempDir(), "cells.db")
	var wg sync.WaitGroup
	outputs := make([]string, 3)
	for k := range outputs {
		wg.Add(1)
		go func() {
			defer wg.Done()
			out, err := child(append([]string{"register", "import", "--add-cells", "--register", path}, files...)...).CombinedOutput()
			if outputs[k] = string(out); err != nil {
				t.Errorf("process %d: %v\n%s", k, err, out)
			}
		}()
	}
	wg.Wait()
	all := strings.Join(outputs, "")
	if n := strings.Count(all, "imported,"); n != len(files) {
		t.Errorf("%d files were imported, %d are there", n, len(files))
	}
	if n := strings.Count(all, "known already"); n != 2*len(files) {
		t.Errorf("%d were known already, want %d", n, 2*len(files))
	}
	told := map[string]bool{}
	for _, f := range files {
		told[f] = true
	}
	checkAfterKill(t, path, files, told)
}
