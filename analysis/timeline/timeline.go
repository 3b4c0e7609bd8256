// Package timeline sets moments beside one another: when something could be seen,
// when the unit recorded it, when an action was recorded.
//
// The question it answers: how much time lay between them, as far as this record
// can tell? It describes; it judges nobody. An action that was not recorded may
// have been taken all the same, and one that was recorded may have had another
// reason: the first recorded action that could serve is set beside an event by a
// stated table ([Serving]), and is never claimed to have been its consequence.
//
// A moment in a record is the end of a row: what it shows happened since the row
// before. The time from moment A to moment B is therefore an interval,
//
//	B - A - (what row B looks back on)   to   B - A + (what row A looks back on)
//
// The package is pure and knows nothing of cells or gases: what could be seen when
// is its caller's finding.
package timeline

import "math"

// Params are the thresholds of this package.
type Params struct {
	// HorizonS is how long after an event could first be seen an action may be set
	// beside it, s; while it could still be seen, longer. Default 600, ours.
	HorizonS float64 `json:"horizon_s"`
	// NoteWindowS is how long after an event could first be seen a note is given with
	// the time between, s; a later one is only the next note. Default 120, ours.
	NoteWindowS float64 `json:"note_window_s"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params { return Params{HorizonS: 600, NoteWindowS: 120} }

// Class is what an event asks for.
type Class string

// The classes of events.
const (
	Low    Class = "low"    // too little oxygen
	High   Class = "high"   // too much
	Below  Class = "below"  // PO2 below the set point
	Above  Class = "above"  // PO2 above the set point
	Cells  Class = "cells"  // cells or the vote can't be relied on
	Supply Class = "supply" // no oxygen comes, or not by this valve
	Leak   Class = "leak"   // oxygen comes by itself
)

// Action is a kind of recorded action.
type Action string

// The actions that a record can hold.
const (
	Bailout       Action = "bailout"
	DiluentFlush  Action = "diluent_flush"
	OxygenFlush   Action = "oxygen_flush"
	ManualOxygen  Action = "manual_oxygen"
	ManualDiluent Action = "manual_diluent"
	SetPointUp    Action = "setpoint_up"
	SetPointDown  Action = "setpoint_down"
	ManualVote    Action = "manual_vote"
	Ascent        Action = "ascent"
)

// Serving lists the actions that could serve in an event of a class. Ours, after
// common practice; the training held and the unit's own procedure come first.
func Serving(c Class) []Action {
	switch c {
	case Low:
		return []Action{Bailout, DiluentFlush, OxygenFlush, ManualOxygen, SetPointUp}
	case High:
		return []Action{Bailout, DiluentFlush, ManualDiluent, SetPointDown, Ascent}
	case Below: // a change of set point would be the event itself
		return []Action{Bailout, OxygenFlush, ManualOxygen}
	case Above:
		return []Action{Bailout, DiluentFlush, ManualDiluent, Ascent}
	case Cells:
		return []Action{Bailout, DiluentFlush, OxygenFlush, ManualVote, SetPointDown, Ascent}
	case Supply:
		return []Action{Bailout, DiluentFlush, OxygenFlush, ManualOxygen, Ascent}
	case Leak:
		return []Action{Bailout, DiluentFlush, ManualDiluent, SetPointDown, Ascent}
	}
	return nil
}

// Moment is a row of the record; BackS is what it looks back on: the time since
// the row before, or more where the moment is known less well.
type Moment struct{ AtS, BackS float64 }

// Event is something that could be seen, or not.
type Event struct {
	Class Class
	FromS float64
	// Visible is when it could first be seen, VisibleToS when last; AtS is NaN where it
	// could not.
	Visible    Moment
	VisibleToS float64
}

// Seen tells whether it could be seen at all.
func (e Event) Seen() bool { return !math.IsNaN(e.Visible.AtS) }

// Mark is something that was recorded.
type Mark struct {
	Moment
	Action Action // of actions
	Cell   int    // that the mark is about; 0 for none
	Text   string // what was recorded, in words
}

// Delay is the time between two moments with its bounds, s; NaN where one is not known.
type Delay struct{ S, LowS, HighS float64 }

// Between is the time from a to b.
func Between(a, b Moment) Delay {
	d := b.AtS - a.AtS
	return Delay{d, d - b.BackS, d + a.BackS}
}

// First is the first of the marks, which are in order of time, that may be set
// beside the event: not before it could be seen, and while it could still be seen
// or within HorizonS, and accepted by ok. -1 where there is none, and for an event
// that could not be seen.
func First(e Event, marks []Mark, p Params, ok func(Mark) bool) int {
	last := math.Max(e.Visible.AtS+p.HorizonS, e.VisibleToS)
	for k, m := range marks {
		if m.AtS >= e.Visible.AtS && m.AtS <= last && ok(m) {
			return k
		}
	}
	return -1
}

// FirstAction is the first recorded action that could serve, or -1.
func FirstAction(e Event, actions []Mark, p Params) int {
	serving := Serving(e.Class)
	return First(e, actions, p, func(m Mark) bool {
		for _, a := range serving {
			if a == m.Action {
				return true
			}
		}
		return false
	})
}
