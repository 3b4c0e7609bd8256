package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"afterloop/analysis"
	"afterloop/ingest"
)

// checkArgs asks for logs, or for the two of --half and no others.
func (o *debriefOptions) checkArgs(c *cobra.Command, args []string) error {
	switch n := len(o.halves); {
	case n == 0:
		return cobra.MinimumNArgs(1)(c, args)
	case n != 2:
		return fmt.Errorf("--half: give the logs of two halves, not %d", n)
	case len(args) > 0:
		return errors.New("--half takes the place of LOG: give one or the other")
	case o.halves[0] == "-" && o.halves[1] == "-":
		return errors.New("--half: only one log can come from standard input")
	}
	return nil
}

// debriefHalves debriefs one dive that two halves recorded.
func debriefHalves(s streams, o *debriefOptions) error {
	var dives [2]*ingest.Dive
	for k, log := range o.halves {
		d, err := readLog(s, log, o.strict)
		if err != nil {
			return err
		}
		if !o.quiet {
			warn(s.err, d.Problems)
		}
		dives[k] = d
	}
	joined, err := analysis.JoinHalves(dives[0], dives[1], o.params)
	if err != nil {
		return err
	}
	if err := o.haveCells(joined.Dive); err != nil {
		return err
	}
	d, err := o.write(s, o.halves, analysis.AnalyzeDoubled(joined, o.params), o.html, o.json, o.series)
	if err != nil {
		return err
	}
	return o.verdict([]*analysis.Debrief{d})
}
