package loop

import "math"

// Flow is the state of a well-mixed loop and the gas that enters and leaves it,
// all flows in bar L/s at loop temperature (gas.STPDToLoop converts L/min STPD).
type Flow struct {
	PO2Bar  float64
	DryBar  float64 // Pd = P - pH2O
	DryRate float64 // dPd/dt, bar/s
	VolumeL float64 // at ambient pressure
	Oxygen  float64 // Q, oxygen let in, bar L/s
	VO2     float64 // oxygen used, bar L/s
	FO2Dil  float64 // oxygen fraction of the diluent
}

// MakeUp is the diluent that keeps the volume, bar L/s; none while the loop vents
// or where the ascent expands it:
//
//	M = max(0, V dPd/dt - Q + VO2)
func (f Flow) MakeUp() float64 {
	return math.Max(0, f.VolumeL*f.DryRate-f.Oxygen+f.VO2)
}

// Rate is the rate of PO2 in bar/s when the make-up is makeUp (bar L/s):
//
//	dp/dt = x dPd/dt + [ (1-x)(Q - VO2) + (F_dil - x) M ] / V,   x = p/Pd
//
// Venting leaves the composition as it is and drops out. With [Flow.MakeUp] > 0
// this is F_dil dPd/dt + (1 - F_dil)(Q - VO2)/V; with none, x dPd/dt + (1-x)(Q -
// VO2)/V, so that p <= Pd by itself. Source: METHODS.md, "The loop".
func (f Flow) Rate(makeUp float64) float64 {
	x := f.PO2Bar / f.DryBar
	return x*f.DryRate + ((1-x)*(f.Oxygen-f.VO2)+(f.FO2Dil-x)*makeUp)/f.VolumeL
}

// BurnDownHeldS is the time in seconds in which PO2 falls from fromBar to toBar
// without oxygen at constant depth, while diluent holds the volume:
//
//	dp/dt = -(1 - F_dil) VO2/V
//
// It is +Inf where nothing is used. vo2 is in bar L/s.
func BurnDownHeldS(fromBar, toBar, vo2, volumeL, fO2Dil float64) float64 {
	if rate := (1 - fO2Dil) * vo2 / volumeL; rate > 0 {
		return math.Max(0, fromBar-toBar) / rate
	}
	return math.Inf(1)
}

// BurnDownCollapsingS is the same while nothing is added and the loop collapses:
//
//	dp/dt = -(1 - p/Pd) VO2/V  =>  t = (V Pd/VO2) ln[(Pd - p1)/(Pd - p0)]
//
// Pure oxygen (p0 = Pd) does not burn down in PO2: +Inf.
func BurnDownCollapsingS(fromBar, toBar, vo2, volumeL, dryBar float64) float64 {
	if toBar >= fromBar {
		return 0
	}
	if !(vo2 > 0) || fromBar >= dryBar {
		return math.Inf(1)
	}
	return volumeL * dryBar / vo2 * math.Log((dryBar-toBar)/(dryBar-fromBar))
}
