package injection

import (
	"fmt"
	"math"
)

// Turns is what can be said of doubled valves that take turns.
type Turns struct {
	// Alternate is true where the valves take turns: at least TurnsShare of
	// successive openings change valve.
	Alternate bool
	// Taken and Missed count by valve, in the order of Input.Valves. A turn is
	// taken when a valve opens after the one before it in the order of numbers. A
	// turn is missed when it was a valve's turn, another opened instead, and PO2
	// lay below the set point by more than TurnNeedBar from the one opening to the
	// other: while PO2 was high enough no valve had a turn to miss. Openings that
	// share a row have no known order and miss nothing.
	Taken, Missed []int
	// Reason says why there is nothing to count.
	Reason string
}

// CountTurns applies that rule to openings as [Openings] lists them.
func CountTurns(in Input, openings []Opening, p Params) Turns {
	n := len(in.Valves)
	t := Turns{Taken: make([]int, n), Missed: make([]int, n)}
	switch {
	case n < 2:
		t.Reason = "fewer than two valves"
		return t
	case len(openings) < p.TurnsMin:
		t.Reason = fmt.Sprintf("%d openings; at least %d are needed", len(openings), p.TurnsMin)
		return t
	}
	changes := 0
	for k := 1; k < len(openings); k++ {
		if openings[k].Valve != openings[k-1].Valve {
			changes++
		}
	}
	share := float64(changes) / float64(len(openings)-1)
	if share < p.TurnsShare {
		t.Reason = fmt.Sprintf("the valve changes at %.0f %% of the openings: they do not take turns", 100*share)
		return t
	}
	t.Alternate = true
	index := map[int]int{}
	for k, v := range in.Valves {
		index[v.Number] = k
	}
	for k := 1; k < len(openings); k++ {
		t.count(in, openings, k, index, p)
	}
	return t
}

// count judges the opening k against the one before.
func (t *Turns) count(in Input, openings []Opening, k int, index map[int]int, p Params) {
	n := len(t.Taken)
	before, now := index[openings[k-1].Valve], index[openings[k].Valve]
	due := (before + 1) % n
	if due == now {
		t.Taken[now]++
		return
	}
	if !neededThroughout(in, openings[k-1], openings[k], p) {
		return
	}
	for ; due != now; due = (due + 1) % n {
		if !sharesRow(openings, k, in.Valves[due].Number) {
			t.Missed[due]++
		}
	}
}

// neededThroughout tells whether PO2 stayed below the set point between two openings.
func neededThroughout(in Input, a, b Opening, p Params) bool {
	if !unbroken(in, a.firstRow, b.firstRow) || in.SetPointBar == nil || in.PO2Bar == nil {
		return false
	}
	for i := a.firstRow; i < b.firstRow; i++ {
		if e := in.SetPointBar[i] - in.PO2Bar[i]; math.IsNaN(e) || e <= p.TurnNeedBar {
			return false
		}
	}
	return true
}

// sharesRow tells whether an opening of the valve next to the pair k-1, k lies in
// the same rows, so that its place in the order is not known.
func sharesRow(openings []Opening, k, valve int) bool {
	for _, j := range []int{k - 2, k + 1} {
		if j >= 0 && j < len(openings) && openings[j].Valve == valve &&
			openings[j].lastRow >= openings[k-1].firstRow && openings[j].firstRow <= openings[k].lastRow {
			return true
		}
	}
	return false
}
