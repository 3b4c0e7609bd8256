package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"afterloop/ingest"
	pages "afterloop/report/whatif"
)

func newInspect(s streams) *cobra.Command {
	var asJSON, strict bool
	c := &cobra.Command{
		Use:   "inspect LOG",
		Short: "Say what a loop log holds and what is wrong with it",
		Long: `Reads a loop log and says what it holds: columns and what they were read as, metadata, time,
cells, valves; and what is wrong with it, line by line: what was read, what was done about it,
and what would be right. It judges no cell.
` + exitHelp,
		Example: `  afterloop inspect dive.csv
  afterloop inspect dive.csv --json | jq .problems`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := readLog(s, args[0], strict)
			if err != nil {
				return err
			}
			i := ingest.Inspect(d)
			if !asJSON {
				return i.WriteText(s.out)
			}
			e := json.NewEncoder(s.out)
			e.SetIndent("", "  ")
			return e.Encode(i)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "write JSON instead of text")
	c.Flags().BoolVar(&strict, "strict", false, "make every repaired or left-out value an error")
	return c
}

func newSchema(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:       "schema log LOG | schema debrief | schema whatif",
		Short:     "Print the schema of a loop log's columns, or of the debrief's JSON",
		ValidArgs: []string{"log", "debrief", "whatif"},
		Long: `schema log LOG prints a Frictionless Table Schema for the header of that log (a log may have
any number of cells, so the schema is made for the one given).
schema debrief prints the JSON Schema that every --json output of debrief holds to, schema whatif
that of whatif.
` + exitHelp,
		Example: `  afterloop schema log dive.csv > dive.schema.json
  afterloop schema debrief > debrief.schema.json`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(_ *cobra.Command, args []string) error { return runSchema(s, args) },
	}
	return c
}

func runSchema(s streams, args []string) error {
	var b []byte
	var err error
	switch {
	case args[0] == "debrief" && len(args) == 1:
		b, err = debriefSchema()
	case args[0] == "whatif" && len(args) == 1:
		b, err = pages.Schema()
	case args[0] == "log" && len(args) == 2:
		b, err = logSchema(s, args[1])
	default:
		return errors.New("give `schema log LOG`, `schema debrief` or `schema whatif`")
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s\n", b)
	return err
}

func logSchema(s streams, log string) ([]byte, error) {
	d, err := readLog(s, log, false)
	if err != nil {
		return nil, err
	}
	return json.MarshalIndent(ingest.Schema(d), "", "  ")
}
