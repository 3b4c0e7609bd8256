package main

import (
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"afterloop/report"
)

func newManual(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "manual FOLDER",
		Short:   "Write the man pages of all commands into a folder",
		Long:    "Writes one man page per command (section 1) into an existing folder.\n" + exitHelp,
		Example: "  mkdir -p man1 && afterloop manual man1 && man ./man1/afterloop-debrief.1",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if st, err := os.Stat(args[0]); err != nil || !st.IsDir() {
				return fmt.Errorf("%s is no folder; make it first", args[0])
			}
			// A fixed date, so that the same build writes the same pages.
			date := time.Date(2026, time.November, 1, 0, 0, 0, 0, time.UTC)
			return doc.GenManTree(c.Root(), &doc.GenManHeader{Title: "AFTERLOOP", Section: "1", Source: "afterloop", Manual: "afterloop", Date: &date}, args[0])
		},
	}
}

// debriefSchema is the JSON Schema of the debrief.
func debriefSchema() ([]byte, error) { return report.Schema() }
