package main

import (
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// version is set by the linker for a release: -ldflags "-X main.version=1.2.3".
var version string

// streams are the three standard streams.
type streams struct {
	in       io.Reader
	out, err io.Writer
	// kept is all of in, once it has been read to be read again; nil before.
	kept []byte
}

// colour tells whether text on w may be coloured: on a terminal, and not where
// NO_COLOR is set (no-color.org).
func (s streams) colour() bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && isTerminal(s.out)
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// width is the terminal's width in cells, or 100 where there is no terminal.
func (s streams) width() int {
	if f, ok := s.out.(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w >= 40 {
			return min(w, 120)
		}
	}
	return 100
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "afterloop",
		Short: "Debrief what a closed-circuit rebreather recorded",
		Long: `afterloop reads what a closed-circuit rebreather recorded during a dive and answers,
afterwards, what matters before the next one: which oxygen cells told the truth, what the
sensor vote did with them, how tightly the loop held its set point, whether oxygen
injection is healthy, how much oxygen the diver took, and what to do about it.

It is an instrument for learning from records. It plans no dives and controls no equipment.
It clears no equipment for use and no person to dive.`,
		Example: `  afterloop debrief dive.csv -o report.html
  afterloop inspect dive.csv`,
		Version:           buildVersion(),
		SilenceUsage:      true,
		SilenceErrors:     true,
		DisableAutoGenTag: true,
		Args:              cobra.NoArgs,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.CompletionOptions.HiddenDefaultCmd = false
	root.AddCommand(newDebrief(s), newInspect(s), newSchema(s), newExplain(s), newScenario(s), newManual(s), newBench(s), newRegister(s), newDays(s), newCompare(s), newCourse(s), newLesson(s), newWhatIf(s))
	root.SetFlagErrorFunc(flagError)
	tellUse(root)
	return root
}

// buildVersion is the linked version, else the module's, else "devel".
func buildVersion() string {
	if version != "" {
		return version
	}
	if bi, ok := debug.ReadBuildInfo(); ok && bi.Main.Version != "" && bi.Main.Version != "(devel)" {
		return bi.Main.Version
	}
	return "devel"
}
