package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"afterloop/analysis/ageing"
	"afterloop/ingest/register"
	"afterloop/report"
	pages "afterloop/report/bench"
)

// judgeFlags are the flags of the commands that judge.
type judgeFlags struct {
	asOf string
	p    ageing.Params
}

func (j *judgeFlags) add(c *cobra.Command) {
	j.p = ageing.DefaultParams()
	f := c.Flags()
	f.StringVar(&j.asOf, "as-of", "", "day as of which ages count, YYYY-MM-DD (default: today)")
	f.Float64Var(&j.p.SensitivityFraction, "sensitivity", j.p.SensitivityFraction, "limit of mV per bar, as a share of its first measurements")
	f.Float64Var(&j.p.T90S, "t90", j.p.T90S, "limit of T90, s")
	f.Float64Var(&j.p.CeilingBar, "ceiling", j.p.CeilingBar, "ceiling that a cell should pass, bar")
	f.Float64Var(&j.p.MonthsInUse, "months", j.p.MonthsInUse, "age in use at which a cell is replaced")
	f.Float64Var(&j.p.MonthsMade, "months-made", j.p.MonthsMade, "age since it was made at which a cell is replaced")
}

// judge reads the register and judges it.
func (j *judgeFlags) judge(r *register.Register) (*ageing.Report, register.Content, error) {
	day, err := time.Parse("2006-01-02", dayOrToday(j.asOf))
	if err != nil {
		return nil, register.Content{}, fmt.Errorf("--as-of %s: write YYYY-MM-DD", j.asOf)
	}
	if p := j.p; !(p.SensitivityFraction > 0 && p.SensitivityFraction < 1 && p.T90S > 0 && p.CeilingBar > 0 && p.MonthsInUse > 0 && p.MonthsMade > 0) {
		return nil, register.Content{}, errors.New("limits must be above 0, and --sensitivity below 1")
	}
	c, err := r.Read()
	if err != nil {
		return nil, c, err
	}
	a := ageing.Judge(c, day, j.p)
	a.Tool.Version = buildVersion()
	return a, c, nil
}

func newRegisterList(s streams, o *registerOptions) *cobra.Command {
	out, j := &benchOutputs{}, &judgeFlags{}
	c := &cobra.Command{
		Use: "list", Short: "All cells at a glance",
		Long:    "Lists all cells with their ages, last figures, outcome and next limit.\n" + registerHelp + exitHelp,
		Example: "  afterloop register list\n  afterloop register list --as-of 2026-07-01 -o cells.html",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := out.check(); err != nil {
				return err
			}
			return o.with(false, func(r *register.Register) error {
				a, _, err := j.judge(r)
				if err != nil {
					return err
				}
				return out.write(s, r.Path(), printers{
					html: func(w io.Writer) error { return pages.WriteRegister(w, a, nil) },
					json: func(w io.Writer) error { return report.EncodeJSON(w, a) },
					text: func(w io.Writer) error { return pages.WriteRegisterText(w, a, s.text()) }})
			})
		},
	}
	out.addPageFlags(c.Flags())
	j.add(c)
	return c
}

func newRegisterShow(s streams, o *registerOptions) *cobra.Command {
	out, j := &benchOutputs{}, &judgeFlags{}
	c := &cobra.Command{
		Use: "show SERIAL", Short: "One cell: history, trends, breaks, the day it passes a limit",
		Long:    "Shows one cell: where it was fitted, what was measured, the trend of each quantity with its interval, breaks, and when it will pass a limit.\n" + registerHelp + exitHelp,
		Example: "  afterloop register show K-2291 -o K-2291.html",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := out.check(); err != nil {
				return err
			}
			return o.with(false, func(r *register.Register) error {
				a, _, err := j.judge(r)
				if err != nil {
					return err
				}
				cell := a.Find(args[0])
				if cell == nil {
					return fmt.Errorf("cell %s is not in the register", args[0])
				}
				return out.write(s, r.Path(), printers{
					html: func(w io.Writer) error { return pages.WriteRegisterCell(w, a, cell, "") },
					json: func(w io.Writer) error { return report.EncodeJSON(w, cell) },
					text: func(w io.Writer) error { return pages.WriteRegisterCellText(w, a, cell, s.text()) }})
			})
		},
	}
	out.addPageFlags(c.Flags())
	j.add(c)
	return c
}
