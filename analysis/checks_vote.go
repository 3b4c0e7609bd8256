package analysis

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis/vote"
	"afterloop/analysis/wording"
)

// deciding are the replays of the policies that try to find out who is right.
func (b *bench) deciding() []vote.Result {
	var out []vote.Result
	for _, r := range b.replays {
		if p, ok := vote.ByName(r.Policy); ok && p.Decides {
			out = append(out, r)
		}
	}
	return out
}

// checkVoteUndecided looks for times when voting rules could not choose.
func checkVoteUndecided(b *bench) verdict {
	if len(b.cells) < 2 {
		return doesNotApply("one cell needs no vote")
	}
	count := make([]int, len(b.tS))
	for _, r := range b.deciding() {
		for i, s := range r.State {
			if s == vote.Undecided {
				count[i]++
			}
		}
	}
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return count[i] >= 2 })
	var fs []Finding
	for _, e := range merge(lasting(ss, b.p.Limits.UndecidedAfterS), b.p.Limits.MergeS) {
		fs = append(fs, b.undecided(e))
	}
	return ran(b.usable(func(i int) bool { return !math.IsNaN(b.spread[i]) }), fs...)
}

func (b *bench) undecided(e span) Finding {
	var who []string
	for _, r := range b.deciding() {
		if slices.Contains(r.State[e.from:e.to+1], vote.Undecided) {
			who = append(who, r.Policy)
		}
	}
	w := max(extreme(b.spread, e, 1), e.from) // a lone reading has no spread
	return Finding{Kind: "vote-undecided", Severity: Caution, Confidence: Sure, WhySure: "replayed from the recorded readings, more than one rule",
		FromS: Float(e.fromS), ToS: Float(e.toS), Cells: b.numbers,
		Observed: fmt.Sprintf("From %s, for %s, the rules %s could not decide between the cells (%s at %s).", b.clock(e.fromS), duration(e.seconds()), wording.And(who), b.readingsText(w), b.clock(b.tS[w])),
		Onset:    at(b.spread, b.tS, e.from, "bar"), Worst: at(b.spread, b.tS, w, "bar"), End: at(b.spread, b.tS, e.to, "bar"),
		Limit: constant(b.p.Vote.OutBar, "bar"), LimitSource: "tolerance of the replayed vote", Others: b.othersText(e),
		Evidence: []string{"while undecided, exposure is counted with the highest reading and hypoxia judged with the lowest"}}
}

// checkVoteOrder asks whether the numbering of the cells changes the outcome of a vote in cell order.
func checkVoteOrder(b *bench) verdict {
	if len(b.cells) < 3 {
		return doesNotApply("fewer than three cells: the order can't matter")
	}
	var fs []Finding
	for _, r := range b.replays {
		ss := merge(b.spansOf(b.orders[r.Policy].Spans), b.p.Limits.MergeS)
		if len(ss) == 0 {
			continue
		}
		e := ss[0]
		for _, s := range ss {
			if s.seconds() > e.seconds() {
				e = s
			}
		}
		w := extreme(b.spread, e, 1)
		fs = append(fs, Finding{Kind: "vote-order-dependent", Severity: Caution, Confidence: Sure, WhySure: "the same readings in another order give another PO2",
			FromS: Float(e.fromS), ToS: Float(e.toS), Cells: b.numbers,
			Observed: fmt.Sprintf("Under %s the PO2 would have been another if the cells were numbered otherwise, for %s in all, longest from %s (%s at %s).", r.Policy,
				duration(totalSeconds(ss)), b.clock(e.fromS), b.readingsText(max(w, e.from)), b.clock(b.tS[max(w, e.from)])),
			Onset: noValue("bar"), Worst: at(r.PO2Bar, b.tS, max(w, e.from), "bar"), End: noValue("bar"),
			Limit: noValue("bar"), LimitSource: "any difference beyond rounding", Others: "the rules that judge all cells together do not depend on numbering"})
	}
	return ran(b.usable(func(i int) bool { return !math.IsNaN(b.spread[i]) }), fs...)
}

// checkUnitVote asks whether the recorded PO2 can come from the recorded cells.
func checkUnitVote(b *bench) verdict {
	u := b.dive.UnitPO2Bar
	if u == nil {
		return notAssessed("the log has no PO2 of the unit's own")
	}
	l := b.p.Limits
	off := make([]float64, len(u))
	for i, v := range u {
		off[i] = math.Max(v-b.highest[i], b.lowest[i]-v) // NaN where either is missing
	}
	fraction := b.usable(func(i int) bool { return !math.IsNaN(off[i]) })
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return off[i] > l.UnitDiffersBar+tol })
	ss = merge(lasting(ss, l.UnitDiffersAfterS), l.MergeS)
	if len(ss) == 0 {
		return ran(fraction)
	}
	e := span{from: ss[0].from, to: ss[len(ss)-1].to, fromS: ss[0].fromS, toS: ss[len(ss)-1].toS}
	w := extreme(off, e, 1)
	return ran(fraction, Finding{Kind: "unit-po2-unexplained", Severity: Note, Confidence: Likely, WhySure: "one line of evidence: the recorded figures",
		FromS: Float(e.fromS), ToS: Float(e.toS), Cells: b.numbers,
		Observed: fmt.Sprintf("The recorded PO2 lay outside the range of all cells by more than %s for %s in all; at most %s at %s (unit %s, %s).", bar(l.UnitDiffersBar),
			duration(totalSeconds(ss)), bar(off[w]), b.clock(b.tS[w]), bar(u[w]), b.readingsText(w)),
		Onset: at(off, b.tS, e.from, "bar"), Worst: at(off, b.tS, w, "bar"), End: at(off, b.tS, e.to, "bar"),
		Limit: constant(l.UnitDiffersBar, "bar"), LimitSource: "ours", Others: "no choice among the recorded cells gives that figure"})
}
