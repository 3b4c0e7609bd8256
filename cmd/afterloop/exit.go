package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"afterloop/ingest"
	"afterloop/report"
)

// Exit statuses, documented in every command's help.
const (
	exitDone    = 0
	exitFinding = 1 // --fail-on met a finding of that severity
	exitUsage   = 2 // bad usage or input
	exitPartial = 3 // some of several logs failed
)

const exitHelp = `
EXIT STATUS
  0  done
  1  done, and --fail-on met a finding of that severity or worse
  2  bad usage, or an input that could not be used, or an output that could not be written
  3  some of several logs failed; the others are done`

// statusError carries an exit status; a nil err prints nothing.
type statusError struct {
	status int
	err    error
}

func (e statusError) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit status %d", e.status)
	}
	return e.err.Error()
}

func (e statusError) Unwrap() error { return e.err }

// finish prints the error, if any, for the person who has to act, and returns the exit status.
func finish(stderr io.Writer, err error) int {
	if err == nil {
		return exitDone
	}
	status := exitUsage
	var s statusError
	if errors.As(err, &s) {
		status = s.status
		if s.err == nil {
			return status
		}
	}
	fmt.Fprintf(stderr, "afterloop: error: %s\n", report.Clean(strings.ReplaceAll(err.Error(), "\n", "; ")))
	if hint := foreignHint(err); hint != "" {
		fmt.Fprintln(stderr, hint)
		return status
	}
	if errors.As(err, &ingest.Problem{}) {
		fmt.Fprintln(stderr, "afterloop: hint: `afterloop inspect LOG` lists what a file holds and what is wrong with it")
	}
	return status
}
