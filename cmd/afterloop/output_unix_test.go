//go:build unix

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A device or a pipe as output is refused: the whole file is moved into its place, and
// with the right to do so that would take away what everybody else writes to.
func TestOutputIsNoPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skipf("SKIPPED: no pipe here: %v", err)
	}
	var out, errs bytes.Buffer
	code := run([]string{"debrief", "-q", "../../testdata/ombrel-healthy.csv", "--json", pipe}, strings.NewReader(""), &out, &errs)
	if code != 2 || !strings.Contains(errs.String(), "is a device or a pipe") || out.Len() > 0 {
		t.Errorf("status %d, %q, %q", code, out.String(), errs.String())
	}
	if st, err := os.Lstat(pipe); err != nil || st.Mode()&os.ModeNamedPipe == 0 {
		t.Errorf("the pipe is gone: %v, %v", st, err)
	}
}
