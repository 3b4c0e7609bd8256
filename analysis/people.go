package analysis

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"afterloop/analysis/timeline"
	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// responsesNote is how the table of responses is to be read.
const responsesNote = "This table describes what could be seen in the readings and what was recorded. It judges nobody. " +
	"No action recorded is not the same as none taken: most of what a diver does leaves no trace in a log. " +
	"The action shown is the first recorded one that could serve; it may have had another reason."

// eventClass says which findings are events, and what they ask for.
var eventClass = map[string]timeline.Class{
	"low-oxygen": timeline.Low, "high-oxygen": timeline.High, "oxygen-supply-lost": timeline.Supply, "dead-valve": timeline.Supply, "leaking-valve": timeline.Leak,
	"cells-disagree": timeline.Cells, "vote-undecided": timeline.Cells, "vote-followed-wrong-cells": timeline.Cells, noCellFollows: timeline.Cells, "reading-above-ambient": timeline.Cells, "reading-at-limit": timeline.Cells,
	"slow-cell": timeline.Cells, "current-limited-cell": timeline.Cells, "miscalibrated-cell": timeline.Cells, "drifting-cell": timeline.Cells, "frozen-cell": timeline.Cells, "erratic-cell": timeline.Cells,
	"setpoint-not-held": timeline.Below, // or Above: by its sign
}

// describePeople sets beside each event what could be seen and what was recorded.
func (b *bench) describePeople() {
	out := &Responses{Note: responsesNote, Events: []Response{}}
	marks := b.allMarks()
	for i := range b.debrief.Findings {
		f := &b.debrief.Findings[i]
		if _, ok := eventClass[f.Kind]; !ok || f.Severity == Note || !f.FromS.Known() {
			continue
		}
		out.Events = append(out.Events, b.response(f, marks))
	}
	sort.SliceStable(out.Events, func(i, j int) bool { return out.Events[i].FromS < out.Events[j].FromS })
	b.debrief.Responses = out
}

// marks are what the record holds of the unit's vote, of notes and of actions, each in order of time.
type marks struct {
	votes, notes, actions []timeline.Mark
	hasVotes              bool
}

// moment is row i with the time that it looks back on.
func (b *bench) moment(i int) timeline.Moment {
	m := timeline.Moment{AtS: b.tS[i]}
	if i > 0 {
		m.BackS = b.tS[i] - b.tS[i-1]
	}
	return m
}

func (b *bench) allMarks() marks {
	var m marks
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		if c.Vote == nil {
			continue
		}
		m.hasVotes = true
		for i := 1; i < len(c.Vote); i++ {
			b.markVote(&m, c, i)
		}
	}
	taken := map[int]bool{}
	for _, e := range b.events {
		if a, ok := actionWords[timeline.Action(e.Kind)]; ok {
			m.actions = append(m.actions, timeline.Mark{Moment: b.moment(e.Row), Action: timeline.Action(e.Kind), Text: a})
		}
		taken[e.Row] = true
	}
	for _, n := range b.dive.Notes {
		if !taken[n.Row] { // a note that is one of the fixed words is an event
			m.notes = append(m.notes, timeline.Mark{Moment: b.moment(n.Row), Text: n.Text})
		}
	}
	b.markRows(&m)
	b.markAscents(&m)
	for _, s := range [][]timeline.Mark{m.votes, m.notes, m.actions} {
		sort.SliceStable(s, func(i, j int) bool { return s[i].AtS < s[j].AtS })
	}
	return m
}

// actionWords are the events of a log that are actions, in words.
var actionWords = map[timeline.Action]string{
	timeline.Bailout: "bailout", timeline.DiluentFlush: "diluent flush", timeline.OxygenFlush: "oxygen flush",
	timeline.ManualOxygen: "oxygen by hand", timeline.ManualDiluent: "diluent by hand",
}

// markVote notes where the unit's vote on a cell changed at row i.
func (b *bench) markVote(m *marks, c *ingest.Cell, i int) {
	was, is := c.Vote[i-1], c.Vote[i]
	if was == is || is == ingest.VoteNotRecorded {
		return
	}
	mark := timeline.Mark{Moment: b.moment(i), Cell: c.Number}
	switch is {
	case ingest.VoteOut:
		mark.Text = fmt.Sprintf("the unit voted cell %d out", c.Number)
		m.votes = append(m.votes, mark)
	case ingest.VoteManualIn, ingest.VoteManualOut:
		mark.Action, mark.Text = timeline.ManualVote, fmt.Sprintf("cell %d voted %s by hand", c.Number, strings.TrimPrefix(is.String(), "manual_"))
		m.actions = append(m.actions, mark)
	}
}

// markRows finds changes of set point and of what was breathed.
func (b *bench) markRows(m *marks) {
	was := math.NaN()
	for i := range b.tS {
		if sp := b.dive.SetPointBar; sp != nil && !math.IsNaN(sp[i]) {
			if math.Abs(sp[i]-was) > tol {
				a := timeline.SetPointUp
				if sp[i] < was {
					a = timeline.SetPointDown
				}
				m.actions = append(m.actions, timeline.Mark{Moment: b.moment(i), Action: a, Text: fmt.Sprintf("set point from %.2f to %.2f bar, by the diver or by the unit: the log does not say", was, sp[i])})
			}
			was = sp[i]
		}
		if i > 0 && b.onLoop[i-1] && !b.onLoop[i] && !b.eventAt(i, ingest.Bailout) {
			m.actions = append(m.actions, timeline.Mark{Moment: b.moment(i), Action: timeline.Bailout, Text: actionWords[timeline.Bailout]})
		}
	}
}

// eventAt tells whether the log has the event on a row.
func (b *bench) eventAt(row int, kind ingest.EventKind) bool {
	for _, e := range b.events {
		if e.Row == row && e.Kind == kind {
			return true
		}
	}
	return false
}

// markAscents finds where ascents began; depth over a window says so, so that the
// moment is known to half of it.
func (b *bench) markAscents(m *marks) {
	for _, s := range tracking.PhaseSpans(b.tS, b.phases, b.gapAfter) {
		if i := b.rowAt(s.FromS); s.Phase == tracking.Ascent && i < len(b.tS) {
			at := b.moment(i)
			at.BackS += b.p.Tracking.RateWindowS / 2
			m.actions = append(m.actions, timeline.Mark{Moment: at, Action: timeline.Ascent, Text: "an ascent began"})
		}
	}
}

// response is one event with what was recorded.
func (b *bench) response(f *Finding, m marks) Response {
	first, last, by := b.visible(f)
	e := timeline.Event{Class: eventClass[f.Kind], FromS: float64(f.FromS), Visible: timeline.Moment{AtS: math.NaN()}, VisibleToS: math.NaN()}
	if f.Kind == "setpoint-not-held" && f.Worst.Value > 0 {
		e.Class = timeline.Above
	}
	if first >= 0 {
		e.Visible, e.VisibleToS = b.moment(first), b.tS[last]
	}
	r := Response{Finding: f.ID, Kind: f.Kind, Title: f.Title, FromS: f.FromS, ToS: f.ToS, VisibleS: Float(e.Visible.AtS), VisibleBy: by}
	r.Recorded = b.unitVote(f, e, m)
	const noNote, noAction = "no note recorded", "no action recorded"
	r.Noted = b.noted(e, recorded(e, m.notes, timeline.First(e, m.notes, b.p.Responses, func(timeline.Mark) bool { return true }), noNote))
	r.Action = recorded(e, m.actions, timeline.FirstAction(e, m.actions, b.p.Responses), noAction)
	return r
}

// recorded is mark k with its delay, or what says that there is none.
func recorded(e timeline.Event, ms []timeline.Mark, k int, none string) Recorded {
	if !e.Seen() {
		none = "nothing is set beside what could not be seen"
	}
	if k < 0 {
		return Recorded{unknown, none, Interval{unknown, unknown, unknown, none}}
	}
	d := timeline.Between(e.Visible, ms[k].Moment)
	return Recorded{Float(ms[k].AtS), ms[k].Text, Interval{Float(d.S), Float(max(0, d.LowS)), Float(d.HighS), ""}}
}

// noted words a note as what it is: the next in the log. Nothing says that it
// belongs to the event, so that a time since is given only where it was written
// soon after the event could be seen.
func (b *bench) noted(e timeline.Event, r Recorded) Recorded {
	if !r.AtS.Known() {
		return r
	}
	r.What = fmt.Sprintf("next note in the log: \u201c%s\u201d (may not belong)", r.What)
	if w := b.p.Responses.NoteWindowS; float64(r.AtS)-e.Visible.AtS > w+tol {
		r.DelayS = noInterval(fmt.Sprintf("the note came more than %s after the event could be seen: no time is set beside it", duration(w)))
	}
	return r
}

// unitVote is what the unit's vote recorded of an event about cells.
func (b *bench) unitVote(f *Finding, e timeline.Event, m marks) Recorded {
	switch {
	case e.Class != timeline.Cells:
		return Recorded{unknown, "a vote does not record this", noInterval("a vote does not record this")}
	case !m.hasVotes:
		return Recorded{unknown, "the unit's vote was not recorded", noInterval("the unit's vote was not recorded")}
	}
	if n := b.outAlready(f, e); n > 0 {
		why := fmt.Sprintf("cell %d was voted out already", n)
		return Recorded{unknown, why, noInterval(why)}
	}
	concerned := func(x timeline.Mark) bool { return f.Cell == nil || *f.Cell == x.Cell }
	return recorded(e, m.votes, timeline.First(e, m.votes, b.p.Responses, concerned), "no vote against a cell of this event recorded")
}

// outAlready is the cell that the event names, where the unit had it out before the
// event could be seen; else 0.
func (b *bench) outAlready(f *Finding, e timeline.Event) int {
	if f.Cell == nil || !e.Seen() {
		return 0
	}
	i := b.rowAt(e.Visible.AtS)
	for k := range b.dive.Cells {
		if c := &b.dive.Cells[k]; c.Number == *f.Cell && c.Vote != nil && i > 0 && isVotedOut(c.Vote[i-1]) {
			return c.Number
		}
	}
	return 0
}

func isVotedOut(v ingest.UnitVote) bool { return v == ingest.VoteOut || v == ingest.VoteManualOut }
