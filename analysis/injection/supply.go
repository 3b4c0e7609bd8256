package injection

import "math"

// Supply is the oxygen that went into the loop, by two witnesses.
type Supply struct {
	// OxygenL is commanded seconds times the stated flow, litres STPD. It is what
	// was asked for; a dead valve's seconds do not count where it is known.
	OxygenL      float64
	OxygenReason string
	// CylinderUsedL is what the cylinder lost, litres STPD (approximately), and
	// CylinderLMin that per minute over the time between the readings.
	CylinderUsedL, CylinderLMin float64
	CylinderReason              string
}

// meanOverS is the time at each end over which the cylinder's pressure is averaged.
const meanOverS = 60

// supply adds up the oxygen. The cylinder gives
//
//	V_cyl (p_first - p_last) / 1.01325
//
// litres at 1 atm, taken as STPD: the cylinder's own temperature is not
// recorded, and a cooling of 10 C looks like 3 to 4 % of its pressure used.
func supply(in Input) Supply {
	s := Supply{OxygenL: math.NaN(), CylinderUsedL: math.NaN(), CylinderLMin: math.NaN()}
	switch {
	case len(in.Valves) == 0:
		s.OxygenReason = "the log has no valve columns"
	case !(in.FlowLMin > 0):
		s.OxygenReason = "the oxygen flow is not stated"
	default:
		s.OxygenL = deliveredS(in) * in.FlowLMin / 60
	}
	switch {
	case in.O2CylBar == nil:
		s.CylinderReason = "cylinder pressure was not recorded"
	case !(in.CylinderL > 0):
		s.CylinderReason = "the cylinder's volume is not stated"
	default:
		s.cylinder(in)
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

// cylinder compares the medians of the first and the last minute of readings.
func (s *Supply) cylinder(in Input) {
	first, last := -1, -1
	for i, bar := range in.O2CylBar {
		if !math.IsNaN(bar) {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 || in.TimeS[last]-in.TimeS[first] < 2*meanOverS {
		s.CylinderReason = "too few readings of cylinder pressure"
		return
	}
	var a, b []float64
	for i := first; i <= last; i++ {
		switch bar := in.O2CylBar[i]; {
		case math.IsNaN(bar):
		case in.TimeS[i] <= in.TimeS[first]+meanOverS:
			a = append(a, bar)
		case in.TimeS[i] >= in.TimeS[last]-meanOverS:
			b = append(b, bar)
		}
	}
	used := median(a) - median(b)
	if used < 0 {
		s.CylinderReason = "cylinder pressure rose: it was warmed, filled or changed"
		return
	}
	s.CylinderUsedL = in.CylinderL * used / barPerAta
	s.CylinderLMin = s.CylinderUsedL / ((in.TimeS[last] - in.TimeS[first] - meanOverS) / 60)
}
