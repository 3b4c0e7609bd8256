package main

import (
	"errors"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/analysis/halves"
	"afterloop/ingest"
)

// checkPairs asks for two logs a dive.
func checkPairs(halves []string) error {
	if len(halves)%2 == 1 {
		return errors.New("--half: give the logs of two halves for each dive, one after the other")
	}
	if i := slices.Index(halves, "-"); i >= 0 && slices.Contains(halves[i+1:], "-") {
		return errors.New("--half: only one log can come from standard input")
	}
	return nil
}

// joinedHalves are the dives of --half, each of two logs. A pair that can't be joined
// ends everything: whether its time counts once or twice would not be known.
func (o *daysOptions) joinedHalves(s streams, p analysis.Parameters) ([]days.Log, error) {
	var out []days.Log
	for i := 0; i+1 < len(o.halves); i += 2 {
		one := foreignOptions{files: []string{o.foreign.file}, dives: []string{o.foreign.dive}}
		dives, err := one.readHalves(s, o.halves[i:i+2], o.strict)
		if err != nil {
			return nil, err
		}
		for _, d := range dives {
			if !o.quiet {
				warn(s.err, d.Problems)
			}
		}
		j, err := analysis.JoinHalves(dives[0], dives[1], p)
		if err != nil {
			return nil, err
		}
		d := analysis.AnalyzeDoubled(j, p)
		d.Series = nil // as of a single log
		out = append(out, days.Log{Debrief: d, Profile: profileOf(j.Dive)})
	}
	return out, nil
}

// profileOf is a dive's depth, by which two records of one dive are told.
func profileOf(d *ingest.Dive) halves.Series {
	return halves.Series{TimeS: d.TimeS, DepthM: d.DepthM, GapAfter: d.GapAfter()}
}
