package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// prepareVote replays every registered policy over the chosen cells.
func (b *bench) prepareVote() {
	in := b.voteInput()
	b.orders = map[string]vote.Order{}
	policies := vote.Policies()
	b.replays = make([]vote.Result, len(policies))
	orders := make([]vote.Order, len(policies))
	each(len(policies), func(i int) {
		b.replays[i] = vote.Replay(policies[i], in, b.p.Vote)
		if policies[i].OrderDependent {
			orders[i] = vote.OrderDependent(policies[i], in, b.p.Vote)
		}
	})
	for i, p := range policies {
		if p.OrderDependent {
			b.orders[p.Name] = orders[i]
		}
	}
}

// voteInput is the record as package vote wants it.
func (b *bench) voteInput() vote.Input {
	return vote.Input{TimeS: b.tS, Cells: b.cells, Numbers: b.numbers, Manual: b.manualVotes(), GapAfter: b.gapAfter}
}

// manualVotes are the diver's own, as the unit recorded them; nil where there are none.
func (b *bench) manualVotes() [][]vote.Manual { return b.manualVotesOf(b.numbers) }

// manualVotesOf are those on some of the cells, in the order of the log.
func (b *bench) manualVotesOf(numbers []int) [][]vote.Manual {
	var out [][]vote.Manual
	any := false
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		if !slices.Contains(numbers, c.Number) {
			continue
		}
		m := make([]vote.Manual, len(b.tS))
		for i := range c.Vote {
			switch c.Vote[i] {
			case ingest.VoteManualIn:
				m[i], any = vote.ManualIn, true
			case ingest.VoteManualOut:
				m[i], any = vote.ManualOut, true
			case ingest.VoteNotRecorded: // a manual vote stands until revoked
				if i > 0 {
					m[i] = m[i-1]
				}
			}
		}
		out = append(out, m)
	}
	if !any {
		return nil
	}
	return out
}

// describeVotes turns the replays into the debrief's votes.
func (b *bench) describeVotes() {
	for i := range b.replays {
		r := &b.replays[i]
		v := Vote{Policy: r.Policy, Rule: ruleOf(r.Policy), Cells: b.numbers, VotedOut: []VotedOut{}, Undecided: []Span{}, Reminders: []Float{},
			UndecidedS: Float(r.UndecidedS), NoneS: Float(r.NoneS), OrderDependent: b.orders[r.Policy].Dependent,
			KeptFalseS: unknown, VotedOutTrueS: unknown, MeanAbsDifferenceFromEstimateBar: unknown}
		for _, o := range r.VotedOut {
			v.VotedOut = append(v.VotedOut, VotedOut{o.Cell, Float(o.FromS), Float(o.ToS), o.Reason})
		}
		for _, u := range r.Undecided {
			v.Undecided = append(v.Undecided, Span{Float(u.FromS), Float(u.ToS)})
		}
		for _, m := range r.Reminders {
			v.Reminders = append(v.Reminders, Float(m.AtS))
		}
		b.compareWithUnit(r.PO2Bar, &v)
		b.costOfVote(r, &v)
		b.debrief.Votes = append(b.debrief.Votes, v)
	}
}

// ruleOf is what a policy does, in one sentence.
func ruleOf(policy string) string {
	if p, ok := vote.ByName(policy); ok {
		return p.Rule
	}
	return modelRules[policy]
}

// compareWithUnit says how far a replay lies from the PO2 that the unit recorded, and when.
func (b *bench) compareWithUnit(po2 []float64, v *Vote) {
	v.MeanAbsDifferenceFromUnitBar, v.MaxAbsDifferenceFromUnit, v.DiffersFromUnit = unknown, noValue("bar"), []Span{}
	u := b.dive.UnitPO2Bar
	if u == nil {
		return
	}
	diff := make([]float64, len(u))
	for i := range u {
		diff[i] = math.Abs(po2[i] - u[i])
	}
	v.MeanAbsDifferenceFromUnitBar = Float(b.timeMean(diff))
	if w := extreme(diff, span{from: 0, to: len(diff) - 1}, 1); w >= 0 {
		v.MaxAbsDifferenceFromUnit = at(diff, b.tS, w, "bar")
	}
	l := b.p.Limits
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return diff[i] > l.UnitDiffersBar+tol })
	for _, s := range merge(lasting(ss, l.UnitDiffersAfterS), l.UnitDiffersAfterS) {
		v.DiffersFromUnit = append(v.DiffersFromUnit, Span{Float(s.fromS), Float(s.toS)})
	}
}

// timeMean is the mean of v weighed by the time that each row holds, leaving out NaN.
func (b *bench) timeMean(v []float64) float64 {
	var sum, time float64
	for i, x := range v {
		if !math.IsNaN(x) {
			w := rowSeconds(b.tS, b.gapAfter, i)
			sum, time = sum+x*w, time+w
		}
	}
	if time == 0 {
		return math.NaN()
	}
	return sum / time
}

// spansOf turns spans of time into spans of rows.
func (b *bench) spansOf(ss []vote.Span) []span {
	var out []span
	i := 0
	for _, s := range ss {
		for i < len(b.tS) && b.tS[i] < s.FromS {
			i++
		}
		j := i
		for j+1 < len(b.tS) && b.tS[j+1] < s.ToS {
			j++
		}
		out = append(out, span{i, j, s.FromS, s.ToS})
	}
	return out
}
