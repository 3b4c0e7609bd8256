package vote

// lowest is a bound: the least that was breathed, if at least one cell was right.
func lowest() Policy {
	return Policy{
		Name: "lowest",
		Rule: "The lowest reading.",
		New:  func(int, Params) Stepper { return boundVote{} },
	}
}

// boundVote takes an extreme reading; it always can, so it is never undecided
// while a cell is in.
type boundVote struct{ high bool }

func (v boundVote) Step(_ float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	if b.present == 0 {
		return none(b.barred)
	}
	voters, ok := b.voters()
	po2Bar, hi := b.extremes(voters)
	if v.high {
		po2Bar = hi
	}
	return b.decide(po2Bar, b.within(voters, po2Bar, po2Bar), b.barred, false, ok)
}
