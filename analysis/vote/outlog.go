package vote

import (
	"fmt"
	"math/bits"
)

// outLog writes down when cells go out, why, and when they return.
type outLog struct {
	in      Input
	row     *row
	p       Params
	explain Explainer // nil where the policy gives no causes

	out       uint64 // now, in the current stretch without gaps
	carried   uint64 // out when the last gap began
	since     []open // by cell
	outs      []Out
	reminders []Reminder
}

// open is a stretch that has not ended: its index in outs, and whether its
// reminder was given.
type open struct {
	index    int
	reminded bool
}

func explainerOf(s Stepper) Explainer {
	e, _ := s.(Explainer)
	return e
}

// add takes the decision on row i.
func (l *outLog) add(i int, d Decision) {
	tS := l.in.TimeS[i]
	l.end(l.out&^d.Out, tS)
	for begun := d.Out &^ l.out; begun != 0; begun &= begun - 1 {
		k := bits.TrailingZeros64(begun)
		l.since[k] = open{index: len(l.outs)}
		l.outs = append(l.outs, Out{Cell: l.in.Numbers[k], FromS: tS, ToS: tS, Reason: l.reason(k, d)})
	}
	l.out, l.carried = d.Out, 0
	l.remind(tS)
	if l.in.endsAt(i) {
		l.end(l.out, tS)
		l.out, l.carried = 0, l.out
	}
}

// end closes the stretches of a set of cells.
func (l *outLog) end(set uint64, tS float64) {
	for ; set != 0; set &= set - 1 {
		l.outs[l.since[bits.TrailingZeros64(set)].index].ToS = tS
	}
}

// remind notes the cells that have been out for the time of a reminder.
func (l *outLog) remind(tS float64) {
	if l.p.ReminderAfterS <= 0 {
		return
	}
	for set := l.out; set != 0; set &= set - 1 {
		k := bits.TrailingZeros64(set)
		s := &l.since[k]
		if fromS := l.outs[s.index].FromS; !s.reminded && tS-fromS >= l.p.ReminderAfterS-1e-9 {
			s.reminded = true
			l.reminders = append(l.reminders, Reminder{Cell: l.in.Numbers[k], AtS: tS, OutSinceS: fromS})
		}
	}
}

// reason says why cell k went out on the current row.
func (l *outLog) reason(k int, d Decision) string {
	number := l.in.Numbers[k]
	switch {
	case l.carried>>k&1 == 1:
		return fmt.Sprintf("cell %d is still out after a gap in the record", number)
	case l.row.manual != nil && l.row.manual[k] == ManualOut:
		return fmt.Sprintf("cell %d was voted out by hand", number)
	}
	if l.explain != nil {
		if c := l.explain.Why(k); c.Against != 0 {
			return c.text(k, l.in.Numbers)
		}
	}
	return fmt.Sprintf("cell %d reads %.2f bar, the policy gives %.2f bar", number, l.row.readings[k], d.PO2Bar)
}
