package hydro

// Fault is one way in which the pressure in use may be too low.
type Fault struct {
	// Kind is density, scale or offset; Amount is a fraction of it, or bar.
	Kind   string
	Amount float64
}

// Kinds of fault.
const (
	Density = "density"
	Scale   = "scale"
	Offset  = "offset"
)

// Usual are the faults that a debrief shows: 1 % of the density, 1 % of the scale,
// and 0.1 bar. Ours: round figures to be scaled by whoever knows the instrument.
func Usual() []Fault { return []Fault{{Density, 0.01}, {Scale, 0.01}, {Offset, 0.1}} }

// Of is the true pressure if the one in use, pBar, is too low by the fault:
//
//	density  P_s + (P - P_s)(1 + e)     where pressure follows from depth
//	scale    P (1 + e)
//	offset   P + e
//
// fromDepth tells whether P was computed from a depth: a measured pressure, and a
// depth in units of pressure, contain no density and stay.
func (f Fault) Of(pBar, surfaceBar float64, fromDepth bool) float64 {
	switch f.Kind {
	case Density:
		if !fromDepth {
			return pBar
		}
		return surfaceBar + (pBar-surfaceBar)*(1+f.Amount)
	case Scale:
		return pBar * (1 + f.Amount)
	case Offset:
		return pBar + f.Amount
	}
	panic("hydro: unknown kind of fault")
}

// Gain is the true PO2 over the one that all cells show if the same sensor gave the
// pressure at which they were calibrated at the surface: their gain was set by F P, so
//
//	g = Of(P_s)/P_s
func (f Fault) Gain(surfaceBar float64) float64 {
	return f.Of(surfaceBar, surfaceBar, false) / surfaceBar
}
