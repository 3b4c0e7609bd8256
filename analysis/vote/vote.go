// Package vote answers what a rebreather's sensor vote does with the readings of
// its cells: who counts, what PO2 comes out, and when the rule can't choose.
//
// A [Policy] is a rule; [Replay] runs it over a recorded dive, and every policy
// over the same record, so that they can be compared. A new policy is one file and
// one line in registry.go.
//
// Voting may fail where two or more cells show the same wrong value (Sieber,
// L'Abbate and Bedini, Diving and Hyperbaric Medicine, 2008/9). Nothing here says
// which cell is right: that needs the physics of the loop. And a replay on logged
// rows can't reproduce a unit that votes between rows or before rounding.
//
// Readings are PO2 in bar, times seconds. The rules are common practice and the
// classic ones of redundant measurement (mid-value select, mean, majority); their
// defaults are stated in [Params].
package vote

// tolerance keeps rounding from deciding: within is at most a limit + 1e-6 bar,
// out more than that, in again less than the limit - 1e-6, tied at most 1e-6 apart.
const tolerance = 1e-6

// MaxCells is the number of cells that a vote can hold; further ones take no part.
const MaxCells = 64

// Params are the limits of the policies.
type Params struct {
	// OutBar is the distance in bar beyond which a cell disagrees. Default 0.20,
	// common practice.
	OutBar float64 `json:"out_bar"`
	// InBar is the distance in bar below which a cell that is out returns. Default
	// 0.15, ours: less than OutBar, so that noise at the limit does not make it come
	// and go.
	InBar float64 `json:"in_bar"`
	// Relative times the mean of the other cells takes the place of OutBar and of
	// InBar where it is larger. Default 0 (none), ours.
	Relative float64 `json:"relative"`
	// OutAfterS is how long in seconds a cell must disagree before it goes out, and
	// InAfterS how long it must be near before it returns. Default 0, ours.
	OutAfterS float64 `json:"out_after_s"`
	InAfterS  float64 `json:"in_after_s"`
	// ReminderAfterS is how long in seconds a cell stays out before a reminder; 0 or
	// less for none. Default 300, ours.
	ReminderAfterS float64 `json:"reminder_after_s"`
}

// DefaultParams are the defaults named at each field.
func DefaultParams() Params {
	return Params{OutBar: 0.20, InBar: 0.15, ReminderAfterS: 300}
}

// outTolerance is how far a cell may lie from others whose mean is meanBar.
func (p Params) outTolerance(meanBar float64) float64 { return max(p.OutBar, p.Relative*meanBar) }

// inTolerance is how near a cell must come to others whose mean is meanBar.
func (p Params) inTolerance(meanBar float64) float64 { return max(p.InBar, p.Relative*meanBar) }

// State is how a vote ended.
type State uint8

// The three states.
const (
	// None: no cell had a reading.
	None State = iota
	// Undecided: the rule can't choose, or the cells that count lie further apart than
	// the tolerance, or none of those that read counts.
	Undecided
	// Agreed: neither.
	Agreed
)

func (s State) String() string { return [...]string{"none", "undecided", "agreed"}[s] }

// Manual is the diver's own vote on a cell, in force at a row; it stands until
// revoked. ManualNone revokes it; the cell then keeps its place until the rule
// moves it.
type Manual uint8

// The words of a manual vote.
const (
	ManualNone Manual = iota
	// ManualIn: the cell is not voted out.
	ManualIn
	// ManualOut: the cell is out and not voted in.
	ManualOut
)

// Decision is the outcome of one vote.
type Decision struct {
	// PO2Bar is the rule's number; NaN in state None only.
	PO2Bar float64
	// LowBar and HighBar are, while undecided, the lowest and the highest reading
	// among the cells that are not voted out (of all that read where all are); else
	// both are PO2Bar.
	LowBar, HighBar float64
	State           State
	// In has bit k set where the k-th cell counts: its reading makes the number. It is
	// 0 where none of those that read is in; the number is then the rule's over all
	// readings, and the state Undecided.
	In uint64
	// Out has bit k set where the k-th cell is voted out, by the rule or by hand. A
	// cell that has no reading keeps its place; one that merely is not the median, say,
	// is neither in nor out.
	Out uint64
}

// Policy is a rule of voting.
type Policy struct {
	Name string
	// Rule says in one plain sentence what the policy does.
	Rule string
	// OrderDependent is true where the numbering of the cells can change the outcome.
	OrderDependent bool
	// Decides is true where the rule tries to find out which cells are right, so that
	// a row on which it can't choose says something of the cells; a mean or a bound
	// just computes.
	Decides bool
	// New starts a vote over a number of cells, all of them in.
	New func(cells int, p Params) Stepper
}

// Stepper votes row by row.
type Stepper interface {
	// Step votes at time tS (seconds, increasing) on one reading per cell; NaN or an
	// infinity is no reading. manual has one vote per cell, or is nil for none. It
	// keeps neither slice.
	Step(tS float64, readings []float64, manual []Manual) Decision
}

// Explainer is a [Stepper] that can say why it voted a cell out.
type Explainer interface {
	// Why is the cause that put the cell with the index k out; the zero value where
	// there is none.
	Why(k int) Cause
}

// Cause is what a cell was voted out for.
type Cause struct {
	// Against has bit k set for the k-th cell that it was compared with.
	Against uint64
	// From says what of these cells it was compared with, "the mean of" or "the
	// farthest of"; As what they are, such as "the closest pair", or is empty.
	From, As string
	// DistanceBar is how far the cell lay from that, LimitBar the limit.
	DistanceBar, LimitBar float64
}
