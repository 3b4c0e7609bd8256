package report

import (
	"fmt"
	"math"
	"sort"

	"afterloop/analysis"
)

// A lane holds its policy's name, then one stroke's room for each cell that the
// policy ever had out, then one for undecided time. In pixels.
const (
	laneName   = 17
	laneStroke = 9
	laneFoot   = 5
)

// voteChart draws what every policy made of the readings, and below it, one
// lane per policy, when it had which cell out and when it could not decide.
func (g *drawing) voteChart() chart {
	p := g.po2Panel(230, g.unitLines()...)
	for k, v := range g.s.Votes {
		p.lines = append(p.lines, g.line(colPolicy(k), v.Policy, v.Policy, "bar", numbered(k), 3, v.PO2Bar))
	}
	p = g.capped(p)
	return g.build(chart{ID: "vote", Title: say("chart.vote"), Message: g.voteMessage(), Remarks: g.po2Remarks(p)}, p, g.lanes())
}

func (g *drawing) voteMessage() string {
	out, undecided := 0, 0
	for _, v := range g.d.Votes {
		if len(v.VotedOut) > 0 {
			out++
		}
		if len(v.Undecided) > 0 {
			undecided++
		}
	}
	return say("chart.of-replayed-side-by-side",
		plural(len(g.d.Votes), say("word.policy"), say("word.policies")), out, undecided)
}

// lane is one policy's stretches.
type lane struct {
	name      string
	outs      []analysis.VotedOut
	undecided []analysis.Span
}

// laneList is the unit's own record and every policy with something to show.
func (g *drawing) laneList() []lane {
	var lanes []lane
	if outs := g.unitOuts(); len(outs) > 0 {
		lanes = append(lanes, lane{name: say("chart.the-unit-s-own-record"), outs: outs})
	}
	for _, v := range g.d.Votes {
		if len(v.VotedOut)+len(v.Undecided) > 0 {
			lanes = append(lanes, lane{v.Policy, v.VotedOut, v.Undecided})
		}
	}
	return lanes
}

// lanes is the panel of stretches. Its vertical axis counts pixels from the top.
func (g *drawing) lanes() panel {
	p := panel{name: say("chart.cells-voted-out-and-undecided"), min: 0, inverse: true}
	byCell := make([][]point, len(g.s.Cells))
	var undecided []point
	y := 0.0
	for _, l := range g.laneList() {
		p.rows = append(p.rows, rowLabel{l.name, y + laneName/2.0})
		top := y
		y += laneName
		for k, c := range g.s.Cells {
			before := len(byCell[k])
			for _, o := range l.outs {
				if o.Cell == c.Number {
					byCell[k] = g.appendStretch(byCell[k], o.FromS, o.ToS, y)
				}
			}
			if len(byCell[k]) > before {
				y += laneStroke
			}
		}
		for _, u := range l.undecided {
			undecided = g.appendStretch(undecided, u.FromS, u.ToS, y)
		}
		if len(l.undecided) > 0 {
			y += laneStroke
		}
		y += laneFoot
		p.bands = append(p.bands, [2]float64{top, y})
	}
	p.lines = g.laneLines(byCell, undecided)
	p.max, p.height = y, int(y)
	return p
}

func (g *drawing) laneLines(byCell [][]point, undecided []point) []line {
	var lines []line
	for k, data := range byCell {
		if len(data) > 0 {
			n := g.s.Cells[k].Number
			lines = append(lines, line{name: say("chart.cell-out", n), short: fmt.Sprint(n), stroke: stroke{numbered(k).ink, "solid", 5}, decimals: 1, data: data, mute: true})
		}
	}
	if len(undecided) > 0 {
		lines = append(lines, line{name: say("chart.undecided"), short: "?", stroke: stroke{inkGrey, "2,2", 4}, decimals: 1, data: undecided, mute: true})
	}
	return lines
}

// appendStretch adds a level stroke from one moment to another, joined with the
// one before where they are too close together to be told apart on a page.
func (g *drawing) appendStretch(data []point, from, to analysis.Float, y float64) []point {
	if !from.Known() || !to.Known() {
		return data
	}
	n, t := len(data), g.s.TimeS
	hair := (t[len(t)-1] - t[0]) / 3000
	if n >= 3 && data[n-1].v != data[n-1].v && data[n-2].v == y && float64(from)-data[n-2].tS < hair {
		data[n-2].tS = math.Max(data[n-2].tS, float64(to))
		data[n-1].tS = data[n-2].tS
		return data
	}
	// A stretch of no length would leave no stroke: it gets the shortest visible one.
	end := math.Max(float64(to), float64(from)+hair)
	return append(data, point{float64(from), y}, point{end, y}, point{end, math.NaN()})
}

// unitOuts are the stretches that the unit itself recorded a cell as out.
func (g *drawing) unitOuts() []analysis.VotedOut {
	var outs []analysis.VotedOut
	for _, c := range g.s.Cells {
		start := -1
		for i, v := range c.Vote {
			if unitOut(v) && start < 0 {
				start = i
			}
			if start >= 0 && (!unitOut(v) || i == len(c.Vote)-1) {
				outs = append(outs, analysis.VotedOut{Cell: c.Number, FromS: analysis.Float(g.s.TimeS[start]), ToS: analysis.Float(g.s.TimeS[i])})
				start = -1
			}
		}
	}
	return outs
}

// rowAt is the row at or before moment t; -1 before the first.
func rowAt(tS []float64, t float64) int {
	if math.IsNaN(t) {
		return -1
	}
	return sort.Search(len(tS), func(i int) bool { return tS[i] > t }) - 1
}
