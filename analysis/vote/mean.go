package vote

// mean lets every cell count, the failed ones too.
func mean() Policy {
	return Policy{
		Name: "mean",
		Rule: "The mean of all readings.",
		New:  func(_ int, p Params) Stepper { return meanVote{p} },
	}
}

type meanVote struct{ p Params }

func (v meanVote) Step(_ float64, readings []float64, manual []Manual) Decision {
	b := newBallot(readings, manual)
	if b.present == 0 {
		return none(b.barred)
	}
	voters, ok := b.voters()
	po2Bar := b.mean(voters)
	return b.decide(po2Bar, voters, b.barred, b.spreadOver(voters, po2Bar, v.p), ok)
}
