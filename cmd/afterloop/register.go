package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"afterloop/analysis/ageing"
	"afterloop/ingest/register"
	"afterloop/report"
	pages "afterloop/report/bench"
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

func newRegisterImport(s streams, o *registerOptions) *cobra.Command {
	var opt register.ImportOptions
	c := &cobra.Command{
		Use: "import FILE...", Short: "Take in what debriefs and bench tests measured",
		Long: `Takes in what debriefs and tests of cells measured, from the JSON that their --json writes ("-" is
standard input). The same log counts once, by its hash, whatever file its debrief is in. Each file is
taken in whole or not at all; one that can't be read never stops the others. A line is printed once a
file is in.
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
	if len(i.Skipped) > 0 {
		text += "; left out: " + strings.Join(i.Skipped, "; ")
	}
	return text
}

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

func newRegisterExport(o *registerOptions) *cobra.Command {
	var folder string
	j := &judgeFlags{}
	c := &cobra.Command{
		Use: "export", Short: "Write pages, tables and JSON of the whole register into a folder",
		Long: `Writes into an existing folder: index.html (all cells at a glance), a page for each cell, cells.csv,
fittings.csv, measurements.csv and register.json.
` + registerHelp + exitHelp,
		Example: "  mkdir -p cells && afterloop register export -o cells",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if st, err := os.Stat(folder); err != nil || !st.IsDir() {
				return fmt.Errorf("--output %q is no folder; make it first", folder)
			}
			return o.with(false, func(r *register.Register) error { return exportAll(r, j, folder) })
		},
	}
	c.Flags().StringVarP(&folder, "output", "o", "", "folder")
	j.add(c)
	return c
}

func exportAll(r *register.Register, j *judgeFlags, folder string) error {
	a, content, err := j.judge(r)
	if err != nil {
		return err
	}
	names := pageNames(a)
	out := &outputs{inputs: []string{r.Path()}}
	defer out.discard()
	add := func(name string, render func(io.Writer) error) {
		err = errors.Join(err, out.add(filepath.Join(folder, name), render))
	}
	add("index.html", func(w io.Writer) error {
		return pages.WriteRegister(w, a, func(serial string) string { return names[serial] })
	})
	for i := range a.Cells {
		c := &a.Cells[i]
		add(names[c.Serial], func(w io.Writer) error { return pages.WriteRegisterCell(w, a, c, "index.html") })
	}
	add("cells.csv", func(w io.Writer) error { return pages.WriteCellTable(w, content) })
	add("fittings.csv", func(w io.Writer) error { return pages.WriteFittingTable(w, content) })
	add("measurements.csv", func(w io.Writer) error { return pages.WriteMeasurementTable(w, content) })
	add("register.json", func(w io.Writer) error { return report.EncodeJSON(w, a) })
	if err != nil {
		return err
	}
	return out.commit()
}

// pageNames gives each cell a file name of its own, whatever its serial number holds.
func pageNames(a *ageing.Report) map[string]string {
	names, taken := map[string]string{}, map[string]bool{}
	for _, c := range a.Cells {
		base := "cell-" + strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
				return r
			}
			return '_'
		}, c.Serial)
		name := base
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-%d", base, n)
		}
		taken[strings.ToLower(name)] = true
		names[c.Serial] = name + ".html"
	}
	return names
}

func newRegisterBackup(o *registerOptions) *cobra.Command {
	return &cobra.Command{
		Use: "backup FILE", Short: "Write a whole copy of the register to a new file",
		Long:    "Writes a whole, verified copy of the register to a new file while others may go on using it. An existing file is never overwritten.\n" + registerHelp + exitHelp,
		Example: "  afterloop register backup cells-2026-03.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return o.with(false, func(r *register.Register) error { return r.Backup(args[0]) })
		},
	}
}

func newRegisterRestore(o *registerOptions) *cobra.Command {
	var replace bool
	c := &cobra.Command{
		Use: "restore FILE", Short: "Take the register back from a copy",
		Long:    "Verifies a copy and puts its content into the register, in one step: killed in between, the old content stays. A register that holds cells is replaced only with --replace.\n" + registerHelp + exitHelp,
		Example: "  afterloop register restore cells-2026-03.db --replace",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := register.Verify(args[0]); err != nil { // before a register is made for it
				return unreadable(args[0], err)
			}
			return o.with(true, func(r *register.Register) error { return r.Restore(args[0], replace) })
		},
	}
	c.Flags().BoolVar(&replace, "replace", false, "replace a register that holds cells")
	return c
}
