package vote

// highest is a bound: the most that was breathed, if at least one cell was right.
func highest() Policy {
	return Policy{
		Name: "highest",
		Rule: "The highest reading.",
		New:  func(int, Params) Stepper { return boundVote{high: true} },
	}
}
