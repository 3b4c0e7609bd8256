package lesson

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/wording"
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
	if d := s.Debrief.Series; len(d.Valves) > 0 && d.UnitPO2Bar != nil {
		out = append(out, s.valves())
	}
	return out
}

// knownGas lists the flushes of the log and what each cell read.
func (s Student) knownGas() table {
	t := table{Title: "Moments at which the gas was known", Head: []string{"what", "when", "a complete flush gives, bar"},
		Lead: "Computed from the oxygen fraction and the pressure; the range is dry gas to gas saturated at 37 °C. How complete a flush was is not in the log."}
	for _, c := range s.Debrief.Series.Cells {
		t.Head = append(t.Head, fmt.Sprintf("cell %d, bar", c.Number))
	}
	for _, g := range s.Debrief.KnownGas {
		if !g.Assessed || g.Kind != "diluent_flush" && g.Kind != "oxygen_flush" {
			continue
		}
		row := []string{strings.ReplaceAll(g.Kind, "_", " "), wording.Clock(float64(g.AtS - s.Debrief.Dive.FirstS)), paper.Value(g.ExpectedLow, 2) + " to " + paper.Value(g.ExpectedHigh, 2)}
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
				parts = append(parts, fmt.Sprintf("cell %d %s", c.Number, wording.Clock(n)))
			}
		}
		t.Rows = append(t.Rows, []string{v.Policy, paper.OrElse(strings.Join(parts, "; "), "none"), paper.Value(v.MeanAbsDifferenceFromUnitBar, 2)})
	}
	return t
}

// afterS is how long after an opening the change of PO2 is read: long enough for
// a working valve's oxygen to reach the cells, short enough to be before the next.
const afterS = 8

// valves shows what was commanded and how PO2 went on after it, early and late.
func (s Student) valves() table {
	t := table{Title: "Openings of the oxygen valves", Head: []string{"valve", "part of the record", "openings", "seconds open", fmt.Sprintf("mean change of PO2 in the %d s after one, bar", afterS)},
		Lead: "As commanded, in quarters of the record. The change is that of the unit's PO2, whatever else moved it: depth, use, the other valve."}
	d := s.Debrief.Series
	n := len(d.TimeS)
	for _, v := range d.Valves {
		for part := range 4 {
			from, to := part*n/4, (part+1)*n/4
			if from == to {
				continue
			}
			count, open, change := opened(d, v.OpenS, from, to)
			t.Rows = append(t.Rows, []string{fmt.Sprint(v.Number), wording.Clock(d.TimeS[from]-d.TimeS[0]) + " to " + wording.Clock(d.TimeS[to-1]-d.TimeS[0]),
				fmt.Sprint(count), paper.Value(analysis.Float(open), 0), paper.Value(analysis.Float(change), 3)})
		}
	}
	return t
}

// opened counts the openings of a valve over some rows, their seconds, and the
// mean change of PO2 after one; an opening over several rows is one.
func opened(d *analysis.Series, openS []float64, from, to int) (count int, seconds, change float64) {
	sum, read := 0.0, 0.0
	for i := from; i < to; i++ {
		if !(openS[i] > 0) {
			continue
		}
		seconds += openS[i]
		if i > 0 && openS[i-1] > 0 {
			continue
		}
		count++
		if c := changeAfter(d, i); !math.IsNaN(c) {
			sum, read = sum+c, read+1
		}
	}
	return count, seconds, sum / read // no opening: NaN, "not known"
}

// changeAfter is how far the unit's PO2 goes from the row before i to afterS later.
func changeAfter(d *analysis.Series, i int) float64 {
	for j := i; i > 0 && j < len(d.TimeS) && d.TimeS[j] <= d.TimeS[i]+afterS+2; j++ {
		if d.TimeS[j] >= d.TimeS[i]+afterS {
			return d.UnitPO2Bar[j] - d.UnitPO2Bar[i-1]
		}
	}
	return paper.NaN
}
