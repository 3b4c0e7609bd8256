package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis/vote"
	"afterloop/analysis/whatif"
	"afterloop/report"
	pages "afterloop/report/whatif"
)

// whatifOptions are the flags of the whatif command, the changes still as written.
type whatifOptions struct {
	html, json, series string
	quiet, strict      bool
	halves             []string
	foreign            foreignOptions

	kind, policy, controller       string
	vote                           vote.Params
	cells                          []int
	loseCells, loseHalves          []string
	deadValves, setPoints          []string
	noOxygen, noAdditions          string
	intervalS, pulseS, deadbandBar float64
}

func newWhatIf(s streams) *cobra.Command {
	o := &whatifOptions{vote: vote.DefaultParams()}
	c := &cobra.Command{
		Use:   "whatif LOG",
		Short: "Run a recorded dive again under another vote, set point, controller, or with a part lost",
		Long: `Runs a recorded dive again, in two ways that are never mixed:

  replay       the recorded readings as they are, under another vote: what the vote would have been.
               It changes nothing in the loop.
  simulation   a model of the loop, fitted to this dive, with a simulated unit: what the loop would
               have done. It is first held against the dive; where it does not reproduce it, that is
               said, or nothing is shown. Figures are ranges. All of it is marked
               "` + whatif.Mark + `".

It looks back at one recorded dive. It plans no dive and is no advice to dive, set or fit anything in
another way.

@T is the moment from which a change holds: h:mm:ss since the first row, or seconds on the log's own
axis; without it, the first row.

VOTING POLICIES
` + stepperHelp() + `
CONTROLLERS
` + controllerHelp() + exitHelp,
		Example: `  afterloop whatif dive.csv --policy mid-value -o page.html
  afterloop whatif dive.csv --lose-cell 2@0:31:00 --kind open --json - | jq .open_loop_replay
  afterloop whatif dive.csv --dead-valve 1@0:20:00 --no-oxygen=0:40:00 -o page.html
  afterloop whatif dive.csv --set-point 1.2@0:10:00 --set-point 0.7@0:50:00 --series series.csv`,
		Args: func(c *cobra.Command, args []string) error {
			if len(o.halves) > 0 {
				return checkHalves(o.halves, args)
			}
			return oneLog(c, args)
		},
	}
	o.addFlags(c.Flags())
	c.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		if strings.Contains(err.Error(), "--no-oxygen@") || strings.Contains(err.Error(), "--no-additions@") {
			return fmt.Errorf("%w; %s", err, momentHint)
		}
		return flagError(c, err)
	})
	c.RunE = func(c *cobra.Command, args []string) error { return o.run(s, c.Flags(), args) }
	_ = c.RegisterFlagCompletionFunc("kind", cobra.FixedCompletions([]string{whatif.Open, whatif.Closed, whatif.Both}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// momentHint says how the flags that may stand alone take their moment.
const momentHint = "--no-oxygen and --no-additions take their moment after an equals sign, as in --no-oxygen=0:40:00"

// oneLog wants one log, and knows why there may seem to be two.
func oneLog(_ *cobra.Command, args []string) error {
	if len(args) == 1 {
		return nil
	}
	for _, a := range args {
		if _, err := whatif.ParseMoment(strings.TrimPrefix(a, "@")); err == nil {
			return fmt.Errorf("read %q as a log; %s", a, momentHint)
		}
	}
	return fmt.Errorf("give one log; read %d", len(args))
}

func stepperHelp() string {
	var b strings.Builder
	for _, p := range vote.Policies() {
		fmt.Fprintf(&b, "  %-14s %s\n", p.Name, p.Rule)
	}
	return b.String()
}

func controllerHelp() string {
	var b strings.Builder
	for _, k := range whatif.Controllers() {
		fmt.Fprintf(&b, "  %-19s %s\n", k[0], k[1])
	}
	return b.String()
}

func (o *whatifOptions) addFlags(f *pflag.FlagSet) {
	f.StringVarP(&o.html, "output", "o", "", `HTML page: a file, or "-"`)
	f.StringVar(&o.json, "json", "", `result as JSON: a file, or "-"`)
	f.StringVar(&o.series, "series", "", `columns over time as CSV: a file, or "-"`)
	quietFlag(f, &o.quiet)
	strictFlag(f, &o.strict)
	f.StringArrayVar(&o.halves, "half", nil, "log of one half of doubled electronics; give it twice, in place of LOG")
	o.foreign.addHalfFlags(f)
	f.StringVar(&o.kind, "kind", whatif.Both, "open (replay), closed (simulation) or both")

	f.StringVar(&o.policy, "policy", "", "vote by this policy")
	voteFlags(f, &o.vote, "vote")
	f.IntSliceVar(&o.cells, "cells", nil, "vote over these cells only, as in 1,2")
	f.StringArrayVar(&o.loseCells, "lose-cell", nil, "cell `N[@T]` gives no reading")
	f.StringArrayVar(&o.loseHalves, "lose-half", nil, "half `X[@T]` of doubled electronics is lost, as the log's half_X names it")

	f.StringArrayVar(&o.deadValves, "dead-valve", nil, "valve `N[@T]` is commanded and delivers nothing (simulation)")
	f.StringVar(&o.noOxygen, "no-oxygen", "", "no valve delivers, from `T` on (simulation)")
	f.StringArrayVar(&o.setPoints, "set-point", nil, "set point `BAR[@T]` (simulation); may be given several times")
	f.StringVar(&o.controller, "controller", "", "`KIND` of controller (simulation); else as inferred from the record")
	f.Float64Var(&o.intervalS, "interval", 0, "time between two decisions of the controller, s (simulation)")
	f.Float64Var(&o.pulseS, "pulse", 0, "length of a fixed pulse, s (simulation)")
	f.Float64Var(&o.deadbandBar, "deadband", 0, "dead band of the controller, bar (simulation)")
	f.StringVar(&o.noAdditions, "no-additions", "", "the diver's flushes, additions and bailout are left out, from `T` on (simulation)")
	f.Lookup("no-oxygen").NoOptDefVal = "start"
	f.Lookup("no-additions").NoOptDefVal = "start"
}

func (o *whatifOptions) run(s streams, f *pflag.FlagSet, logs []string) error {
	ch, err := o.changes(f)
	if err == nil {
		err = firstOf(apart(false, target{"--output", o.html}, target{"--json", o.json}, target{"--series", o.series}), ch.Check())
	}
	if err != nil {
		return err
	}
	d, r, err := o.again(s, logs, ch)
	if err != nil {
		return err
	}
	r.Tool.Version = buildVersion()
	if !o.quiet {
		warn(s.err, d.Problems)
	}
	return writeAll(s, o.foreign.inputs(append(o.halves, logs...)), o.quiet, func(w io.Writer) error { return pages.WriteText(w, r, s.text()) },
		rendering{o.html, func(w io.Writer) error { return pages.WritePage(w, r) }},
		rendering{o.json, func(w io.Writer) error { return report.EncodeJSON(w, r) }},
		rendering{o.series, func(w io.Writer) error { return pages.WriteSeries(w, r) }})
}
