package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/ingest/register"
	"afterloop/report"
)

func newRegisterImport(s streams, o *registerOptions) *cobra.Command {
	var opt register.ImportOptions
	c := &cobra.Command{
		Use: "import FILE...", Short: "Take in what debriefs and bench tests measured",
		Long: `Takes in what debriefs and tests of cells measured, from the JSON that their --json writes ("-" is
standard input). The same log counts once, by its hash, whatever file its debrief is in. Each file is
taken in whole or not at all; one that can't be read never stops the others. A line is printed once a
file is in. Where a log states since when a cell with a serial number is installed, and the register
has no fitting of that cell, that is taken over; what the register has is never changed.
` + registerHelp + exitHelp,
		Example: `  afterloop register import debriefs/*.json
  afterloop register import pot.json --date 2026-03-14 --add-cells`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return o.with(opt.AddCells, func(r *register.Register) error { return importAll(s, r, args, opt) })
		},
	}
	c.Flags().BoolVar(&opt.AddCells, "add-cells", false, "add cells that the register does not know")
	c.Flags().BoolVar(&opt.Replace, "replace", false, "read a source again that is there already")
	c.Flags().StringVar(&opt.Date, "date", "", "day of a file that states none, YYYY-MM-DD")
	return c
}

func importAll(s streams, r *register.Register, files []string, opt register.ImportOptions) error {
	failed := 0
	var first error
	for _, f := range files {
		res, err := importOne(s, r, f, opt)
		if err != nil {
			err = fmt.Errorf("%s: %w", f, err)
			if failed++; failed == 1 {
				first = err
			}
			if len(files) > 1 {
				fmt.Fprintf(s.err, "afterloop: error: %s\n", report.Clean(err.Error()))
			}
			continue
		}
		if _, err := fmt.Fprintln(s.out, report.Clean(f+": "+importedText(res))); err != nil {
			return err
		}
	}
	switch {
	case failed == 0:
		return nil
	case len(files) == 1:
		return first
	case failed == len(files):
		return statusError{status: exitUsage}
	}
	return statusError{status: exitPartial}
}

func importOne(s streams, r *register.Register, file string, opt register.ImportOptions) (register.Imported, error) {
	in := s.in
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return register.Imported{}, fmt.Errorf("can't be read: %w", cause(err))
		}
		defer f.Close()
		in = f
	}
	d, err := register.ReadDocument(in)
	if err != nil {
		return register.Imported{}, err
	}
	return r.Import(d, opt)
}

func importedText(i register.Imported) string {
	if i.Known {
		return "known already, nothing changed"
	}
	text := fmt.Sprintf("imported, %d measurements of %d cells", i.Measurements, i.Cells)
	if i.Replaced {
		text = "read again, " + text
	}
	if len(i.Added) > 0 {
		text += "; added " + strings.Join(i.Added, ", ")
	}
	if len(i.Fitted) > 0 {
		text += "; fitted, as the log says: " + strings.Join(i.Fitted, ", ")
	}
	if len(i.NotFitted) > 0 {
		text += "; not fitted: " + strings.Join(i.NotFitted, "; ")
	}
	if len(i.Skipped) > 0 {
		text += "; left out: " + strings.Join(i.Skipped, "; ")
	}
	return text
}
