package hydro

import (
	"math"

	"afterloop/analysis/fit"
	"afterloop/analysis/gas"
)

// SurfaceReading is the pressure measured in one stretch at the surface.
type SurfaceReading struct {
	// Bar is the median, NaN without a stretch that is long enough; Low and High hold
	// its noise and rounding with 95 %.
	Bar, Low, High float64
	FromRow, ToRow int // -1 without
	Rows           int
}

// Surface is the pressure at the surface before and after a dive.
type Surface struct {
	Before, After SurfaceReading
	// Presumed is true where no depth tells that the rows were at the surface: they are
	// the lowest steady pressures of the record, at its start and at its end.
	Presumed bool
	// Drift is after less before.
	Drift Interval
}

// ReadSurface reads the pressure at the surface from the rows in which at is true,
// before the first and after the last row in which under is true. A stretch shorter
// than p.SurfaceForS is none. The half-width of a reading is
//
//	sqrt( (1.96 s sqrt(pi/2) / sqrt(n'))^2 + step^2/12 )
//
// with s the spread and n' the seconds over 10: readings that follow within ten
// seconds count as one (ours). Waves, and a sensor some decimetres under water,
// are in none of it: 0.3 m is 0.03 bar.
func ReadSurface(tS, ambientBar []float64, at, under []bool, p Params) Surface {
	first, last := len(tS), -1
	for i, u := range under {
		if u {
			first, last = min(first, i), i
		}
	}
	s := Surface{Before: readStretch(tS, ambientBar, at, 0, first, p), After: readStretch(tS, ambientBar, at, last+1, len(tS), p)}
	if last < 0 { // never under water: there is no after
		s.After = noReading()
	}
	s.Drift = drift(s.Before, s.After)
	return s
}

func noReading() SurfaceReading { return SurfaceReading{nan, nan, nan, -1, -1, 0} }

// readStretch reads the rows [from, to) in which at is true.
func readStretch(tS, ambientBar []float64, at []bool, from, to int, p Params) SurfaceReading {
	r := noReading()
	var v []float64
	for i := from; i < to; i++ {
		if at[i] && !math.IsNaN(ambientBar[i]) {
			if v = append(v, ambientBar[i]); r.FromRow < 0 {
				r.FromRow = i
			}
			r.ToRow = i
		}
	}
	if len(v) < 2 || tS[r.ToRow]-tS[r.FromRow] < p.SurfaceForS {
		return noReading()
	}
	seconds, step := tS[r.ToRow]-tS[r.FromRow], Step(v)
	r.Rows, r.Bar = len(v), fit.Median(v)
	spread := 1.4826 * fit.MAD(v)
	independent := math.Max(1, math.Min(float64(len(v)), seconds/10))
	half := math.Hypot(1.96*spread*math.Sqrt(math.Pi/2)/math.Sqrt(independent), step/math.Sqrt(12))
	r.Low, r.High = r.Bar-half, r.Bar+half
	return r
}

// drift is the change of pressure from before to after the dive.
func drift(before, after SurfaceReading) Interval {
	switch {
	case math.IsNaN(before.Bar) && math.IsNaN(after.Bar):
		return unknown("no stretch at the surface is long enough")
	case math.IsNaN(before.Bar):
		return unknown("no stretch at the surface before the dive is long enough")
	case math.IsNaN(after.Bar):
		return unknown("no stretch at the surface after the dive is long enough")
	}
	d, half := after.Bar-before.Bar, math.Hypot(after.Bar-after.Low, before.Bar-before.Low)
	return Interval{Value: d, Low: d - half, High: d + half}
}

// PresumeSurface reads the surface pressure of a record without depths of its own:
// the first and the last rows that stay within p.SteadyBar of the lowest pressure
// of the record. Only where both ends of the record stand there does it presume
// that this is the surface; a record that begins or ends under water gives nothing.
func PresumeSurface(tS, ambientBar []float64, p Params) Surface {
	lowest := math.Inf(1)
	for _, v := range ambientBar {
		if v < lowest {
			lowest = v
		}
	}
	at, under := make([]bool, len(tS)), make([]bool, len(tS))
	for i, v := range ambientBar {
		at[i], under[i] = v <= lowest+p.SteadyBar, v > lowest+p.SteadyBar
	}
	s := ReadSurface(tS, ambientBar, at, under, p)
	s.Presumed = true
	switch {
	case math.IsNaN(s.Drift.Value):
		s.Drift = unknown("no depth was recorded, and the record does not both start and end at its lowest pressure")
	case lowest > highestSurfaceBar:
		s.Drift = unknown("no depth was recorded, and the lowest pressure of the record is that of no surface")
	default:
		return s
	}
	s.Before, s.After = noReading(), noReading()
	return s
}

// highestSurfaceBar is above any surface pressure that was ever measured: the record
// at sea level is 1.085 bar (memory).
const highestSurfaceBar = 1.09

// Altitude is the altitude in metres at which the standard atmosphere (ISO 2533)
// has the pressure surfaceBar, with the range that weather of weatherBar leaves:
// 0.03 bar is about 250 m at sea level. NaN outside the equation's reach.
func Altitude(surfaceBar, weatherBar float64) Interval {
	a := Interval{Value: gas.StandardAltitude(surfaceBar), Low: gas.StandardAltitude(surfaceBar + weatherBar), High: gas.StandardAltitude(surfaceBar - weatherBar)}
	if math.IsNaN(a.Value) || math.IsNaN(a.Low) || math.IsNaN(a.High) {
		return unknown("the standard atmosphere has no such pressure between -5 and 11 km")
	}
	return a
}
