package report

import (
	"math"

	"afterloop/analysis"
)

// dataTableRows is about how many rows the table below a drawing has.
const dataTableRows = 40

// dataTable is a drawing's figures as text.
type dataTable struct {
	Head []string
	Rows [][]string
	// Step is how many rows of the log lie between two rows of the table.
	Step int
}

// tableRows picks about dataTableRows rows at equal steps, and the last one.
func tableRows(n int) (rows []int, step int) {
	step = max(1, (n+dataTableRows-1)/dataTableRows)
	for i := 0; i < n; i += step {
		rows = append(rows, i)
	}
	if n > 0 && rows[len(rows)-1] != n-1 {
		rows = append(rows, n-1)
	}
	return rows, step
}

func (g *drawing) table(panels []panel) dataTable {
	t := dataTable{Head: []string{say("table.since-first-row"), "time_s"}}
	var cols []line
	for _, p := range panels {
		for _, ln := range p.lines {
			if ln.values == nil {
				continue
			}
			cols = append(cols, ln)
			t.Head = append(t.Head, ln.heading())
		}
	}
	rows, step := tableRows(len(g.s.TimeS))
	t.Step = step
	prev := -1
	for _, i := range rows {
		at := analysis.Float(g.s.TimeS[i])
		cells := []string{g.clock.since(at), seconds(at)}
		for _, c := range cols {
			cells = append(cells, fixed(analysis.Float(c.tableValue(prev, i)), c.decimals))
		}
		t.Rows = append(t.Rows, cells)
		prev = i
	}
	return t
}

func (ln line) heading() string {
	h := ln.name
	if ln.unit != "" {
		h += ", " + ln.unit
	}
	if ln.summed {
		h += say("table.since-the-row-above")
	}
	return h
}

// tableValue is the value at row i, or for commanded seconds the sum of the
// rows after prev.
func (ln line) tableValue(prev, i int) float64 {
	if !ln.summed {
		return ln.values[i]
	}
	sum := math.NaN()
	for k := prev + 1; k <= i; k++ {
		if v := ln.values[k]; !math.IsNaN(v) {
			if math.IsNaN(sum) {
				sum = 0
			}
			sum += v
		}
	}
	return sum
}
