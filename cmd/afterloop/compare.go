package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/report"
	pages "afterloop/report/compare"
)

// compareOptions are the flags of the compare command.
type compareOptions struct {
	html, json, csv  string
	align, reference string
	quiet, strict    bool
	foreign          foreignOptions
}

func newCompare(s streams) *cobra.Command {
	o := &compareOptions{}
	c := &cobra.Command{
		Use:   "compare LOG...",
		Short: "Set 2 to 50 dives beside one another, or two debriefs of one log",
		Long: `Sets dives beside one another: findings that are new, gone or changed against a reference (the
first, or --reference), figures with their spread, courses laid over one another. A figure that
differing configurations make meaningless is refused in its row, with the reason.

LOG is a loop log, a folder of them, or the JSON of a debrief (--json of debrief), which holds no
rows to draw. Two debriefs of one log by two versions of the program are compared as such: findings,
checks, parameters and figures that differ.
` + foreignHelp + `
--align lays the courses over one another: by start (leaving the surface, else the first row), by
depth, or by event=NAME, NAME being one of
  ` + strings.Join(compare.Moments(), ", ") + "\n" + exitHelp,
		Example: `  afterloop compare before.csv after.csv -o page.html
  afterloop compare unit-a.csv unit-b.csv unit-c.csv --align event=first-diluent-flush -o page.html
  afterloop compare season/ --reference season/first.csv --align depth -o page.html --csv figures.csv
  afterloop compare old.json new.json`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return runCompare(s, o, args) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"csv", "gz", "json"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	f := c.Flags()
	f.StringVarP(&o.html, "output", "o", "", `HTML page: a file, or "-"`)
	f.StringVar(&o.json, "json", "", `comparison as JSON: a file, or "-"`)
	f.StringVar(&o.csv, "csv", "", `figures as a table: a file, or "-"`)
	f.StringVar(&o.align, "align", "start", "start, depth, or event=NAME")
	f.StringVar(&o.reference, "reference", "", "the log that the others are set against; by default the first")
	o.foreign.addFlags(f)
	quietFlag(f, &o.quiet)
	strictFlag(f, &o.strict)
	_ = c.RegisterFlagCompletionFunc("align", cobra.FixedCompletions(alignWords(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

func alignWords() []string {
	out := []string{"start", "depth"}
	for _, m := range compare.Moments() {
		out = append(out, "event="+m)
	}
	return out
}

func runCompare(s streams, o *compareOptions, args []string) error {
	by, moment, err := compare.ParseAlign(o.align)
	if err != nil {
		return err
	}
	if err := apart(false, target{"--output", o.html}, target{"--json", o.json}, target{"--csv", o.csv}); err != nil {
		return err
	}
	logs, err := o.foreign.gather(&s, args)
	if err != nil {
		return err
	}
	if len(logs) < compare.MinDives || len(logs) > compare.MaxDives { // before an hour of reading
		return fmt.Errorf("a comparison takes %d to %d dives, not %d", compare.MinDives, compare.MaxDives, len(logs))
	}
	reference, err := referenceAmong(o.foreign.names(logs), o.reference)
	if err != nil {
		return err
	}
	subjects, err := readSubjects(s, o, logs)
	if err != nil {
		return err
	}
	c, err := compare.Compare(subjects, compare.Options{By: by, Moment: moment, Reference: reference, Version: buildVersion()})
	if err != nil {
		return err
	}
	return writeAll(s, o.foreign.inputs(logs), o.quiet, func(w io.Writer) error { return pages.WriteText(w, c, s.text()) },
		rendering{o.html, func(w io.Writer) error { return pages.Write(w, c) }},
		rendering{o.json, func(w io.Writer) error { return report.EncodeJSON(w, c) }},
		rendering{o.csv, func(w io.Writer) error { return pages.WriteCSV(w, c) }})
}

// referenceAmong finds the reference by its name as given, or by its base where that is one log's alone.
func referenceAmong(logs []string, name string) (int, error) {
	if name == "" {
		return 0, nil
	}
	switch found := logsNamed(logs, name); len(found) {
	case 0:
		return 0, fmt.Errorf("--reference %s is none of the logs", name)
	case 1:
		return found[0], nil
	}
	return 0, fmt.Errorf("--reference %s: two logs are called that; give the path", name)
}

// readSubjects debriefs one log after the other and keeps what is compared.
func readSubjects(s streams, o *compareOptions, logs []string) ([]*compare.Subject, error) {
	bar := progress(s.err, len(logs), o.quiet)
	defer func() { _ = bar.Finish() }()
	var out []*compare.Subject
	for i := range logs {
		x, err := readSubject(s, o, logs, i)
		if err != nil {
			return nil, err
		}
		out = append(out, x)
		_ = bar.Add(1)
	}
	return out, nil
}

// readSubject reads a log, or a debrief's JSON.
func readSubject(s streams, o *compareOptions, logs []string, i int) (*compare.Subject, error) {
	log, keep := logs[i], len(logs) == 2
	if isJSON(log) {
		return readDebriefJSON(log, keep)
	}
	dive, err := o.foreign.read(s, log, i, o.strict)
	if err != nil {
		return nil, err
	}
	if !o.quiet && len(logs) <= 6 {
		warn(s.err, dive.Problems)
	}
	d := analysis.Analyze(dive, analysis.DefaultParameters())
	d.Tool.Version = buildVersion()
	return compare.Take(d, compare.Source{File: o.foreign.shown(log, i), Keep: keep}), nil
}

func readDebriefJSON(file string, keep bool) (*compare.Subject, error) {
	f, err := openFile(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	d, leaves, err := compare.ReadDebrief(f)
	if err != nil {
		var p *os.PathError
		if errors.As(err, &p) {
			return nil, fmt.Errorf("%s can't be read: %w", file, p.Err)
		}
		return nil, fmt.Errorf("%s can't be used: %w", file, err)
	}
	return compare.Take(d, compare.Source{File: file, FromJSON: true, Leaves: leaves, Keep: keep}), nil
}
