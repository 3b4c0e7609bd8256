package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis"
	"afterloop/analysis/wording"
	"afterloop/ingest"
	"afterloop/report"
)

// debriefOptions are the flags of the debrief command.
type debriefOptions struct {
	html, json, series string
	failOn             string
	quiet, strict      bool
	anonymous          bool
	models             string
	halves             []string
	params             analysis.Parameters
	foreign            foreignOptions
}

func newDebrief(s streams) *cobra.Command {
	o := &debriefOptions{params: analysis.DefaultParameters()}
	c := &cobra.Command{
		Use:     "debrief LOG...",
		GroupID: "",
		Short:   "Read loop logs and write what they tell: report, JSON, series, summary",
		Long: `Reads one or more loop logs and writes an HTML report (-o), the debrief as JSON (--json),
the columns over time as CSV (--series) and a summary for the terminal.

LOG is a CSV file, gzip or not, "-" for standard input, or a folder of *.csv and *.csv.gz files.
With several logs the outputs are folders; -o then also gets an index page over all of them
(index.html and index.csv). One log that can't be read never stops the others.

A file that is no loop log is read with a mapping file (--mapping) that says what its columns,
units and words are; inspect --draft-mapping drafts one. Such a file may hold several dives: each
gets outputs of its own, as several logs do, or --dive picks one.

Where the two halves of doubled electronics each kept a log of the same dive, give them with
--half twice, in place of LOG; first the half that was in control, where that is known. Their
clocks are aligned by depth, and their parts renumbered, those of the first half first. --mapping
and --dive then hold for both logs, or are given twice, in the order of --half.

VOTING POLICIES that are replayed side by side
` + policyHelp() + `
NEWER MODELS OF OXYGEN TOXICITY that --models shows, each with its published range
` + modelHelp() + exitHelp,
		Example: `  afterloop debrief dive.csv -o report.html
  afterloop debrief dive.csv --json - | jq .exposure.headline
  afterloop debrief dive.csv --cells 1,2 --series series.csv
  afterloop debrief --half first.csv --half second.csv -o report.html
  afterloop debrief monday/ tuesday/ -o reports/
  afterloop debrief --mapping recorder.toml export.txt --dive 3 -o report.html
  gunzip -c dive.csv.gz | afterloop debrief - -o report.html --fail-on warning`,
		Args: o.checkArgs,
		RunE: func(c *cobra.Command, args []string) error { return runDebrief(s, o, args) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"csv", "gz"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	o.addFlags(c.Flags())
	_ = c.RegisterFlagCompletionFunc("models", cobra.FixedCompletions(append([]string{"all"}, analysis.ModelNames()...), cobra.ShellCompDirectiveNoFileComp))
	completeFailOn(c)
	return c
}

func (o *debriefOptions) addFlags(f *pflag.FlagSet) {
	f.StringVarP(&o.html, "output", "o", "", `HTML report: a file, "-", or a folder for several logs`)
	f.StringVar(&o.json, "json", "", `debrief as JSON: a file, "-", or a folder for several logs`)
	f.StringVar(&o.series, "series", "", `columns over time as CSV: a file, "-", or a folder for several logs`)
	quietFlag(f, &o.quiet)
	strictFlag(f, &o.strict)
	f.BoolVar(&o.anonymous, "anonymous", false, "leave out names: dive, diver, unit, serials, notes, file (the digest stays)")
	o.foreign.addHalfFlags(f)
	f.StringArrayVar(&o.halves, "half", nil, "log of one half of doubled electronics; give it twice, in place of LOG")
	failOnFlag(f, &o.failOn)
	p := &o.params
	f.IntSliceVar(&p.Cells, "cells", nil, "replay the vote over these cells only, as in 1,2")
	voteFlags(f, &p.Vote, "replayed vote")
	f.Float64Var(&p.Vote.ReminderAfterS, "vote-reminder", p.Vote.ReminderAfterS, "seconds out before a reminder")
	f.Float64Var(&p.Gas.VapourBar, "vapour", p.Gas.VapourBar, "water vapour pressure in the loop, bar, at most")
	f.Float64Var(&p.Supply.BatteryMinV, "battery-min", p.Supply.BatteryMinV, "voltage below which a battery counts as low, V; the limit of the equipment's own manual (0: none)")
	f.BoolVar(&p.SkipDiagnosis, "no-diagnosis", false, "leave out the diagnosis of cells and valves and the estimate of PO2")
	f.StringVar(&o.models, "models", "", "newer models of oxygen toxicity to show: all, or names as in esot,cns-index (listed above)")
	f.BoolVar(&p.Exposure.StrictATA, "strict-ata", false, "read the CNS table strictly in ata instead of bar")
}

func policyHelp() string {
	var b strings.Builder
	for _, p := range policies() {
		fmt.Fprintf(&b, "  %-14s %s\n", p.Name, p.Rule)
	}
	return b.String()
}

func modelHelp() string {
	var b strings.Builder
	for _, m := range analysis.ModelDefinitions() {
		fmt.Fprintf(&b, "  %-16s %s\n", m.ID, m.Name)
	}
	return b.String()
}

// check says what is wrong with the flags, before anything is read.
func (o *debriefOptions) check() error {
	if err := firstOf(apart(true, target{"--output", o.html}, target{"--json", o.json}, target{"--series", o.series}), checkFailOn(o.failOn)); err != nil {
		return err
	}
	for _, n := range o.params.Cells {
		if n < 1 {
			return fmt.Errorf("--cells %d: cells are numbered from 1", n)
		}
	}
	if v := o.params.Vote; !(v.OutBar > 0) || !(v.InBar > 0) || v.InBar > v.OutBar || v.Relative < 0 || v.OutAfterS < 0 || v.InAfterS < 0 || v.ReminderAfterS < 0 {
		return errors.New("the vote's tolerances must be above 0, with --vote-in at most --vote-out, and its times not negative")
	}
	var err error
	if o.params.Models, err = analysis.ChooseModels(o.models); err != nil {
		return fmt.Errorf("--models: %w", err)
	}
	if v := o.params.Supply.BatteryMinV; !(v >= 0 && v < 1000) {
		return errors.New("--battery-min: give a voltage, not negative")
	}
	if v := o.params.Gas.VapourBar; !(v >= 0 && v < 0.2) {
		return errors.New("--vapour: give a pressure from 0 to 0.2 bar")
	}
	return nil
}

func runDebrief(s streams, o *debriefOptions, args []string) error {
	if err := o.check(); err != nil {
		return err
	}
	if len(o.halves) > 0 {
		return debriefHalves(s, o)
	}
	if err := errors.Join(o.foreign.settle(), o.foreign.load()); err != nil {
		return err
	}
	logs, err := o.foreign.expand(args)
	if err != nil {
		return err
	}
	if err := o.foreign.keepInput(&s, logs); err != nil {
		return err
	}
	if logs, err = o.foreign.findDives(s, o, logs); err != nil {
		return err
	}
	if len(logs) != 1 || len(args) != 1 || logs[0] != args[0] {
		return debriefMany(s, o, logs)
	}
	d, err := o.one(s, logs, 0, o.html, o.json, o.series)
	if err != nil {
		return err
	}
	return o.verdict([]*analysis.Debrief{d})
}

// one debriefs one log into its outputs, or leaves nothing behind.
// logs are all inputs of the call, none of which may be overwritten.
func (o *debriefOptions) one(s streams, logs []string, which int, html, json, series string) (*analysis.Debrief, error) {
	log := logs[which]
	dive, err := o.foreign.read(s, log, which, o.strict)
	if err != nil {
		return nil, err
	}
	if err := o.haveCells(dive); err != nil {
		return nil, err
	}
	if !o.quiet {
		warn(s.err, dive.Problems)
	}
	return o.write(s, logs, analysis.Analyze(dive, o.params), html, json, series)
}

// write puts a debrief into its outputs, or leaves nothing behind.
func (o *debriefOptions) write(s streams, logs []string, d *analysis.Debrief, html, json, series string) (*analysis.Debrief, error) {
	d.Tool.Version = buildVersion()
	out := &outputs{stdout: s.out, inputs: o.foreign.inputs(logs)}
	defer out.discard()
	err := out.addAll(
		rendering{html, func(w io.Writer) error { return report.WriteHTML(w, d, o.report()) }},
		rendering{json, func(w io.Writer) error { return report.WriteJSON(w, d, o.report()) }},
		rendering{series, func(w io.Writer) error { return report.WriteSeries(w, d) }},
	)
	if err != nil {
		return nil, err
	}
	if err := out.commit(); err != nil {
		return nil, err
	}
	if !o.quiet && len(out.toStd) == 0 {
		return d, report.WriteText(s.out, d, report.TextOptions{Color: s.colour(), Width: s.width(), Anonymous: o.anonymous})
	}
	return d, nil
}

// report are the options of the outputs.
func (o *debriefOptions) report() report.Options { return report.Options{Anonymous: o.anonymous} }

// haveCells makes sure that --cells names cells of the log.
func (o *debriefOptions) haveCells(d *ingest.Dive) error {
	for _, n := range o.params.Cells {
		found := false
		var there []string
		for k := range d.Cells {
			found = found || d.Cells[k].Number == n
			there = append(there, fmt.Sprint(d.Cells[k].Number))
		}
		if !found {
			return fmt.Errorf("--cells: %s has no cell %d, only %s", d.Source.File, n, wording.And(there))
		}
	}
	return nil
}

// verdict is exit status 1 where --fail-on is met.
func (o *debriefOptions) verdict(ds []*analysis.Debrief) error {
	for _, d := range ds {
		if err := failsOn(o.failOn, d.Findings); err != nil {
			return err
		}
	}
	return nil
}
