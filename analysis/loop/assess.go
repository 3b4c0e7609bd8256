package loop

import (
	"fmt"
	"math"
	"slices"
)

// This file says what the rows can show of single openings at all: where they
// can't, a check was not made.

func notAssessed(r Record, reason string) []ValveCheck {
	out := []ValveCheck{{SupplyLost, 0, false, reason}}
	for _, v := range r.Valves {
		out = append(out, ValveCheck{DeadValve, v.Number, false, reason})
	}
	return out
}

// assessed lists the checks: that of the supply is none where a fall leaves it in
// doubt, that of a valve where its responses are too faint to be missed.
func (rs *response) assessed(r Record, w working, doubt string, p Params) []ValveCheck {
	out := notAssessed(r, "")
	out[0].Assessed, out[0].Reason = doubt == "", doubt
	for k := range r.Valves {
		if out[k+1].Assessed = rs.visible(w, k, p); !out[k+1].Assessed {
			out[k+1].Reason = fmt.Sprintf("rows %.0f s apart, and with openings as they were, a response can't be told from none", r.UsualStepS())
		}
	}
	return out
}

// blur is how much farther apart rows are than responses stay sharp, at least
// 1. When in its row a valve opened is not recorded: beyond a few seconds the
// template may miss its response altogether, and miss it row after row, since
// units decide at even intervals. The odds asked for grow with the blur.
func (rs *response) blur(p Params) float64 { return math.Max(1, rs.stepS/p.SharpS) }

// shown tells whether openings in the time about rows from..to were followed by
// a response that can be told from none; at blurred rows, by most of a response.
// Otherwise silence in those rows means nothing.
func (rs *response) shown(w working, from, to int, p Params) bool {
	const aboutS = 1200
	rest := *rs
	rest.y = slices.Clone(rs.y)
	first, last := from, to
	for first > 0 && rs.timeS[from]-rs.timeS[first-1] < aboutS {
		first--
	}
	for last+1 < len(rs.y) && rs.timeS[last+1]-rs.timeS[to] < aboutS {
		last++
	}
	for i := from; i <= to; i++ {
		rest.y[i] = math.NaN()
	}
	value, low, _ := rest.share(w, func(int) bool { return true }, first, last)
	return low > 0 && (value > p.WorkingShare || rs.blur(p) == 1)
}

// visible tells whether valve k, had it been silent for a quarter of what it was
// commanded, would have been named.
func (rs *response) visible(w working, k int, p Params) bool {
	all := 0.0
	for _, v := range rs.expected(w, k) {
		all += v
	}
	return all/4 >= p.LogOddsLikely*sq(rs.blur(p))
}

// expected is, by row, what ln of the odds for a dead valve k would gain if it
// were: the surprise of its missing response, the scatter being what it is.
func (rs *response) expected(w working, k int) []float64 {
	out := make([]float64, len(rs.y))
	for i, y := range rs.y {
		if !math.IsNaN(y) {
			out[i] = sq(w.a*rs.tmpl[k][i]/w.sigma) / 2 / rs.k
		}
	}
	return out
}
