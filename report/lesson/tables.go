package lesson

import (
	"fmt"
	"strings"

	"afterloop/analysis"
	"afterloop/report/paper"
)

// table is a table of the second look.
type table struct {
	Title string     `json:"title"`
	Lead  string     `json:"lead"`
	Head  []string   `json:"head"`
	Rows  [][]string `json:"rows"`
}

// tables are those of the second look: arithmetic on the log, no verdict.
func (s Student) tables() []table {
	out := []table{s.knownGas(), s.votes()}
	if in := s.Debrief.Injection; in != nil && len(in.Valves) > 0 && !in.Inferred {
		out = append(out, valves(in.Valves))
	}
	return out
}

// knownGas lists the flushes of the log and what each cell read.
func (s Student) knownGas() table {
	t := table{Title: "Moments at which the gas was known", Head: []string{"what", "when", "complete gas would give, bar"},
		Lead: "Computed from the oxygen fraction and the pressure; the range is dry gas to gas saturated at 37 °C. How complete a flush was is not in the log."}
	for _, c := range s.Debrief.Series.Cells {
		t.Head = append(t.Head, fmt.Sprintf("cell %d, bar", c.Number))
	}
	for _, g := range s.Debrief.KnownGas {
		if !g.Assessed || g.Kind != "diluent_flush" && g.Kind != "oxygen_flush" {
			continue
		}
		row := []string{strings.ReplaceAll(g.Kind, "_", " "), clock(float64(g.AtS - s.Debrief.Dive.FirstS)), paper.Value(g.ExpectedLow, 2) + " to " + paper.Value(g.ExpectedHigh, 2)}
		for _, c := range s.Debrief.Series.Cells {
			read := analysis.Float(paper.NaN)
			for _, r := range g.Readings {
				if r.Cell == c.Number {
					read = r.ReadBar
				}
			}
			row = append(row, paper.Value(read, 2))
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		t.Lead, t.Head = "No gas was known at any moment of this record that could be read.", nil
	}
	return t
}

// votes shows what other rules would have made of the readings.
func (s Student) votes() table {
	t := table{Title: "The vote by other rules", Head: []string{"rule", "cells out, for how long", "its PO2 from the unit's, mean, bar"},
		Lead: "The same readings put to other rules. A rule counts cells; it knows no physics."}
	for _, v := range s.Debrief.Votes {
		seconds := map[int]float64{}
		for _, o := range v.VotedOut {
			seconds[o.Cell] += float64(o.ToS - o.FromS)
		}
		var parts []string
		for _, c := range s.Debrief.Series.Cells {
			if n := seconds[c.Number]; n > 0 {
				parts = append(parts, fmt.Sprintf("cell %d %s", c.Number, clock(n)))
			}
		}
		t.Rows = append(t.Rows, []string{v.Policy, paper.OrElse(strings.Join(parts, "; "), "none"), paper.Value(v.MeanAbsDifferenceFromUnitBar, 2)})
	}
	return t
}

func valves(vs []analysis.Valve) table {
	t := table{Title: "Openings of the oxygen valves", Head: []string{"valve", "openings commanded", "seconds open in all", "median rise after one, bar"},
		Lead: "As commanded, over the whole dive. The rise is the median over those after which it could be read; take early and late ones apart yourself."}
	for _, v := range vs {
		t.Rows = append(t.Rows, []string{fmt.Sprint(v.Valve), fmt.Sprint(v.Count), paper.Value(v.OpenS, 0), paper.Value(v.ResponseBar, 3)})
	}
	return t
}

// clock is h:mm:ss of seconds.
func clock(s float64) string {
	n := int(s + 0.5)
	return fmt.Sprintf("%d:%02d:%02d", n/3600, n/60%60, n%60)
}
