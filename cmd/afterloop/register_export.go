package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis/ageing"
	"afterloop/ingest/register"
	"afterloop/report"
	pages "afterloop/report/bench"
)

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
