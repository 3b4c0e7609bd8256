package main

import (
	"fmt"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/ingest"
)

// again reads the dive, from one log or from the two of --half, and runs it again.
func (o *whatifOptions) again(s streams, logs []string, ch whatif.Changes) (*ingest.Dive, *whatif.Report, error) {
	p, w := analysis.DefaultParameters(), whatif.DefaultParams()
	if len(o.halves) > 0 {
		dives, err := o.foreign.readHalves(s, o.halves, o.strict)
		if err != nil {
			return nil, nil, err
		}
		j, err := analysis.JoinHalves(dives[0], dives[1], p)
		if err != nil {
			return nil, nil, err
		}
		r, err := whatif.RunDoubled(j, p, w, ch)
		return j.Dive, r, err
	}
	if err := o.foreign.settle(); err != nil {
		return nil, nil, err
	}
	d, err := o.foreign.single(s, logs[0], o.strict)
	if err != nil {
		return nil, nil, err
	}
	r, err := whatif.Run(d, p, w, ch)
	if err != nil {
		err = fmt.Errorf("%s: %w", logs[0], err)
	}
	return d, r, err
}
