package lesson

import (
	"fmt"
	"slices"

	"afterloop/analysis/wording"
)

// How many questions each stage has, in every lesson: the answer file shows the
// number, and one of its own would name the lesson.
const (
	firstQuestions  = 4
	secondQuestions = 6
)

// even fills both stages up with arithmetic that any dive allows.
func (s *sheet) even() {
	if s.count(1) < firstQuestions {
		s.diluentValue()
	}
	more := []func(){s.descentRise, s.ascentShare}
	for _, k := range s.r.Perm(len(more)) {
		if s.count(2) < secondQuestions {
			more[k]()
		}
	}
	slices.SortStableFunc(s.qs, func(a, b Question) int { return 10*(a.Stage-b.Stage) + place(a) - place(b) })
}

func (s *sheet) count(stage int) int {
	n := 0
	for _, q := range s.qs {
		if q.Stage == stage {
			n++
		}
	}
	return n
}

// place orders the questions of a stage: figures stand before how far the log
// goes and what is next, whichever lesson asked them.
func place(q Question) int {
	switch q.Topic {
	case "sure", "next", "talk":
		return 1
	}
	return 0
}

// unlessAsked adds a figure unless the lesson asks it itself.
func (s *sheet) unlessAsked(topic string, ask func()) {
	if !slices.ContainsFunc(s.qs, func(q Question) bool { return q.Topic == topic }) {
		ask()
	}
}

// diluentValue asks for the PO2 of the diluent on the bottom:
//
//	p = F_dil Pd
func (s *sheet) diluentValue() {
	tS := s.draft.upS - 30
	bar := s.diluentO2() * s.ambient(tS)
	s.figure(1, "diluent", fmt.Sprintf("What PO2 would the dry diluent (%s) have at the depth where the dive is at %s?", s.Spec.Diluent, wording.Clock(tS-s.tS[0])), "bar", round(bar, 0.01), 0.06,
		fmt.Sprintf("Oxygen fraction of the diluent times ambient pressure: %.2f x %.2f bar = %.2f bar. A complete flush would have brought the loop there.", s.diluentO2(), s.ambient(tS), bar))
}

// descentRise asks what ten metres alone add (METHODS 3: dp = F_dil dPd).
func (s *sheet) descentRise() {
	s.unlessAsked("descent", func() {
		ten := s.diluentO2() * s.Spec.WaterDensityKgM3 * 9.80665 * 10 / 1e5
		s.number("descent", "The diver goes 10 m deeper in this water, and the loop is made up with diluent. By how much does that alone raise PO2?", "bar", round(ten, 0.01), 0.04, fmt.Sprintf("F_dil times the rise in pressure: %.2f bar. It has nothing to do with the controller.", ten))
	})
}

// ascentShare asks what an ascent alone leaves (METHODS 3: p/Pd stays).
func (s *sheet) ascentShare() {
	s.unlessAsked("ascent", func() {
		up, stop := s.ambient(s.draft.upS), s.ambient(s.draft.stopS)
		s.number("ascent", "At the moment of leaving the bottom a diver has a certain PO2. If nothing were added or used, what share of it would be left on arrival at the first stop? Per cent.", "%", round(100*stop/up, 1), 4,
			fmt.Sprintf("PO2 goes with pressure: %.2f bar over %.2f bar. A reading that stays where it was can't be right.", stop, up))
	})
}
