package whatif

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// Run runs a recorded dive again. The error says what is wrong with the changes, or that
// they name a part that the log does not hold; a dive that can't be simulated is no error:
// the result says why.
func Run(d *ingest.Dive, p analysis.Parameters, w Params, ch Changes) (*Report, error) {
	return runAgain(d, p, w, ch, func() (*analysis.Debrief, analysis.Evidence) { return analysis.AnalyzeDeep(d, p) })
}

// RunDoubled is [Run] of a dive that two halves recorded, each in a log of its own. One
// vote over the cells of both is replayed and simulated, whichever half was in control.
func RunDoubled(j *analysis.Doubled, p analysis.Parameters, w Params, ch Changes) (*Report, error) {
	return runAgain(j.Dive, p, w, ch, func() (*analysis.Debrief, analysis.Evidence) { return analysis.AnalyzeDoubledDeep(j, p) })
}

func runAgain(d *ingest.Dive, p analysis.Parameters, w Params, ch Changes, analyze func() (*analysis.Debrief, analysis.Evidence)) (*Report, error) {
	if ch.Kind == "" {
		ch.Kind = Both
	}
	if err := ch.Check(); err != nil {
		return nil, err
	}
	if d.Rows() == 0 {
		return nil, errors.New("the log has no rows")
	}
	b := &bench{d: d, p: p, w: w}
	b.deb, b.ev = analyze()
	d, b.d = b.ev.Dive, b.ev.Dive
	res, err := ch.resolve(d, b.ev.Vote.Numbers)
	if err != nil {
		return nil, err
	}
	r := &Report{Schema: SchemaID, Tool: b.deb.Tool, Sources: b.deb.Sources, Kind: ch.Kind, Changes: res.texts, Dive: b.deb.Dive,
		Safety: Safety, Problems: b.deb.Problems, Definitions: Definitions(),
		Parameters: Parameters{w, p.Vote, Float(p.Gas.VapourBar), p.Limits}}
	b.recorded(r)
	r.Series = b.series()
	if ch.Kind != Closed {
		r.Replay = b.replay(r, ch, res)
	}
	if ch.Kind != Open {
		r.Simulation = b.simulation(r, ch, res)
	}
	r.Assumptions = b.assumptions(r, res)
	r.CannotTell = cannotTell(r)
	r.Words = b.words(r, res)
	return r, nil
}

// series starts the columns.
func (b *bench) series() *Series {
	s := b.deb.Series
	return &Series{TimeS: s.TimeS, DepthM: s.DepthM, SetBar: s.SetPointBar, EstimateBar: s.EstimateBar, EstimateLowBar: s.EstimateLowBar, EstimateHighBar: s.EstimateHighBar,
		UnitBar: s.UnitPO2Bar, OnLoop: b.ev.Record.OnLoop, GapAfter: s.GapAfter}
}

// recorded describes the dive as it was.
func (b *bench) recorded(r *Report) {
	rec := &r.Recorded
	rec.Policy, rec.Alike, rec.PolicyBasis = b.policy()
	if !b.ev.Diagnosed {
		return
	}
	open, gave := 0.0, 0.0
	for _, v := range b.d.Valves {
		o := make([]float64, len(b.d.TimeS))
		for i, s := range v.OpenS {
			if s > 0 {
				o[i] = s
			}
		}
		g := delivered(b.d.TimeS, o, v.Number, b.ev.Valves)
		for i := range o {
			open, gave = open+o[i], gave+g[i]
		}
	}
	if len(b.d.Valves) == 0 {
		open, gave = math.NaN(), math.NaN()
	}
	l := b.loopOf(b.ev.Estimate.PO2Bar, b.d.SetPointBar, b.ev.Record.OnLoop, open, gave)
	rec.Loop = &l
	if u := b.d.UnitPO2Bar; u != nil {
		v := Vote{Policy: "unit", Rule: "what the unit recorded that it controlled on", Params: b.p.Vote, Cells: b.ev.Vote.Numbers, UndecidedS: only(math.NaN()), NoneS: only(math.NaN()),
			VotedOut: []analysis.VotedOut{}, Reminders: []Float{}}
		b.distance(&v, u, b.ev.Estimate.PO2Bar, b.outsideBand(u), b.ev.Record.OnLoop)
		rec.Unit = &v
	}
}

// policy is the rule that comes nearest to the unit's PO2, and those that come as near.
func (b *bench) policy() (name string, alike []string, basis string) {
	if b.d.UnitPO2Bar == nil {
		return "mid-value", []string{}, "the unit's PO2 was not recorded: mid-value is assumed"
	}
	least := math.Inf(1)
	for _, v := range b.deb.Votes {
		if _, ok := vote.ByName(v.Policy); ok && float64(v.MeanAbsDifferenceFromUnitBar) < least {
			name, least = v.Policy, float64(v.MeanAbsDifferenceFromUnitBar)
		}
	}
	if name == "" {
		return "mid-value", []string{}, "the unit's PO2 can't be compared with any rule: mid-value is assumed"
	}
	alike = []string{}
	for _, v := range b.deb.Votes {
		if _, ok := vote.ByName(v.Policy); ok && v.Policy != name && float64(v.MeanAbsDifferenceFromUnitBar) <= least+b.w.AlikeBar {
			alike = append(alike, v.Policy)
		}
	}
	basis = fmt.Sprintf("it comes nearest to the unit's PO2 of all rules: %.4f bar on average", least)
	if len(alike) > 0 {
		basis += fmt.Sprintf("; %s came within %g bar of that, and the dive can't tell them apart", strings.Join(alike, ", "), b.w.AlikeBar)
	}
	if least > 0.03 { // three steps of the usual rounding: ours
		basis += "; none of them reproduces it well: the unit may vote in another way"
	}
	return name, alike, basis
}

// replay is the vote on the recorded readings.
func (b *bench) replay(r *Report, ch Changes, res resolved) *Replay {
	out := &Replay{Mark: ReplayMark, DiffersS: unknown, FirstDiffersS: unknown, MaxDifference: analysis.Value{Value: unknown, Unit: "bar", AtS: unknown}}
	if len(b.ev.Vote.Cells) == 0 {
		out.Reason = "the log has no cells"
		return out
	}
	pol, _ := vote.ByName(r.Recorded.Policy)
	before := vote.Replay(pol, b.ev.Vote, b.p.Vote)
	original := b.voteOf(before, b.p.Vote)
	out.Original = &original
	r.Series.OriginalBar, r.Series.OriginalState = before.PO2Bar, before.State
	if !ch.ofVote() {
		out.Reason = "none of the changes means anything in a replay: they change the loop, and a replay takes the readings as they are"
		return out
	}
	changedPol, params := b.changedVote(r.Recorded.Policy, ch)
	after := vote.Replay(changedPol, lostInput(b.ev.Vote, res), params)
	changed := b.voteOf(after, params)
	out.Assessed, out.Changed = true, &changed
	r.Series.ChangedBar, r.Series.ChangedState = after.PO2Bar, after.State
	b.compare(out, before, after)
	return out
}

// changedVote is the rule and its tolerances with the changes.
func (b *bench) changedVote(recorded string, ch Changes) (vote.Policy, vote.Params) {
	name, params := recorded, b.p.Vote
	if ch.Policy != "" {
		name = ch.Policy
	}
	if ch.Vote != nil {
		params = *ch.Vote
	}
	pol, _ := vote.ByName(name)
	return pol, params
}

// compare says how far two replays lie apart.
func (b *bench) compare(out *Replay, before, after vote.Result) {
	gap := b.d.GapAfter()
	differs, worst := 0.0, -1
	for i := range before.PO2Bar {
		d := math.Abs(after.PO2Bar[i] - before.PO2Bar[i])
		one := math.IsNaN(after.PO2Bar[i]) != math.IsNaN(before.PO2Bar[i])
		if (d > tolBar || one || before.State[i] != after.State[i]) && !out.FirstDiffersS.Known() {
			out.FirstDiffersS = Float(b.d.TimeS[i])
		}
		if d > b.w.FollowedBar+tolBar || one {
			differs += analysis.RowSeconds(b.d.TimeS, gap, i)
		}
		if !math.IsNaN(d) && (worst < 0 || d > math.Abs(after.PO2Bar[worst]-before.PO2Bar[worst])) {
			worst = i
		}
	}
	out.DiffersS = Float(differs)
	if worst >= 0 {
		out.MaxDifference = analysis.Value{Value: Float(after.PO2Bar[worst] - before.PO2Bar[worst]), Unit: "bar", AtS: Float(b.d.TimeS[worst])}
	}
}

// lostInput is the vote's input without the cells that are left out, and without the
// readings of those that are lost.
func lostInput(in vote.Input, res resolved) vote.Input {
	out := vote.Input{TimeS: in.TimeS, GapAfter: in.GapAfter}
	for i, k := range res.cells {
		readings := in.Cells[k]
		if !math.IsInf(res.loseAtS[i], 1) {
			readings = append([]float64(nil), readings...)
			for j, t := range in.TimeS {
				if t >= res.loseAtS[i] {
					readings[j] = math.NaN()
				}
			}
		}
		out.Cells, out.Numbers = append(out.Cells, readings), append(out.Numbers, in.Numbers[k])
		if in.Manual != nil {
			out.Manual = append(out.Manual, in.Manual[k])
		}
	}
	return out
}
