package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"afterloop/ingest/register"
)

const registerHelp = `
The register is one file: --register FILE, else cells.db in the platform's data folder
(on Linux $XDG_DATA_HOME/afterloop or ~/.local/share/afterloop).
`

// registerOptions are the flags that all commands of the register have.
type registerOptions struct{ path string }

func newRegister(s streams) *cobra.Command {
	o := &registerOptions{}
	c := &cobra.Command{
		Use:   "register",
		Short: "Keep oxygen cells by serial number, and what was measured of them",
		Long: `Keeps oxygen cells by their serial numbers over the months: where each was fitted, when it was
retired, what each debrief and bench test measured of it, how that moves, and when it will pass a
limit. It clears no cell for use.
` + registerHelp + exitHelp,
		Example: `  afterloop register add K-2291 --made 2025-11-02
  afterloop register fit K-2291 --unit "Reiher 2" --position 1 --date 2026-01-10
  afterloop debrief dive.csv --json dive.json && afterloop register import dive.json
  afterloop register list -o cells.html`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.PersistentFlags().StringVar(&o.path, "register", "", "the register's file (default: cells.db in the platform's data folder)")
	c.AddCommand(newRegisterAdd(o), newRegisterFit(o), newRegisterRetire(o), newRegisterImport(s, o), newRegisterList(s, o), newRegisterShow(s, o),
		newRegisterExport(o), newRegisterBackup(o), newRegisterRestore(o))
	return c
}

// open opens the register; create makes it where it is absent.
func (o *registerOptions) open(create bool) (*register.Register, error) {
	path := o.path
	if path == "" {
		folder, err := dataFolder()
		if err != nil {
			return nil, err
		}
		path = filepath.Join(folder, "afterloop", "cells.db")
	}
	r, err := register.Open(path, create)
	if errors.Is(err, register.ErrNone) {
		return nil, fmt.Errorf("%w; `afterloop register add` or `import --add-cells` makes one", err)
	}
	return r, err
}

// with runs f on the open register and closes it.
func (o *registerOptions) with(create bool, f func(*register.Register) error) error {
	r, err := o.open(create)
	if err != nil {
		return err
	}
	return errors.Join(f(r), r.Close())
}

// dataFolder is where the platform keeps the data of programs.
func dataFolder() (string, error) {
	if d := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(d) {
		return d, nil
	}
	if d := os.Getenv("LocalAppData"); runtime.GOOS == "windows" && d != "" {
		return d, nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("the platform's data folder is not known; give --register: %w", err)
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support"), nil
	}
	return filepath.Join(home, ".local", "share"), nil
}

func newRegisterAdd(o *registerOptions) *cobra.Command {
	var made, note string
	c := &cobra.Command{
		Use: "add SERIAL", Short: "Add a cell",
		Long:    "Adds a cell by its serial number; upper and lower case are alike. The first one makes the register.\n" + registerHelp + exitHelp,
		Example: "  afterloop register add K-2291 --made 2025-11-02 --note \"bought with K-2292\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return o.with(true, func(r *register.Register) error { return r.Add(args[0], made, note) })
		},
	}
	c.Flags().StringVar(&made, "made", "", "day on which it was made, YYYY-MM-DD")
	c.Flags().StringVar(&note, "note", "", "free text")
	return c
}

// dayFlag is a day, the present one by default: the one place where the clock is read.
func dayFlag(c *cobra.Command, name, use string) *string {
	return c.Flags().String(name, "", use+", YYYY-MM-DD (default: today)")
}

func dayOrToday(s string) string {
	if s == "" {
		return time.Now().Format("2006-01-02")
	}
	return s
}

func newRegisterFit(o *registerOptions) *cobra.Command {
	var unit string
	var position int
	c := &cobra.Command{
		Use: "fit SERIAL", Short: "Note that a cell was fitted to a unit",
		Long: `Notes that a cell was fitted to a position of a unit on a day. The cell that was there, and the
place where this cell was, end on that day. A dive's cell without a serial number is then known by
unit, position and day.
` + registerHelp + exitHelp,
		Example: `  afterloop register fit K-2291 --unit "Reiher 2" --position 1 --date 2026-01-10`,
		Args:    cobra.ExactArgs(1),
	}
	c.Flags().StringVar(&unit, "unit", "", "the unit, as its logs name it")
	c.Flags().IntVar(&position, "position", 0, "the cell's number in the unit, from 1")
	day := dayFlag(c, "date", "day of fitting")
	c.RunE = func(_ *cobra.Command, args []string) error {
		return o.with(false, func(r *register.Register) error { return r.Fit(args[0], unit, position, dayOrToday(*day)) })
	}
	return c
}

func newRegisterRetire(o *registerOptions) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use: "retire SERIAL", Short: "Take a cell out of use",
		Long:    "Notes that a cell was taken out of use on a day. Its history stays.\n" + registerHelp + exitHelp,
		Example: `  afterloop register retire K-1874 --date 2026-06-01 --reason "limited at 1.4 bar"`,
		Args:    cobra.ExactArgs(1),
	}
	c.Flags().StringVar(&reason, "reason", "", "why")
	day := dayFlag(c, "date", "day of retirement")
	c.RunE = func(_ *cobra.Command, args []string) error {
		return o.with(false, func(r *register.Register) error { return r.Retire(args[0], dayOrToday(*day), reason) })
	}
	return c
}
