package compare

import (
	"fmt"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/fit"
)

// GroupFigures are the figures of a dive over groups of dives, as of students
// with one or several logs each: a group's value is that of its only dive, or the
// median of what is known of its dives. All subjects carry their group's label.
func GroupFigures(groups [][]*Subject) []Figure {
	out := []Figure{}
	for _, k := range scalarKinds() {
		out = append(out, k.groupRow(groups))
	}
	return out
}

func (k kind) groupRow(groups [][]*Subject) Figure {
	f := Figure{ID: k.id, Group: k.group, Name: k.name, Unit: k.unit, Digits: k.digits, Meaning: k.meaning, Values: make([]Measure, len(groups)), Remarks: []string{}}
	var with []*Subject
	plain := make([]float64, len(groups))
	bounds := 0
	for i, g := range groups {
		f.Values[i] = medianOf(g, k.id)
		if plain[i] = float64(f.Values[i].Value); f.Values[i].Value.Known() {
			with = append(with, g...)
		}
		if f.Values[i].IsLowerBound {
			bounds++
		}
	}
	f.Spread = SpreadOf(plain)
	if k.refuse != nil && len(with) > 1 {
		f.Reason = k.refuse(with)
	}
	if f.Reason == "" && f.N == 0 {
		f.Reason = "known of no student; of " + groups[0][0].Label + ": " + f.Values[0].Reason
	}
	if k.settle(&f, with, bounds) {
		f.Reading = groupReading(f)
	}
	return f
}

// groupReading warns of a figure of few; the spread stands beside it.
func groupReading(f Figure) string {
	if f.N < rangeFrom {
		return fmt.Sprintf("Known of %d: too few for a spread.", f.N)
	}
	return ""
}

// medianOf is the median of a figure over dives.
func medianOf(ss []*Subject, id string) Measure {
	if len(ss) == 1 {
		return ss[0].values[id]
	}
	var known []float64
	bound, why := false, "not known"
	for _, s := range ss {
		if m := s.values[id]; m.Value.Known() {
			known, bound = append(known, float64(m.Value)), bound || m.IsLowerBound
		} else {
			why = m.Reason
		}
	}
	if len(known) == 0 {
		return measure(unknown, why)
	}
	slices.Sort(known)
	m := measure(analysis.Float(fit.Quantile(known, 0.5)), "")
	m.IsLowerBound = bound
	return m
}

// Checks are the checks of a dive, in the order of its debrief.
func (s *Subject) Checks() []analysis.Check {
	out := make([]analysis.Check, 0, len(s.checkOrder))
	for _, id := range s.checkOrder {
		out = append(out, s.checks[id])
	}
	return out
}

// Moment is a moment of the dive by its name ([Moments]).
func (s *Subject) Moment(name string) Zero { return s.moments[name] }
