package main

import (
	"encoding/json"

	"github.com/spf13/cobra"

	"afterloop/ingest"
)

func newInspect(s streams) *cobra.Command {
	var asJSON, strict bool
	o := &foreignInspection{}
	c := &cobra.Command{
		Use:   "inspect LOG",
		Short: "Say what a loop log holds and what is wrong with it",
		Long: `Reads a loop log and says what it holds: columns and what they were read as, metadata, time,
cells, valves; and what is wrong with it, line by line: what was read, what was done about it,
and what would be right. It judges no cell.

A file that is no loop log is read with a mapping file (--mapping). --draft-mapping writes such a
file to start from: TOML with the reason of each guess beside it; what the log does not settle
stands as a comment and is listed. --write-log writes a foreign log as a loop log.
` + exitHelp,
		Example: `  afterloop inspect dive.csv
  afterloop inspect dive.csv --json | jq .problems
  afterloop inspect --draft-mapping export.txt -o recorder.toml
  afterloop inspect --mapping recorder.toml export.txt --dive 2 --write-log dive2.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if o.asked() {
				return o.run(s, args[0], asJSON, strict)
			}
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
	o.addFlags(c.Flags())
	return c
}

func logSchema(s streams, log string) ([]byte, error) {
	d, err := readLog(s, log, false)
	if err != nil {
		return nil, err
	}
	return json.MarshalIndent(ingest.Schema(d), "", "  ")
}
