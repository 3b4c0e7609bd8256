package score

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis"
)

// fault is one that lasts from 1000 to 2000 s of a dive of 3000 s.
func fault(kind string, n int) Fault {
	f := Fault{Kind: kind, FromS: 1000, ToS: 2000, Verdict: Missed, OnsetErrorS: unknown, T90Error: unknown, CeilingErrorBar: unknown}
	if kind == "dead-valve" {
		f.Valve = n
	} else {
		f.Cell = n
	}
	return f
}

// finding is one with its numbers as text: kind, number, from, to, confidence.
func finding(kind string, n int, fromS, toS Float, confidence string) Finding {
	g := Finding{Kind: kind, FromS: fromS, ToS: toS, Confidence: confidence, Severity: string(analysis.Warning)}
	if kind == "dead-valve" {
		g.Valve = n
	} else {
		g.Cell = n
	}
	return g
}

func note(g Finding) Finding {
	g.Severity = string(analysis.Note)
	return g
}

// matched is a dive with its verdicts.
func matched(faults []Fault, found ...Finding) Log {
	l := Log{Faults: faults, Found: found}
	l.match()
	return l
}

// verdicts lists what became of faults and findings, and how much was sure and wrong.
func verdicts(l Log) (faults, found []string, sureWrong int) {
	for _, f := range l.Faults {
		faults = append(faults, f.Verdict)
	}
	for _, g := range l.Found {
		found = append(found, g.Verdict)
	}
	return faults, found, len(l.SureAndWrong)
}

// The rules of the score, one a case.
func TestMatch(t *testing.T) {
	slow2 := []Fault{fault("slow-cell", 2)}
	both2 := []Fault{fault("slow-cell", 2), fault("miscalibrated-cell", 2)}
	leak := []Fault{fault("leaking-valve", 0)}
	for name, c := range map[string]struct {
		faults     []Fault
		found      []Finding
		wantFaults []string
		wantFound  []string
		sureWrong  int
	}{
		"right":                       {slow2, []Finding{finding("slow-cell", 2, 1010, 2000, "sure")}, []string{RightKind}, []string{Right}, 0},
		"nothing found":               {slow2, nil, []string{Missed}, nil, 0},
		"other kind":                  {slow2, []Finding{finding("frozen-cell", 2, 1010, 2000, "likely")}, []string{RightPart}, []string{WrongKind}, 0},
		"other kind, sure":            {slow2, []Finding{finding("frozen-cell", 2, 1010, 2000, "sure")}, []string{RightPart}, []string{WrongKind}, 1},
		"a kind too many":             {slow2, []Finding{finding("slow-cell", 2, 1000, 2000, "sure"), finding("drifting-cell", 2, 1000, 2000, "possible")}, []string{RightPart}, []string{Right, WrongKind}, 1},
		"two kinds, both true":        {both2, []Finding{finding("slow-cell", 2, 1000, 2000, "sure"), finding("miscalibrated-cell", 2, 1000, 2000, "likely")}, []string{RightKind, RightKind}, []string{Right, Right}, 0},
		"two true, one found":         {both2, []Finding{finding("slow-cell", 2, 1000, 2000, "sure")}, []string{RightKind, RightPart}, []string{Right}, 1},
		"within the grace":            {slow2, []Finding{finding("slow-cell", 2, 2060, 2500, "sure")}, []string{RightKind}, []string{Right}, 0},
		"after the grace":             {slow2, []Finding{finding("slow-cell", 2, 2061, 2500, "sure")}, []string{Missed}, []string{WrongTime}, 0},
		"before":                      {slow2, []Finding{finding("slow-cell", 2, 0, 999, "likely")}, []string{Missed}, []string{WrongTime}, 0},
		"open ends":                   {slow2, []Finding{finding("slow-cell", 2, unknown, unknown, "likely")}, []string{RightKind}, []string{Right}, 0},
		"wrong cell":                  {slow2, []Finding{finding("slow-cell", 1, 1010, 2000, "likely")}, []string{WrongPart}, []string{MisIsolated}, 0},
		"wrong cell, sure":            {slow2, []Finding{finding("slow-cell", 1, 1010, 2000, "sure")}, []string{WrongPart}, []string{MisIsolated}, 1},
		"wrong cell, other time":      {slow2, []Finding{finding("slow-cell", 1, 0, 900, "likely")}, []string{Missed}, []string{FalseAlarm}, 0},
		"right cell and a healthy":    {slow2, []Finding{finding("slow-cell", 2, 1000, 2000, "sure"), finding("slow-cell", 3, 1000, 2000, "sure")}, []string{RightKind}, []string{Right, FalseAlarm}, 1},
		"healthy dive, false alarm":   {nil, []Finding{finding("dead-valve", 1, 1000, 2000, "likely")}, nil, []string{FalseAlarm}, 0},
		"a note is nothing":           {slow2, []Finding{note(finding("slow-cell", 2, 1000, 2000, "possible")), note(finding("slow-cell", 1, 0, 3000, "possible"))}, []string{Missed}, []string{OnlyNote, OnlyNote}, 0},
		"valve 2 is not cell 2":       {slow2, []Finding{finding("dead-valve", 2, 1000, 2000, "likely")}, []string{WrongPart}, []string{MisIsolated}, 0},
		"a leak is one part":          {leak, []Finding{{Kind: "leaking-valve", Valve: 1, FromS: 1000, ToS: 2000, Severity: "warning", Confidence: "sure"}}, []string{RightKind}, []string{Right}, 0},
		"a leak is not the supply":    {leak, []Finding{finding("oxygen-supply-lost", 0, 1000, 2000, "likely")}, []string{WrongPart}, []string{MisIsolated}, 0},
		"twice the same is one found": {slow2, []Finding{finding("slow-cell", 2, 1000, 1200, "sure"), finding("slow-cell", 2, 1500, 2000, "sure")}, []string{RightKind}, []string{Right, Right}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			l := matched(append([]Fault{}, c.faults...), c.found...)
			faults, found, wrong := verdicts(l)
			if diff := cmp.Diff(c.wantFaults, faults); diff != "" {
				t.Errorf("faults: %s", diff)
			}
			if diff := cmp.Diff(c.wantFound, found); diff != "" {
				t.Errorf("findings: %s", diff)
			}
			if wrong != c.sureWrong {
				t.Errorf("%d sure and wrong, want %d: %v", wrong, c.sureWrong, l.SureAndWrong)
			}
		})
	}
}

// The onset of a fault that was there from the start is nothing to be measured.
func TestOnset(t *testing.T) {
	l := matched([]Fault{fault("slow-cell", 2)}, finding("slow-cell", 2, 980, 2000, "sure"))
	if got := l.Faults[0].OnsetErrorS; got != -20 {
		t.Errorf("onset error %g, want -20", got)
	}
	f := fault("slow-cell", 2)
	f.FromS = 0
	if l = matched([]Fault{f}, finding("slow-cell", 2, 5, 2000, "sure")); l.Faults[0].OnsetErrorS.Known() {
		t.Errorf("onset error %g from the start", l.Faults[0].OnsetErrorS)
	}
}

// Where the log can't settle which cells are off, naming one of them is neither
// right nor wrong, naming the odd one only where it is possible.
func TestOpenQuestions(t *testing.T) {
	for name, c := range map[string]struct {
		found Finding
		want  string
	}{
		"one of the pair":         {finding("miscalibrated-cell", 1, 0, 3000, "sure"), OpenQuestion},
		"the odd one, possible":   {finding("miscalibrated-cell", 2, 0, 3000, "possible"), OpenQuestion},
		"the odd one, likely":     {finding("miscalibrated-cell", 2, 0, 3000, "likely"), FalseAlarm},
		"another fault of it":     {finding("slow-cell", 2, 0, 3000, "possible"), FalseAlarm},
		"a leak, not undecidable": {finding("leaking-valve", 0, 0, 3000, "possible"), FalseAlarm},
	} {
		l := Log{Undecidable: []int{1, 3}, Found: []Finding{c.found}}
		if l.match(); l.Found[0].Verdict != c.want {
			t.Errorf("%s: %s, want %s", name, l.Found[0].Verdict, c.want)
		}
	}
	l := Log{UndecidableLeak: true, Found: []Finding{finding("leaking-valve", 0, 0, 3000, "sure")}}
	if l.match(); l.Found[0].Verdict != OpenQuestion {
		t.Errorf("an undecidable leak: %s", l.Found[0].Verdict)
	}
}

// Told, settled and overclaimed are three different things.
func TestUndecidable(t *testing.T) {
	pair := []Finding{finding("miscalibrated-cell", 3, 0, 3000, "likely"), finding("miscalibrated-cell", 1, 0, 3000, "likely")}
	for name, c := range map[string]struct {
		log  Log
		want Undecidable
	}{
		"told":           {Log{CellsDisagree: true}, Undecidable{Gains: rateOf(1, 1), Leaks: rateOf(0, 0)}},
		"not told":       {Log{}, Undecidable{Gains: rateOf(0, 1), Leaks: rateOf(0, 0)}},
		"settled":        {Log{Helium: true, Found: pair}, Undecidable{Gains: rateOf(0, 1), Settled: 1, Leaks: rateOf(0, 0)}},
		"without helium": {Log{Found: pair}, Undecidable{Gains: rateOf(0, 1), Overclaimed: 1, Leaks: rateOf(0, 0)}},
		"half the pair":  {Log{Helium: true, Found: pair[:1]}, Undecidable{Gains: rateOf(0, 1), Leaks: rateOf(0, 0)}},
		"possible only":  {Log{Found: []Finding{finding("miscalibrated-cell", 1, 0, 3000, "possible")}}, Undecidable{Gains: rateOf(0, 1), Leaks: rateOf(0, 0)}},
		"leak claimed":   {Log{UndecidableLeak: true, CellsDisagree: true, Found: []Finding{finding("leaking-valve", 0, 0, 1, "likely")}}, Undecidable{Gains: rateOf(1, 1), Leaks: rateOf(0, 1)}},
		"leak possible":  {Log{UndecidableLeak: true, CellsDisagree: true, Found: []Finding{finding("leaking-valve", 0, 0, 1, "possible")}}, Undecidable{Gains: rateOf(1, 1), Leaks: rateOf(1, 1)}},
		"failed dive":    {Log{UndecidableLeak: true, Failed: "x"}, Undecidable{Gains: rateOf(0, 1), Leaks: rateOf(0, 1)}},
	} {
		l := c.log
		l.Undecidable = []int{1, 3}
		l.match()
		if diff := cmp.Diff(c.want, undecidable([]Log{l}), approximately()); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func approximately() cmp.Option {
	return cmp.Comparer(func(a, b Float) bool { return a == b || !a.Known() && !b.Known() })
}
