package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis"
	"afterloop/analysis/bench"
	"afterloop/analysis/linearity"
	"afterloop/analysis/tightness"
	"afterloop/ingest"
	"afterloop/ingest/benchlog"
	"afterloop/report"
	pages "afterloop/report/bench"
)

func newBench(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "bench",
		Short: "Judge tests on the bench: cells in a pressure pot, tightness of a loop",
		Long: `Reads what was recorded at a test on the bench and says what it shows, with intervals, and what
it can't show. It clears no equipment for use.

` + bench.OxygenCaution + "\n" + exitHelp,
		Example: `  afterloop bench cells pot.csv -o cells.html
  afterloop bench tightness positive.csv -o positive.html`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newBenchCells(s), newBenchTightness(s))
	return c
}

// benchOutputs are the flags that both tests have.
type benchOutputs struct {
	html, json, failOn string
	quiet, strict      bool
}

// addPageFlags are those of every command that writes a page.
func (o *benchOutputs) addPageFlags(f *pflag.FlagSet) {
	f.StringVarP(&o.html, "output", "o", "", `HTML page: a file, or "-"`)
	f.StringVar(&o.json, "json", "", `result as JSON: a file, or "-"`)
	quietFlag(f, &o.quiet)
}

func (o *benchOutputs) addFlags(f *pflag.FlagSet) {
	o.addPageFlags(f)
	strictFlag(f, &o.strict)
	failOnFlag(f, &o.failOn)
}

func (o *benchOutputs) check() error {
	return firstOf(apart(false, target{"--output", o.html}, target{"--json", o.json}), checkFailOn(o.failOn))
}

// printers write one result in its three forms.
type printers struct {
	html, json, text func(io.Writer) error
	problems         []ingest.Problem
	findings         []analysis.Finding
}

// write prints a result to all outputs, or leaves nothing behind.
func (o *benchOutputs) write(s streams, input string, p printers) error {
	if !o.quiet {
		warn(s.err, p.problems)
	}
	if err := writeAll(s, []string{input}, o.quiet, p.text, rendering{o.html, p.html}, rendering{o.json, p.json}); err != nil {
		return err
	}
	return failsOn(o.failOn, p.findings)
}

func newBenchCells(s streams) *cobra.Command {
	o, p := &benchOutputs{}, linearity.DefaultParams()
	c := &cobra.Command{
		Use:   "cells FILE",
		Short: "Cell linearity test in a pressure pot",
		Long: `Reads a test of oxygen cells in a pressure pot (bench-cells, see README): pressure, millivolts or
PO2 per cell, temperature and humidity where known. Finds the levels, computes the oxygen in the pot
from the purges and the recorded pressure (one bar of air pressed to 3.5 bar with oxygen is 77 %,
not 100), fits each cell's line and says how far the cell was shown to follow, its offset, slope,
ceiling, hysteresis and T90, each with its interval, against limits that you can set.

` + bench.OxygenCaution + "\n" + exitHelp,
		Example: `  afterloop bench cells pot.csv -o cells.html --json cells.json
  afterloop bench cells pot.csv --goal 2 --t90 10 --fail-on warning`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := errors.Join(o.check(), checkCellParams(p)); err != nil {
				return err
			}
			t, err := benchlog.ReadCells(args[0], benchlog.Options{Strict: o.strict, Stdin: s.in})
			if err != nil {
				return unreadable(args[0], err)
			}
			r := bench.Cells(t, p)
			r.Tool.Version = buildVersion()
			return o.write(s, args[0], printers{
				func(w io.Writer) error { return pages.WriteCells(w, r) },
				func(w io.Writer) error { return report.EncodeJSON(w, r) },
				func(w io.Writer) error { return pages.WriteCellsText(w, r, s.text()) }, r.Problems, r.Findings})
		},
	}
	f := c.Flags()
	o.addFlags(f)
	f.Float64Var(&p.GoalBar, "goal", p.GoalBar, "PO2 up to which a cell should be shown to follow, bar")
	f.Float64Var(&p.DepartureFraction, "departure", p.DepartureFraction, "limit of the departure from the line, as a share of the PO2")
	f.Float64Var(&p.DepartureBar, "departure-bar", p.DepartureBar, "added to it, bar")
	f.Float64Var(&p.OffsetBar, "offset", p.OffsetBar, "limit of the offset, bar")
	f.Float64Var(&p.HysteresisBar, "hysteresis", p.HysteresisBar, "limit of down against up, bar")
	f.Float64Var(&p.T90S, "t90", p.T90S, "limit of T90, s")
	f.Float64Var(&p.PlateauS, "level-time", p.PlateauS, "how long the pressure must stand to be a level, s")
	f.Float64Var(&p.PressureSDBar, "pressure-sd", p.PressureSDBar, "standard uncertainty of the pressure, bar")
	f.Float64Var(&p.FractionSD, "fraction-sd", p.FractionSD, "standard uncertainty of the pot's oxygen fraction")
	return c
}

func checkCellParams(p linearity.Params) error {
	for name, v := range map[string]float64{"goal": p.GoalBar, "offset": p.OffsetBar, "hysteresis": p.HysteresisBar, "t90": p.T90S, "level-time": p.PlateauS, "pressure-sd": p.PressureSDBar} {
		if !(v > 0 && v < 1e6) {
			return fmt.Errorf("--%s must be above 0", name)
		}
	}
	if !(p.DepartureFraction >= 0 && p.DepartureFraction < 1 && p.DepartureBar >= 0 && p.DepartureBar < 10 && p.DepartureFraction+p.DepartureBar > 0) {
		return errors.New("--departure is a share from 0 to 1, --departure-bar is not negative, and one of them is above 0")
	}
	if !(p.FractionSD >= 0 && p.FractionSD < 0.5) {
		return errors.New("--fraction-sd is a share from 0 to 0.5")
	}
	return nil
}

func newBenchTightness(s streams) *cobra.Command {
	o, p := &benchOutputs{}, tightness.DefaultParams()
	c := &cobra.Command{
		Use:   "tightness FILE",
		Short: "Loop tightness test, positive or negative",
		Long: `Reads the pressure of a closed loop over time (bench-tightness, see README), with its temperature
where known. Tells settling, a relief valve and disturbances from a leak, gives the rate in mbar/min
with its interval, corrected for temperature, the verdict against the limit, how sure it is, and after
how many seconds that was already certain. L/min are given only where the loop's compliance is stated
or was measured with a known volume. ASTM E2930 excludes deformable vessels; the report says so.
` + exitHelp,
		Example: `  afterloop bench tightness positive.csv -o positive.html
  afterloop bench tightness negative.csv --limit 1.5 --json - | jq .result`,
		Args: cobra.ExactArgs(1),
	}
	c.RunE = func(_ *cobra.Command, args []string) error {
		if err := o.check(); err != nil {
			return err
		}
		if !(p.LimitMbarMin > 0 && p.TestS > 0 && p.ResolutionMbar > 0 && p.UnknownTempKMin >= 0 && p.SettleS >= 0) {
			return errors.New("--limit, --seconds and --resolution must be above 0, --unknown-temp and --settle not negative")
		}
		t, err := benchlog.ReadTightness(args[0], benchlog.Options{Strict: o.strict, Stdin: s.in})
		if err != nil {
			return unreadable(args[0], err)
		}
		r := bench.Tightness(t, p, c.Flags().Changed("limit"))
		r.Tool.Version = buildVersion()
		return o.write(s, args[0], printers{
			func(w io.Writer) error { return pages.WriteTightness(w, r) },
			func(w io.Writer) error { return report.EncodeJSON(w, r) },
			func(w io.Writer) error { return pages.WriteTightnessText(w, r, s.text()) }, r.Problems, r.Findings})
	}
	f := c.Flags()
	o.addFlags(f)
	f.Float64Var(&p.LimitMbarMin, "limit", p.LimitMbarMin, "limit, mbar/min; beats the one in the file")
	f.Float64Var(&p.TestS, "seconds", p.TestS, "how long a test should last, s")
	f.Float64Var(&p.ResolutionMbar, "resolution", p.ResolutionMbar, "how well the pressure is known at best, mbar")
	f.Float64Var(&p.SettleS, "settle", p.SettleS, "how long settling may last, s")
	f.Float64Var(&p.UnknownTempKMin, "unknown-temp", p.UnknownTempKMin, "drift of temperature that can't be excluded where none is recorded, K/min")
	return c
}

// text is how text is set for this terminal.
func (s streams) text() report.TextOptions {
	return report.TextOptions{Color: s.colour(), Width: s.width()}
}

// unreadable names the file where the system said no. A problem of a sheet is
// said as it is, without the hint to inspect, which reads loop logs.
func unreadable(path string, err error) error {
	var problem ingest.Problem
	if errors.As(err, &problem) {
		return errors.New(problem.String())
	}
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s can't be read: %w", path, p.Err)
	}
	return err
}
