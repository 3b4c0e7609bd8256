package exposure

import "math"

// SurfaceDecay is what is left of the single-exposure fraction after surfaceS
// seconds at the surface:
//
//	fraction 2^(-t/T), T = o.HalfTimeMin, 90 min by default
//
// It is a convention, not a measurement: no published measurement of the 90
// minutes is known, and it may go back to no more than the interval that the NOAA
// manual suggests between two dives to the limit. It applies at the surface only,
// to the single-exposure fraction only, and never to the 24-hour limit or to OTU.
func SurfaceDecay(fraction, surfaceS float64, o Options) float64 {
	return fraction * math.Exp2(-math.Max(0, surfaceS)/60/o.halfTimeMin())
}

// Carried is the single-exposure fraction of one dive in a series.
type Carried struct {
	// Before is what earlier dives left at its start, After is that and its own dose.
	Before, After float64
	// LowerBound tells that this dive or one before it lies partly beyond the table.
	LowerBound bool
}

// Carry adds the step-rule fractions of a series of dives in order of time, with
// [SurfaceDecay] between the end of one and the start of the next, and none within
// a dive. Gaps count nothing.
func Carry(dives []Stretch, o Options) []Carried {
	taken := make([]Taken, len(dives))
	for i, d := range dives {
		fromS, toS := d.span()
		own := Integrate(d.TimeS, d.PO2, d.GapAfter, o).Total
		taken[i] = Taken{fromS, toS, own.CNSStep, own.LowerBound()}
	}
	return CarryTaken(taken, o)
}
