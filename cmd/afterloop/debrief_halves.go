package main

import (
	"github.com/spf13/cobra"

	"afterloop/analysis"
)

// checkArgs asks for logs, or for the two of --half and no others.
func (o *debriefOptions) checkArgs(c *cobra.Command, args []string) error {
	if len(o.halves) == 0 {
		return cobra.MinimumNArgs(1)(c, args)
	}
	return checkHalves(o.halves, args)
}

// debriefHalves debriefs one dive that two halves recorded.
func debriefHalves(s streams, o *debriefOptions) error {
	dives, err := o.foreign.readHalves(s, o.halves, o.strict)
	if err != nil {
		return err
	}
	for _, d := range dives {
		if !o.quiet {
			warn(s.err, d.Problems)
		}
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
