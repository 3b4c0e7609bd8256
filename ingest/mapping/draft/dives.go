package draft

import (
	"fmt"
	"strings"
)

// division is how a file's dives are told apart.
type division struct {
	split, column, why string
	open               string
}

// findDives looks for what tells several dives apart.
func (t *table) findDives(tm timing) division {
	d := t.division(tm)
	if len(t.lines) == maxLines {
		d.why += fmt.Sprintf(" (in the first %d lines)", maxLines)
	}
	return d
}

func (t *table) division(tm timing) division {
	if d := t.byColumn(tm); d.split != "" || d.open != "" {
		return d
	}
	restarts := t.restarts(tm)
	if len(t.headers) > 1 {
		if t.textBetween() || len(restarts) > 0 {
			return division{split: "header", why: fmt.Sprintf("the header stands %d times, with other lines above it or with the time starting again", len(t.headers))}
		}
		return division{split: "none", why: fmt.Sprintf("the header stands %d times while the time goes on: one dive, page by page", len(t.headers))}
	}
	if len(restarts) == 0 {
		return division{split: "none", why: "the time rises throughout and the header stands once"}
	}
	blank := 0
	for _, k := range restarts {
		if strings.TrimSpace(t.lines[t.rowAt[k]-1]) == "" {
			blank++
		}
	}
	if blank == len(restarts) {
		return division{split: "blank-line", why: fmt.Sprintf("the time starts again %d times, each below a blank line", len(restarts))}
	}
	return division{split: "time-restarts", why: fmt.Sprintf("the time starts again %d times", len(restarts))}
}

// byColumn looks for a column that holds one value for many rows, then another.
func (t *table) byColumn(tm timing) division {
	for i := range t.columns {
		c := &t.columns[i]
		if i == tm.at || i == tm.dateAt || !isNamed(c.name, "dive", "log", "no", "nr", "number", "id", "session") || isNamed(c.name, "time", "mode", "phase", "status", "gas") || c.many || len(c.values) == 0 {
			continue
		}
		runs, last := 0, ""
		for _, v := range c.values {
			if v != last {
				runs, last = runs+1, v
			}
		}
		switch {
		case runs == len(c.distinct) && runs > 1:
			return division{split: "column", column: c.name, why: fmt.Sprintf("it has %d values, each in rows one after the other", runs)}
		case runs == 1 && isNamed(c.name, "dive"):
			return division{column: c.name, open: fmt.Sprintf("%q has one value in this file: does it tell several dives apart in others? Then split = \"column\"", c.name)}
		}
	}
	return division{}
}

// textBetween tells whether something other than a row stands above a header
// that comes again.
func (t *table) textBetween() bool {
	isRow := map[int]bool{}
	for _, at := range t.rowAt {
		isRow[at] = true
	}
	for _, h := range t.headers[1:] {
		for at := h - 1; at > 0 && !isRow[at]; at-- {
			if strings.TrimSpace(t.lines[at]) != "" {
				return true
			}
		}
	}
	return false
}

// restarts lists the rows at which the time starts again.
func (t *table) restarts(tm timing) []int {
	if tm.at < 0 {
		return nil
	}
	clock := t.clock(tm)
	if clock == nil {
		return nil
	}
	var at []int
	last, known := 0.0, false
	for k, row := range t.rows {
		date := ""
		if tm.dateAt >= 0 {
			date = row[tm.dateAt]
		}
		m, ok := clock.Parse([]byte(date), []byte(row[tm.at]))
		if !ok {
			continue
		}
		s := m.S + float64(m.Day)*86400
		if step := s - last; known && step < -60 && (step > -43200 || clock.Dated() || clock.Plain()) {
			at = append(at, k)
		}
		last, known = s, true
	}
	return at
}
