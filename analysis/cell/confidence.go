package cell

import (
	"fmt"
	"strings"
)

// Confidences states the rule. Every fault has a margin: how much dearer, in
// nats, the best other explanation is, penalties paid; the other explanations
// are another shape of the same cell's relation, another reference and, for a ceiling, an
// offset of one of the cells that comes and goes ([pair.wander]). It has
// lines of evidence: separate steps, passages, ascents or cells that say the same. And it has
// a clearance: how far the near end of its interval lies beyond the limit,
// relative to the limit (for a ceiling: of the highest PO2 above the excess asked for).
//
//	sure      margin >= SureMargin, lines >= SureLines, clearance >= SureClearance
//	likely    margin >= LikelyMargin
//	possible  else
//
// Where the relation that is named does not fit, at more than MisfitNats for each
// effective sample, something else goes on and the fault is possible at most. So is a
// ceiling that PO2 was never seen to pass in one go, or, held against one other
// cell only, one that an offset explains nearly as well (within SureMargin).
// Where all cells are slow, the margin is that of the ascents and the lines are the
// ascents that say so for themselves. A frozen cell is sure where two others or more
// pass well below it, an erratic one where it has twice the excursions asked for, with
// two others to compare. A gain is sure only by a witness.
//
// The figures were set on simulated dives, among which no sure verdict was wrong;
// that is what they are worth.
const Confidences = "sure: every other explanation fits far worse, at least two lines of evidence agree, the interval is clear of the limit; likely: the others fit worse; possible: else"

// grade applies the rule of [Confidences].
func (p Params) grade(margin float64, lines int, clearance, misfit float64) Confidence {
	switch {
	case misfit > p.MisfitNats:
		return Possible
	case margin >= p.SureMargin && lines >= p.SureLines && clearance >= p.SureClearance:
		return Sure
	case margin >= p.LikelyMargin:
		return Likely
	}
	return Possible
}

// join lists some of the names, and how many more there are.
func join(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, "; ")
	}
	return fmt.Sprintf("%s; and %d more", strings.Join(names[:most], "; "), len(names)-most)
}
