package compare

import (
	"cmp"
	"fmt"
	"slices"

	"afterloop/analysis"
)

var severityRank = map[analysis.Severity]int{analysis.Note: 1, analysis.Caution: 2, analysis.Warning: 3}

// SeverityRank orders severities, note lowest; 0 for none.
func SeverityRank(s analysis.Severity) int { return severityRank[s] }

var confidenceRank = map[analysis.Confidence]int{analysis.Possible: 1, analysis.Likely: 2, analysis.Sure: 3}

// findingKey tells findings apart: one kind of one part.
type findingKey struct{ kind, part string }

// findingRows gathers the findings of all dives by kind and part. partOf names
// the part of a finding of dive i.
func findingRows(ss []*Subject, partOf func(i int, f *analysis.Finding) string) []FindingRow {
	rows := map[findingKey]*FindingRow{}
	var order []findingKey
	for i, s := range ss {
		for k := range s.findings {
			f := &s.findings[k]
			key := findingKey{f.Kind, partOf(i, f)}
			r := rows[key]
			if r == nil {
				r = &FindingRow{Kind: f.Kind, Title: f.Title, Part: key.part, Check: f.Check, Dives: make([]FindingState, len(ss))}
				rows[key], order = r, append(order, key)
			}
			r.Dives[i].add(f)
			r.Dives[i].name(f)
		}
	}
	out := make([]FindingRow, 0, len(order))
	for _, key := range order {
		r := rows[key]
		for i, s := range ss {
			r.Dives[i].settle(s, r.Check)
		}
		out = append(out, *r)
	}
	slices.SortStableFunc(out, byConsequence)
	return out
}

// byConsequence: the gravest first, then what most dives have, then by name.
func byConsequence(a, b FindingRow) int {
	return cmp.Or(cmp.Compare(b.gravest(), a.gravest()), cmp.Compare(b.dives(), a.dives()), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Part, b.Part))
}

func (r *FindingRow) gravest() int {
	g := 0
	for _, s := range r.Dives {
		g = max(g, severityRank[s.Severity])
	}
	return g
}

func (r *FindingRow) dives() int {
	n := 0
	for _, s := range r.Dives {
		if s.Count > 0 {
			n++
		}
	}
	return n
}

// add takes in one finding.
func (s *FindingState) add(f *analysis.Finding) {
	if s.Count++; s.Count == 1 {
		*s = FindingState{Outcome: analysis.Found, Count: 1, Severity: f.Severity, Confidence: f.Confidence, Worst: f.Worst.Value, Unit: f.Worst.Unit, FromS: f.FromS, ToS: f.ToS,
			Version: f.CheckVersion, Observed: f.Observed}
		return
	}
	if severityRank[f.Severity] > severityRank[s.Severity] || f.Severity == s.Severity && confidenceRank[f.Confidence] > confidenceRank[s.Confidence] {
		s.Severity, s.Confidence, s.Worst, s.Unit, s.Observed = f.Severity, f.Confidence, f.Worst.Value, f.Worst.Unit, f.Observed
	}
	if f.FromS < s.FromS || !s.FromS.Known() {
		s.FromS = f.FromS
	}
	if f.ToS > s.ToS || !s.ToS.Known() {
		s.ToS = f.ToS
	}
}

// name lists the part that a finding names, once.
func (s *FindingState) name(f *analysis.Finding) {
	if n := partName(f); n != "" && !slices.Contains(s.Parts, n) {
		s.Parts = append(s.Parts, n)
		slices.Sort(s.Parts)
	}
}

// partName is the part that a finding names, as its dive numbers it.
func partName(f *analysis.Finding) string {
	switch {
	case f.Cell != nil:
		return fmt.Sprintf("cell %d", *f.Cell)
	case f.Valve != nil:
		return fmt.Sprintf("valve %d", *f.Valve)
	}
	return ""
}

// KindRows gathers the findings of all dives by kind alone, the gravest first.
func KindRows(ss []*Subject) []FindingRow {
	return findingRows(ss, func(int, *analysis.Finding) string { return "" })
}

// settle says how the check ended where nothing was found.
func (s *FindingState) settle(of *Subject, check string) {
	if s.Parts == nil {
		s.Parts = []string{}
	}
	if s.Count > 0 {
		return
	}
	s.Worst, s.FromS, s.ToS = unknown, unknown, unknown
	c, ok := of.checks[check]
	if !ok {
		s.Reason = "the debrief has no such check"
		return
	}
	s.Outcome, s.Reason, s.Version = c.Outcome, c.Reason, c.Version
	if c.Outcome == analysis.Found { // of another part, or another kind of the same check
		s.Outcome, s.Reason = analysis.NotFound, ""
	}
}

// ran tells whether the check could have found something.
func (s *FindingState) ran() bool {
	return s.Outcome == analysis.Found || s.Outcome == analysis.NotFound || s.Outcome == analysis.Borderline
}
