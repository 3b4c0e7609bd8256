package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
	"afterloop/analysis/calibration/score"
)

// scoreOptions are the flags of the score command.
type scoreOptions struct {
	families                      []string
	count                         int
	seed                          uint64
	output, json, markdown, table string
	set                           string
	verbose                       bool
}

func newScenarioScore(s streams) *cobra.Command {
	o := &scoreOptions{}
	c := &cobra.Command{
		Use:   "score",
		Short: "Measure the diagnosis on simulated dives whose truth is known",
		Long: `Simulates dives, debriefs each as a log of its own and compares with the truth: faults found and
named, false alarms, what the grades of confidence are worth, the error of the estimate and how
often its band holds the truth, simple rules on the same dives.

A family of scenarios may carry its own number of dives, as in plain:300, and may be one scenario,
as in difficult/slow-late. Seeds count on from --seed through the families in the order given. The
same families, counts and seed give the same figures.

All figures are calibrated on simulation only. Nobody should look at the dives of a sealed set while
the diagnosis is still being changed: develop on others.
` + exitHelp,
		Example: `  afterloop scenario score --count 20 --seed 500001
  afterloop scenario score --families difficult/slow-late --count 40 --seed 500001 --verbose
  afterloop scenario score --families plain:300,difficult:360 --json score.json --markdown score.md`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return runScore(s, o) },
	}
	o.addFlags(c.Flags())
	_ = c.RegisterFlagCompletionFunc("families", cobra.FixedCompletions(score.Families(), cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("set", cobra.FixedCompletions([]string{calibration.Development, calibration.Sealed}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func (o *scoreOptions) addFlags(f *pflag.FlagSet) {
	f.StringSliceVar(&o.families, "families", score.Families(), "families of dives, each with its number of dives if wanted: NAME or NAME:COUNT")
	f.IntVar(&o.count, "count", 100, "dives of each family that names no number")
	f.Uint64Var(&o.seed, "seed", 1, "seed of the first dive")
	f.StringVarP(&o.output, "output", "o", "", `tables as text: a file or "-"; standard output if nothing else goes there`)
	f.StringVar(&o.json, "json", "", `everything as JSON, dive by dive: a file or "-"`)
	f.StringVar(&o.markdown, "markdown", "", `tables as Markdown: a file or "-"`)
	f.StringVar(&o.table, "table", "", `the headline as JSON, in the form that reports print: a file or "-"`)
	f.StringVar(&o.set, "set", calibration.Development, "what the dives are, for --table: development or sealed")
	f.BoolVarP(&o.verbose, "verbose", "v", false, "add a line for every dive to the text: what was expected, what was found")
}

func runScore(s streams, o *scoreOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	groups, err := scoreGroups(o.families, o.count)
	if err != nil {
		return err
	}
	options := score.Options{Groups: groups, Seed: o.seed, Parameters: analysis.DefaultParameters(),
		Tool: analysis.Tool{Name: "afterloop", Version: buildVersion()}}
	bar := progress(s.err, options.Total(), false)
	options.Progress = func() { _ = bar.Add(1) }
	r, err := score.Run(options)
	if err != nil {
		return err
	}
	_ = bar.Finish()
	if err := o.write(s, r); err != nil {
		return err
	}
	return failedDives(r)
}

// check says what is wrong with the flags, before minutes are spent.
func (o *scoreOptions) check() error {
	if err := apart(false, target{"--output", o.output}, target{"--json", o.json}, target{"--markdown", o.markdown}, target{"--table", o.table}); err != nil {
		return err
	}
	switch {
	case o.set != calibration.Development && o.set != calibration.Sealed:
		return fmt.Errorf("--set %s: give %s or %s", o.set, calibration.Development, calibration.Sealed)
	case o.output == "" && o.json != "-" && o.markdown != "-" && o.table != "-":
		o.output = "-"
	}
	return nil
}

// scoreGroups reads NAME or NAME:COUNT.
func scoreGroups(families []string, count int) ([]score.Group, error) {
	var out []score.Group
	for _, f := range families {
		name, text, has := strings.Cut(f, ":")
		n := count
		if has {
			v, err := strconv.Atoi(text)
			if err != nil {
				return nil, fmt.Errorf("--families %s: %q is no number of dives", f, text)
			}
			n = v
		}
		out = append(out, score.Group{Family: name, Dives: n})
	}
	return out, nil
}

func (o *scoreOptions) write(s streams, r score.Result) error {
	out := &outputs{stdout: s.out}
	defer out.discard()
	err := errors.Join(
		out.add(o.output, func(w io.Writer) error { return r.WriteText(w, o.verbose) }),
		out.add(o.json, r.WriteJSON),
		out.add(o.markdown, r.WriteMarkdown),
		out.add(o.table, func(w io.Writer) error { return r.WriteTable(w, o.set) }),
	)
	if err != nil {
		return err
	}
	return out.commit()
}

// failedDives is exit status 3 where some dives could not be debriefed, 2 where none could.
func failedDives(r score.Result) error {
	failed, first := 0, ""
	for _, l := range r.Logs {
		if l.Failed != "" {
			if failed++; first == "" {
				first = fmt.Sprintf("%s %d: %s", l.Family, l.Seed, l.Failed)
			}
		}
	}
	switch failed {
	case 0:
		return nil
	case len(r.Logs):
		return fmt.Errorf("all %d dives failed, the first: %s", failed, first)
	}
	return statusError{exitPartial, fmt.Errorf("%d of %d dives failed, the first: %s", failed, len(r.Logs), first)}
}
