package score

import (
	"math"
	"slices"

	"afterloop/analysis"
)

// alarm names a cell for a while.
type alarm struct {
	cell       int
	fromS, toS float64
}

// simpleRule is a rule of one line that names cells. Those of the list are what a
// threshold without physics can do.
type simpleRule struct {
	name, text string
	trivial    bool // what it solves is trivial
	alarms     func(*analysis.Series) []alarm
}

const (
	simpleAfterS = 30 // how long a limit must be passed
	flatAfterS   = 60 // how long a reading must stand still
	simpleMergeS = 60 // alarms on one cell closer than this are one
)

// simpleRules are run on the same dives as the diagnosis.
func simpleRules() []simpleRule {
	return []simpleRule{
		{"never", "names nothing", false, func(*analysis.Series) []alarm { return nil }},
		{"always", "names every cell for the whole dive", false, always},
		{"median 0.20", "names the cell farthest from the median, if over 0.20 bar for 30 s", true, func(s *analysis.Series) []alarm { return fromMedian(s, 0.20) }},
		{"others 0.20", "names a cell over 0.20 bar from the mean of the others for 30 s", true, func(s *analysis.Series) []alarm { return fromOthers(s, 0.20) }},
		{"others 0.10", "names a cell over 0.10 bar from the mean of the others for 30 s", true, func(s *analysis.Series) []alarm { return fromOthers(s, 0.10) }},
		{"flat 60 s", "names a cell whose reading is the same for 60 s", true, flat},
	}
}

func always(s *analysis.Series) []alarm {
	var out []alarm
	for _, c := range s.Cells {
		out = append(out, alarm{c.Number, s.TimeS[0], s.TimeS[len(s.TimeS)-1]})
	}
	return out
}

func fromMedian(s *analysis.Series, limitBar float64) []alarm {
	far := make([]int, len(s.TimeS)) // index of the farthest cell where it is over the limit, else -1
	for i := range far {
		far[i] = farthest(readings(s, i), limitBar)
	}
	return whereCells(s, simpleAfterS, func(k, i int) bool { return far[i] == k })
}

// farthest is the place of the reading farthest from the median, if over the
// limit and if no other is as far; else -1.
func farthest(y []float64, limitBar float64) int {
	median := quantile(y, 0.5)
	best, at, tied := limitBar, -1, false
	for k, v := range y {
		switch d := math.Abs(v - median); {
		case at >= 0 && math.Abs(d-best) <= 1e-6:
			tied = true
		case d > best+1e-6:
			best, at, tied = d, k, false
		}
	}
	if tied {
		return -1
	}
	return at
}

func fromOthers(s *analysis.Series, limitBar float64) []alarm {
	return whereCells(s, simpleAfterS, func(k, i int) bool {
		sum, n := 0.0, 0.0
		for j, c := range s.Cells {
			if j != k {
				sum, n = sum+c.PO2Bar[i], n+1
			}
		}
		return math.Abs(s.Cells[k].PO2Bar[i]-sum/n) > limitBar+1e-6 // NaN compares false
	})
}

func flat(s *analysis.Series) []alarm {
	return whereCells(s, flatAfterS, func(k, i int) bool {
		y := s.Cells[k].PO2Bar
		return i > 0 && y[i] == y[i-1]
	})
}

func readings(s *analysis.Series, i int) []float64 {
	y := make([]float64, len(s.Cells))
	for k := range s.Cells {
		y[k] = s.Cells[k].PO2Bar[i]
	}
	return y
}

// whereCells turns a condition on cell and row into alarms: where it holds for
// long enough, without a gap, and alarms close to each other as one.
func whereCells(s *analysis.Series, afterS float64, hold func(k, i int) bool) []alarm {
	var out []alarm
	for k, c := range s.Cells {
		var last *alarm
		for i := 0; i < len(s.TimeS); i++ {
			if !hold(k, i) {
				continue
			}
			from := i
			for i+1 < len(s.TimeS) && !s.GapAfter[i] && hold(k, i+1) {
				i++
			}
			switch a := (alarm{c.Number, s.TimeS[from], s.TimeS[i]}); {
			case a.toS-a.fromS < afterS:
			case last != nil && a.fromS-last.toS < simpleMergeS:
				last.toS = a.toS
			default:
				out = append(out, a)
				last = &out[len(out)-1]
			}
		}
	}
	return out
}

// ownName is the line of the diagnosis itself beside the simple rules.
const ownName = "afterloop"

// trySimpleRules scores the diagnosis and the simple rules on cells alone, by
// one measure, and marks the faults that are trivial.
func (l *Log) trySimpleRules(s *analysis.Series) {
	l.Simple = append(l.Simple, l.scoreAlarms(ownName, l.ownAlarms(), false))
	for _, r := range simpleRules() {
		l.Simple = append(l.Simple, l.scoreAlarms(r.name, r.alarms(s), r.trivial))
	}
}

// ownAlarms are the diagnosis' findings on cells that count.
func (l *Log) ownAlarms() []alarm {
	var out []alarm
	for _, g := range l.Found {
		if g.part().name == "cell" && g.Verdict != OnlyNote && g.Verdict != OpenQuestion {
			out = append(out, alarm{g.Cell, float64(g.FromS), float64(g.ToS)})
		}
	}
	return out
}

func (a alarm) finding() Finding {
	return Finding{Kind: "slow-cell", Cell: a.cell, FromS: Float(a.fromS), ToS: Float(a.toS)} // any kind of a cell
}

// scoreAlarms counts what alarms on cells are worth. Alarms on undecidable cells
// are left out.
func (l *Log) scoreAlarms(name string, alarms []alarm, markTrivial bool) SimpleRule {
	r := SimpleRule{Rule: name}
	alarms = slices.DeleteFunc(slices.Clone(alarms), func(a alarm) bool { return slices.Contains(l.Undecidable, a.cell) })
	for _, a := range alarms {
		if l.kindsTrueOn(part{"cell", a.cell}) == 0 {
			r.FalseAlarms++
		}
	}
	for i := range l.Faults {
		f := &l.Faults[i]
		if f.part().name != "cell" {
			continue
		}
		in := slices.DeleteFunc(slices.Clone(alarms), func(a alarm) bool { return !a.finding().during(*f) })
		named := slices.ContainsFunc(in, func(a alarm) bool { return a.cell == f.Cell })
		r.Detected += oneIf(len(in) > 0)
		r.Named += oneIf(named)
		r.Exact += oneIf(named && r.FalseAlarms == 0)
		f.Trivial = f.Trivial || markTrivial && named && r.FalseAlarms == 0
	}
	return r
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}
