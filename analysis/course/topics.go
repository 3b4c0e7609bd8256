package course

import (
	"cmp"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/compare"
)

// TopicRule is the rule by which topics are ordered, in words.
const TopicRule = "Topics are ordered by severity first (warnings, then cautions, then notes), however few had them. Within one severity they are ordered by points: " +
	"the number of students who had it, times when it could have been seen (3: on a display at that moment; 2: by a check under water, as a flush; 1: only afterwards). The points order topics and judge nobody; the weights are ours."

// When a kind of finding can be seen. Ours, by what the trade's displays show and
// what its checks under water tell (common practice).
const (
	onDisplay  = "display"
	byCheck    = "check"
	afterwards = "afterwards"
)

// seenWhen names the kinds that can be seen before the dive is over; all others
// only afterwards.
func seenWhen(kind string) string {
	switch kind {
	case "low-oxygen", "high-oxygen", "cells-disagree", "reading-above-ambient", "readings-missing", "reading-at-limit", "setpoint-not-held", "oscillation",
		"overshoot", "sluggish", "on-open-circuit", "frozen-cell", "erratic-cell", "oxygen-supply-lost", "vote-undecided", "surface-pressure",
		"halves-disagree", "half-off", "battery-low", "diluent-falls", "pressure-sensors-disagree":
		return onDisplay
	case "known-gas-mismatch", "slow-cell", "current-limited-cell", "miscalibrated-cell", "drifting-cell", "dead-valve", "leaking-valve", "vote-followed-wrong-cells", "cells-do-not-follow":
		return byCheck
	}
	return afterwards
}

// SeenText says when in words.
func SeenText(seen string) string {
	switch seen {
	case onDisplay:
		return "could be seen on a display at that moment"
	case byCheck:
		return "could be found by a check under water, as a flush"
	}
	return "could be seen only afterwards"
}

var seenPoints = map[string]int{onDisplay: 3, byCheck: 2, afterwards: 1}

// topics are what to talk about: the gravest first, within one severity most points first.
func topics(students []Student, kinds []Kind) []Topic {
	out := []Topic{}
	for _, k := range kinds {
		t := Topic{Kind: k.Kind, Title: k.Title, Students: []string{}, Seen: seenWhen(k.Kind)}
		for i, s := range k.Students {
			if s.Ran > 0 {
				t.Judged++
			}
			if s.Count == 0 {
				continue
			}
			t.Students = append(t.Students, students[i].Label)
			if compare.SeverityRank(s.Severity) > compare.SeverityRank(t.Severity) {
				t.Severity = s.Severity
			}
		}
		t.SeenText = SeenText(t.Seen)
		t.Points = len(t.Students) * seenPoints[t.Seen]
		if d, ok := analysis.DescribeKind(k.Kind); ok {
			t.Instructor = d.Advice.Instructor
		}
		out = append(out, t)
	}
	slices.SortStableFunc(out, func(a, b Topic) int {
		return cmp.Or(cmp.Compare(compare.SeverityRank(b.Severity), compare.SeverityRank(a.Severity)), cmp.Compare(b.Points, a.Points), cmp.Compare(a.Kind, b.Kind))
	})
	return out
}
