package injection

import "math"

// Supply is the oxygen that went into the loop by the valves' own account; what
// the cylinder says of it is package supply's.
type Supply struct {
	// OxygenL is commanded seconds times the stated flow, litres STPD. It is what
	// was asked for; a dead valve's seconds do not count where it is known.
	OxygenL      float64
	OxygenReason string
}

// supply adds up the oxygen.
func supply(in Input) Supply {
	s := Supply{OxygenL: math.NaN()}
	switch {
	case len(in.Valves) == 0:
		s.OxygenReason = "the log has no valve columns"
	case !(in.FlowLMin > 0):
		s.OxygenReason = "the oxygen flow is not stated"
	default:
		s.OxygenL = deliveredS(in) * in.FlowLMin / 60
	}
	return s
}

// deliveredS is the seconds commanded of valves not known to have failed.
func deliveredS(in Input) float64 {
	var sum float64
	for _, v := range in.Valves {
		for i := range in.TimeS {
			if !on(v.Failed, i, false) {
				sum += v.openS(i)
			}
		}
	}
	return sum
}
