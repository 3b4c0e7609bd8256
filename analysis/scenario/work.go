package scenario

import "math"

// workTauS is the time constant with which uptake follows effort; the first
// minute of exercise brings most of the rise (textbook physiology, memory).
const workTauS = 25

// uptake is the oxygen uptake step by step, L/min STPD.
type uptake struct {
	work []Work
	next int
	now  float64
}

func newUptake(work []Work) *uptake { return &uptake{work: work, now: work[0].VO2LMin} }

// at returns the uptake at tS; calls in order of time, one per step.
func (u *uptake) at(tS float64) float64 {
	for u.next < len(u.work)-1 && u.work[u.next+1].FromS <= tS {
		u.next++
	}
	u.now += (u.work[u.next].VO2LMin - u.now) * (1 - math.Exp(-stepS/workTauS))
	return u.now
}
