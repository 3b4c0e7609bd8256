package score

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"afterloop/analysis"
)

// summarize takes the dives of one family together.
func summarize(family string, logs []Log) Family {
	f := Family{Family: family, FirstSeed: logs[0].Seed, Dives: len(logs), Kinds: []Kind{}, Scenarios: scenarios(logs), TakenFor: takenFor(logs),
		FalseAlarms: falseAlarms(logs), Grades: grades(logs), Checks: checkShares(logs), Undecidable: undecidable(logs),
		Estimate: estimateShare(logs), Simple: simpleShares(logs)}
	for _, l := range logs {
		f.Failed += oneIf(l.Failed != "")
	}
	all := faultsOf(logs, "")
	f.All = kindOf("all", all)
	for _, k := range kinds() {
		if of := faultsOf(logs, k); len(of) > 0 {
			f.Kinds = append(f.Kinds, kindOf(k, of))
		}
	}
	f.T90Error = distribution(figures(faultsOf(logs, "slow-cell"), func(f Fault) Float { return f.T90Error }))
	f.CeilingErrorBar = distribution(figures(faultsOf(logs, "current-limited-cell"), func(f Fault) Float { return f.CeilingErrorBar }))
	return f
}

// faultsOf are the faults of a kind, or all.
func faultsOf(logs []Log, kind string) []Fault {
	var out []Fault
	for _, l := range logs {
		for _, f := range l.Faults {
			if kind == "" || f.Kind == kind {
				out = append(out, f)
			}
		}
	}
	return out
}

func figures[T any](of []T, figure func(T) Float) []Float {
	out := make([]Float, len(of))
	for i := range of {
		out[i] = figure(of[i])
	}
	return out
}

func kindOf(name string, faults []Fault) Kind {
	k := Kind{Kind: name, Faults: len(faults)}
	var detected, onPart, ofKind, sure, assessed, rest tally
	var onset, delay []Float
	for _, f := range faults {
		named, right := f.Verdict == RightPart || f.Verdict == RightKind, f.Verdict == RightKind
		detected.add(f.Verdict != Missed)
		onPart.add(named)
		ofKind.add(right)
		if right {
			sure.add(f.Confidence == string(analysis.Sure))
		}
		if k.NotAssessed += oneIf(f.NotAssessed); !f.NotAssessed {
			assessed.add(named)
		}
		if k.Trivial += oneIf(f.Trivial); !f.Trivial {
			rest.add(named)
		}
		if f.FromS > 0 {
			delay = append(delay, f.OnsetErrorS)
			if right {
				onset = append(onset, Float(math.Abs(float64(f.OnsetErrorS))))
			}
		}
	}
	k.Detected, k.RightPart, k.RightKind, k.Sure, k.RightPartAssessed, k.RightPartRest = detected.rate(), onPart.rate(), ofKind.rate(), sure.rate(), assessed.rate(), rest.rate()
	k.OnsetErrorS, k.DelayS = distribution(onset), distribution(delay)
	return k
}

// scenarios sums up by scenario, in order of first appearance by name.
func scenarios(logs []Log) []Scenario {
	var names []string
	by := map[string][]Log{}
	for _, l := range logs {
		if _, ok := by[l.Scenario]; !ok {
			names = append(names, l.Scenario)
		}
		by[l.Scenario] = append(by[l.Scenario], l)
	}
	slices.Sort(names)
	out := []Scenario{}
	for _, n := range names {
		out = append(out, scenarioOf(n, by[n]))
	}
	return out
}

func scenarioOf(name string, logs []Log) Scenario {
	s := Scenario{Scenario: name, Dives: len(logs)}
	k := kindOf(name, faultsOf(logs, ""))
	s.Faults, s.RightPart, s.RightKind, s.OnsetS = k.Faults, k.RightPart.Right, k.RightKind.Right, k.OnsetErrorS.Median
	for _, l := range logs {
		s.FalseAlarms += l.falseAlarms()
		s.SureWrong += len(l.SureAndWrong)
	}
	e := estimateShare(logs)
	s.RatioMedian, s.Coverage = e.Ratio.Median, e.Coverage.Mean
	return s
}

// takenFor lists the faults whose kind was not right, and what was said instead.
func takenFor(logs []Log) []TakenFor {
	out := []TakenFor{}
	for _, f := range faultsOf(logs, "") {
		if f.Verdict == RightKind {
			continue
		}
		said := strings.Join(f.Said, " + ")
		if f.Verdict == WrongPart {
			said = "another part"
		}
		i := slices.IndexFunc(out, func(t TakenFor) bool { return t.Kind == f.Kind && t.TakenFor == said })
		if i < 0 {
			i, out = len(out), append(out, TakenFor{Kind: f.Kind, TakenFor: said})
		}
		out[i].Count++
	}
	slices.SortFunc(out, func(a, b TakenFor) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds(), a.Kind), slices.Index(kinds(), b.Kind)), cmp.Compare(b.Count, a.Count), cmp.Compare(a.TakenFor, b.TakenFor))
	})
	return out
}

func (l *Log) falseAlarms() int {
	n := 0
	for _, g := range l.Found {
		n += oneIf(g.False())
	}
	return n
}

func falseAlarms(logs []Log) FalseAlarms {
	var f FalseAlarms
	var healthyClean, allClean tally
	n, healthy, hours := 0, 0, 0.0
	for i := range logs {
		l := &logs[i]
		wrong := l.falseAlarms()
		n += wrong
		if l.Failed == "" {
			allClean.add(wrong == 0)
		}
		if l.Healthy && l.Failed == "" {
			healthy, hours = healthy+wrong, hours+float64(l.AssessableHours)
			healthyClean.add(wrong == 0)
		}
		f.SureAndWrong += len(l.SureAndWrong)
		for _, t := range l.Faults {
			f.MisIsolated += oneIf(t.Verdict == WrongPart)
		}
		for _, g := range l.Found {
			f.Notes += oneIf(g.Verdict == OnlyNote)
		}
	}
	f.All, f.Healthy = countOf(n, float64(allClean.of)), countOf(healthy, hours)
	f.HealthyClean, f.AllClean = healthyClean.rate(), allClean.rate()
	return f
}

func grades(logs []Log) []Grade {
	out := []Grade{}
	for _, c := range []analysis.Confidence{analysis.Sure, analysis.Likely, analysis.Possible} {
		var t tally
		g := Grade{Confidence: string(c)}
		for _, l := range logs {
			for _, f := range l.Found {
				switch {
				case f.Confidence != string(c) || f.Verdict == OnlyNote:
				case f.Verdict == OpenQuestion:
					g.Open++
				default:
					t.add(f.Verdict == Right)
				}
			}
		}
		g.Rate = t.rate()
		out = append(out, g)
	}
	return out
}
