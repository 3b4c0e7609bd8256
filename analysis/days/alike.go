package days

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/halves"
	"afterloop/analysis/wording"
)

// alikeWithinS is how far apart the starts of two logs may lie and still be those of
// one dive, s. Ours: a wrong time zone or a wrong hour stays within a day.
const alikeWithinS = 86400

// alikeTwiceS is how much time may count twice before it is more than a note, s. Ours:
// clocks are set by hand, to the minute.
const alikeTwiceS = 60

// alike are two dives whose depths are one profile.
type alike struct {
	a, b  int // numbers
	clock halves.Alignment
	movedS, sharedS,
	twiceS float64
}

// findAlike looks for two records of one dive: logs of one diver whose depths, by the
// rules of package halves, are one profile. A diver makes one profile at a time, so
// they are two halves of doubled electronics, or two exports.
func (s *series) findAlike() (out []alike) {
	p := analysis.DefaultParameters().Halves
	for j, y := range s.dives {
		for i, x := range s.dives[:j] {
			if math.Abs(y.zero.Sub(x.zero).Seconds()) > alikeWithinS || len(x.log.Profile.TimeS) < 10 || len(y.log.Profile.TimeS) < 10 {
				continue
			}
			c := halves.Align(x.log.Profile, y.log.Profile, p)
			if !c.Aligned {
				continue
			}
			k := alike{a: i + 1, b: j + 1, clock: c, movedS: c.ToA(0) + x.zero.Sub(y.zero).Seconds()}
			k.sharedS = math.Max(0, math.Min(x.toS, y.toS)-math.Max(x.fromS, y.fromS))
			common := math.Min(x.toS, y.toS+k.movedS) - math.Max(x.fromS, y.fromS+k.movedS)
			k.twiceS = math.Max(0, common-k.sharedS)
			out = append(out, k)
		}
	}
	return out
}

func (k alike) text() string {
	s := fmt.Sprintf("dives %d and %d: depths agree for %s of the %s in which both recorded", k.a, k.b, percent(k.clock.AgreeFraction), length(k.clock.CommonS))
	if math.Abs(k.movedS) >= 1 {
		way := map[bool]string{true: "later", false: "earlier"}[k.movedS > 0]
		s += fmt.Sprintf(", once dive %d is taken to lie %s %s than its start says", k.b, length(math.Abs(k.movedS)), way)
	}
	switch {
	case k.twiceS < 1:
		return s + "; all of that time counts once"
	case k.sharedS < 1:
		return s + "; by their starts they share no time, so that all of it counts TWICE here"
	}
	return s + fmt.Sprintf("; by their starts they share %s, which counts once, and about %s count TWICE here", length(k.sharedS), length(k.twiceS))
}

// checkAlike says which logs look like two records of one dive.
func checkAlike(s *series) verdict {
	if len(s.dives) < 2 {
		return verdict{analysis.DoesNotApply, "one log is placed", nil}
	}
	for _, d := range s.dives {
		if len(d.log.Profile.TimeS) == 0 {
			return notAssessed("the depths of the logs were not given")
		}
	}
	pairs := s.findAlike()
	if len(pairs) == 0 {
		return verdict{analysis.NotFound, "no two logs within a day of one another hold one profile of depth, as far as their depths can tell", nil}
	}
	x := finding("one-dive-two-logs", analysis.Note, analysis.Likely, "by depth alone, row by row; who dives in company has the same profile, but not in his own logs",
		"These look like two halves of one dive, or two exports of it: join them (--half, as in debrief --half A --half B), or give one of the two.")
	for _, k := range pairs {
		x.Evidence = append(x.Evidence, k.text())
		if k.twiceS >= alikeTwiceS {
			x.Severity = analysis.Caution
		}
	}
	return found(x, wording.Count(len(pairs), "pair of logs holds", "pairs of logs hold")+" one profile of depth")
}
