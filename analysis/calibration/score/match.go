package score

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
)

// graceS: a finding may start this long after the end of a fault and still count
// as one of it.
const graceS = 60

// kinds are the kinds of findings that are faults, in the order of the tables.
func kinds() []string {
	return []string{"slow-cell", "current-limited-cell", "miscalibrated-cell", "drifting-cell", "frozen-cell", "erratic-cell",
		"dead-valve", "leaking-valve", "oxygen-supply-lost"}
}

// findingKind is the kind of finding that a simulated fault calls for.
func findingKind(fault string) string {
	return map[string]string{scenario.Slow: "slow-cell", scenario.Limited: "current-limited-cell", scenario.Gain: "miscalibrated-cell",
		scenario.Drift: "drifting-cell", scenario.Frozen: "frozen-cell", scenario.Erratic: "erratic-cell",
		scenario.ValveDead: "dead-valve", scenario.ValveLeak: "leaking-valve", scenario.OxygenOff: "oxygen-supply-lost"}[fault]
}

// part is what a fault belongs to. A leak and the supply are parts of their own,
// whatever valve is named with them.
type part struct {
	name   string
	number int
}

func partOf(kind string, cell, valve int) part {
	switch kind {
	case "dead-valve":
		return part{"valve", valve}
	case "leaking-valve", "oxygen-supply-lost":
		return part{kind, 0}
	}
	return part{"cell", cell}
}

func (f Fault) part() part   { return partOf(f.Kind, f.Cell, f.Valve) }
func (f Finding) part() part { return partOf(f.Kind, f.Cell, f.Valve) }

// during tells whether a finding overlaps a fault in time; an end that is not
// known is open.
func (f Finding) during(t Fault) bool {
	return !(f.FromS > t.ToS+graceS) && !(f.ToS < t.FromS)
}

// faultFindings are the findings of faults, notes included.
func faultFindings(d *analysis.Debrief) []Finding {
	var out []Finding
	for i := range d.Findings {
		f := &d.Findings[i]
		if slices.Contains(kinds(), f.Kind) {
			out = append(out, Finding{Kind: f.Kind, Cell: numberOf(f.Cell), Valve: numberOf(f.Valve), Severity: string(f.Severity),
				Confidence: string(f.Confidence), FromS: f.FromS, ToS: f.ToS})
		}
	}
	return out
}

func numberOf(p *int) int {
	if p == nil {
		return 0
	}
	return *p
}

func hasKind(d *analysis.Debrief, kind string) bool {
	return slices.ContainsFunc(d.Findings, func(f analysis.Finding) bool { return f.Kind == kind })
}

// outcomes are those of the checks of faults.
func outcomes(d *analysis.Debrief) []Outcome {
	var out []Outcome
	for _, c := range d.Checks {
		if slices.Contains(kinds(), c.ID) {
			out = append(out, Outcome{c.ID, c.Outcome, c.AssessableFraction})
		}
	}
	return out
}

// match gives every fault and every finding its verdict.
func (l *Log) match() {
	for i := range l.Faults {
		l.matchFault(&l.Faults[i])
	}
	for i := range l.Found {
		l.Found[i].Verdict = l.verdictOn(l.Found[i])
	}
	for i := range l.Faults {
		f := &l.Faults[i]
		if f.Verdict == Missed && slices.ContainsFunc(l.Found, func(g Finding) bool { return g.Verdict == MisIsolated && g.during(*f) }) {
			f.Verdict = WrongPart
		}
	}
	l.listSureAndWrong()
}

// matchFault takes what was found on a fault's own part, at its time.
func (l *Log) matchFault(f *Fault) {
	here := l.foundOn(*f)
	for _, g := range here {
		if !slices.Contains(f.Said, g.Kind) {
			f.Said = append(f.Said, g.Kind)
		}
	}
	slices.Sort(f.Said)
	f.NotAssessed = len(here) == 0 && l.outcomeOf(f.Kind) == analysis.NotAssessed
	if len(here) == 0 {
		return
	}
	f.Verdict = RightPart
	i := slices.IndexFunc(here, func(g Finding) bool { return g.Kind == f.Kind })
	if i < 0 || len(f.Said) > l.kindsTrueOn(f.part()) {
		return
	}
	f.Verdict, f.Confidence = RightKind, here[i].Confidence
	if f.FromS > 0 {
		f.OnsetErrorS = here[i].FromS - f.FromS
	}
}

// foundOn are the findings on a fault's part at its time, notes left out.
func (l *Log) foundOn(f Fault) []Finding {
	var here []Finding
	for _, g := range l.Found {
		if g.Severity != string(analysis.Note) && g.part() == f.part() && g.during(f) {
			here = append(here, g)
		}
	}
	return here
}

// kindsTrueOn is how many kinds of fault a part really has.
func (l *Log) kindsTrueOn(p part) int {
	var trueKinds []string
	for _, f := range l.Faults {
		if f.part() == p && !slices.Contains(trueKinds, f.Kind) {
			trueKinds = append(trueKinds, f.Kind)
		}
	}
	return len(trueKinds)
}

func (l *Log) outcomeOf(kind string) analysis.Outcome {
	for _, c := range l.Checks {
		if c.Check == kind {
			return c.Outcome
		}
	}
	return ""
}

// verdictOn judges one finding by the truth.
func (l *Log) verdictOn(g Finding) string {
	if g.Severity == string(analysis.Note) {
		return OnlyNote
	}
	verdict := ""
	for _, f := range l.Faults {
		switch {
		case f.part() != g.part():
		case g.during(f) && f.Kind == g.Kind:
			return Right
		case g.during(f):
			verdict = WrongKind
		case verdict == "":
			verdict = WrongTime
		}
	}
	switch {
	case verdict != "":
		return verdict
	case l.open(g):
		return OpenQuestion
	case slices.ContainsFunc(l.Faults, func(f Fault) bool { return f.Verdict == Missed && g.during(f) }):
		return MisIsolated
	}
	return FalseAlarm
}

// open tells whether the log can't settle what a finding says. Where cells are
// alike in gain, any of them may be named as possibly off, the odd one too.
func (l *Log) open(g Finding) bool {
	p := g.part()
	return p.name == "cell" && slices.Contains(l.Undecidable, p.number) ||
		p.name == "leaking-valve" && l.UndecidableLeak ||
		len(l.Undecidable) > 0 && g.Kind == "miscalibrated-cell" && g.Confidence == string(analysis.Possible)
}

// False tells whether a finding names a part that has no fault.
func (f Finding) False() bool { return f.Verdict == FalseAlarm || f.Verdict == MisIsolated }

// listSureAndWrong lists the worst defects: one for each fault whose part carries
// a sure finding but not the right kind alone, one for each sure false alarm.
func (l *Log) listSureAndWrong() {
	sure := func(g Finding) bool { return g.Confidence == string(analysis.Sure) }
	for _, f := range l.Faults {
		if f.Verdict == RightPart && slices.ContainsFunc(l.foundOn(f), sure) {
			l.SureAndWrong = append(l.SureAndWrong, fmt.Sprintf("%v for %s", f.Said, f.Kind))
		}
	}
	for _, g := range l.Found {
		if g.False() && sure(g) {
			l.SureAndWrong = append(l.SureAndWrong, g.words())
		}
	}
}

// compareCells takes the figures of slow and limited cells.
func (l *Log) compareCells(d *analysis.Debrief) {
	for i := range l.Faults {
		f := &l.Faults[i]
		c := slices.IndexFunc(d.Cells, func(c analysis.Cell) bool { return c.Cell == f.Cell })
		if c < 0 {
			continue
		}
		switch f.Kind {
		case "slow-cell":
			f.T90Error = Float(math.Abs(float64(d.Cells[c].T90S.Value)-f.T90S) / f.T90S)
		case "current-limited-cell":
			f.CeilingErrorBar = Float(math.Abs(float64(d.Cells[c].CeilingBar.Value) - f.CeilingBar))
		}
	}
}
