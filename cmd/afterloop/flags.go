package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/analysis/vote"
	"afterloop/analysis/wording"
)

// Flags that several commands have, each with one meaning.

func quietFlag(f *pflag.FlagSet, quiet *bool) {
	f.BoolVarP(quiet, "quiet", "q", false, "print no summary and no warnings")
}

func strictFlag(f *pflag.FlagSet, strict *bool) {
	f.BoolVar(strict, "strict", false, "make every repaired or left-out value an error")
}

func failOnFlag(f *pflag.FlagSet, failOn *string) {
	f.StringVar(failOn, "fail-on", "", "exit with 1 where a finding is at least this severe: note, caution or warning")
}

// completeFailOn offers the words of --fail-on to a shell.
func completeFailOn(c *cobra.Command) {
	_ = c.RegisterFlagCompletionFunc("fail-on", cobra.FixedCompletions([]string{"note", "caution", "warning"}, cobra.ShellCompDirectiveNoFileComp))
}

func checkFailOn(failOn string) error {
	if failOn != "" && compare.SeverityRank(analysis.Severity(failOn)) == 0 {
		return fmt.Errorf("--fail-on %s: give note, caution or warning", failOn)
	}
	return nil
}

// failsOn is exit status 1 where a finding is at least that severe.
func failsOn(failOn string, fs []analysis.Finding) error {
	limit := compare.SeverityRank(analysis.Severity(failOn))
	for i := range fs {
		if failOn != "" && compare.SeverityRank(fs[i].Severity) >= limit {
			return statusError{status: exitFinding}
		}
	}
	return nil
}

// voteFlags set the tolerances and times of a vote; what says which one.
func voteFlags(f *pflag.FlagSet, v *vote.Params, what string) {
	f.Float64Var(&v.OutBar, "vote-out", v.OutBar, "tolerance of the "+what+" in bar: a cell farther off goes out")
	f.Float64Var(&v.InBar, "vote-in", v.InBar, "a cell nearer than this comes back in, bar")
	f.Float64Var(&v.Relative, "vote-relative", v.Relative, "relative tolerance: the larger of this share of the others' mean and the tolerance counts")
	f.Float64Var(&v.OutAfterS, "vote-out-after", v.OutAfterS, "seconds over the tolerance before a cell goes out")
	f.Float64Var(&v.InAfterS, "vote-in-after", v.InAfterS, "seconds below the lower tolerance before a cell comes back")
}

// target is where an output goes, with the flag that says so.
type target struct{ flag, path string }

// apart refuses outputs that would be one file or share standard output. Folders
// may be one where the outputs may be folders: the files in them differ.
func apart(mayBeFolders bool, ts ...target) error {
	std := 0
	var flags []string
	for _, t := range ts {
		flags = append(flags, t.flag)
		if t.path == "-" {
			std++
		}
	}
	names := wording.And(flags)
	if std > 1 {
		return fmt.Errorf("only one of %s can go to standard output", names)
	}
	for i, a := range ts {
		for _, b := range ts[:i] {
			if sameFile(a.path, b.path) && !(mayBeFolders && isFolder(a.path)) {
				return fmt.Errorf("two of %s name the same file", names)
			}
		}
	}
	return nil
}

func sameFile(a, b string) bool {
	return a != "" && b != "" && a != "-" && filepath.Clean(a) == filepath.Clean(b)
}

// isFolder tells whether an output is a folder, or can be made one.
func isFolder(path string) bool {
	st, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return filepath.Ext(path) == ""
	}
	return err == nil && st.IsDir()
}

// firstOf is the first error of two, where more than one would say too much.
func firstOf(a, b error) error {
	if a != nil {
		return a
	}
	return b
}
