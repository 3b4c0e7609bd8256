package main

import (
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"afterloop/internal/golden"
)

// TestMain lets the test binary stand in for the program: the scripts then run
// it as its users do, with real arguments, streams and exit statuses.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"afterloop": main})
}

// TestScript runs the scripts, one a topic. A script asserts silence where
// nothing should be said, and that no file is left behind by a failure.
func TestScript(t *testing.T) {
	demos, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       golden.Update(),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMOS", demos)
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"status": status},
	})
}

// status runs a command and asserts its exit status: status 2 afterloop debrief x.csv
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status CODE command...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		var ok bool
		if got, ok = exitCode(err); !ok {
			ts.Fatalf("%v", err)
		}
	}
	if want := args[0]; want != itoa(got) {
		ts.Fatalf("exit status %d, want %s", got, want)
	}
}

func exitCode(err error) (int, bool) {
	type coder interface{ ExitCode() int }
	if c, ok := err.(coder); ok {
		return c.ExitCode(), true
	}
	return 0, false
}

func itoa(n int) string { return string(rune('0' + n)) }
