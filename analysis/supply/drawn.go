package supply

import "math"

// drawn is what left the oxygen cylinder between two readings, L STPD.
type drawn struct {
	start, end Reading
	litres     Range
	idealShare float64
	tempKnown  bool
}

// width is the interval's, as a share of what left.
func (d drawn) width() float64 {
	return (d.litres.High - d.litres.Low) / math.Max(d.litres.Value, 1e-9)
}

// wholeDrawn is over the whole record: the cylinder may have come from the sun.
func wholeDrawn(in Input, start, end Reading, p Params) drawn {
	return draw(in, start, end, p.UnknownChangeC, p)
}

// settled is over the time under water from afterS on, in which the cylinder had
// the water's temperature.
func settled(in Input, c Cylinder, afterS float64, p Params) drawn {
	fromS := in.UnderFromS + afterS
	step := orElse(c.StepBar, p.AssumedStepBar)
	if !(in.UnderToS-fromS >= p.LeastS+2*p.ReadOverS) {
		return drawn{litres: unknown("the dive was too short")}
	}
	start := readingIn(in, in.O2CylBar, fromS, fromS+p.ReadOverS, step)
	end := readingIn(in, in.O2CylBar, in.UnderToS-p.ReadOverS, in.UnderToS, step)
	if math.IsNaN(start.Bar) || math.IsNaN(end.Bar) {
		return drawn{litres: unknown("no readings then")}
	}
	return draw(in, start, end, p.SettledChangeC, p)
}

// draw is the difference of two readings in litres. Its interval holds gauge (both
// ends at once), temperature and volume in quadrature; a gauge that reads against ambient
// pressure would add the difference of ambient pressure between the ends, on one
// side. Temperature: see tempAt where it was recorded; else UnknownTempC at both ends
// together and changeC between them.
func draw(in Input, start, end Reading, changeC float64, p Params) drawn {
	d := drawn{start: start, end: end, idealShare: math.NaN()}
	if !(in.CylinderL > 0) {
		d.litres = unknown("the cylinder's volume is not stated")
		return d
	}
	v := in.CylinderL
	ta, endA := in.tempAt(start.AtS, p)
	tb, endB := in.tempAt(end.AtS, p)
	d.tempKnown = !math.IsNaN(ta) && !math.IsNaN(tb)
	common := 0.0
	if !d.tempKnown {
		ta, tb, common, endA, endB = p.AssumedTempC, p.AssumedTempC, p.UnknownTempC, 0, changeC
	}
	used := func(pa, pb, ta, tb float64) float64 { return Litres(v, pa, ta) - Litres(v, pb, tb) }
	at := used(start.Bar, end.Bar, ta, tb)
	d.litres = about(at, hypot(
		used(start.Bar+start.HalfBar, end.Bar-end.HalfBar, ta, tb)-at,
		used(start.Bar, end.Bar, ta+common, tb+common)-at,
		used(start.Bar, end.Bar, ta+endA, tb)-at,
		used(start.Bar, end.Bar, ta, tb+endB)-at,
		p.GaugeShare*at, p.VolumeShare*at))
	relative := used(start.Bar+in.ambientAt(start.AtS), end.Bar+in.ambientAt(end.AtS), ta, tb) - at
	d.litres.High += math.Max(0, relative) // NaN where ambient pressure is not known
	d.litres.Low += math.Min(0, relative)
	if math.IsNaN(relative) {
		d.litres = unknown("no ambient pressure at the ends")
	}
	d.idealShare = (IdealLitres(v, start.Bar, ta)-IdealLitres(v, end.Bar, tb))/at - 1
	return d
}

func hypot(terms ...float64) float64 {
	var s float64
	for _, t := range terms {
		s += t * t
	}
	return math.Sqrt(s)
}

// tempAt is the cylinder's temperature at a moment as the water's lets it be
// reckoned, and how far it may be off: a first-order lag behind the water,
//
//	dT/dt = (water - T)/tau
//
// for the slowest and the fastest tau beside the middle one, what is left of
// StartTempC, and KnownTempC. NaN where the water's was not recorded.
func (in Input) tempAt(atS float64, p Params) (tempC, halfC float64) {
	mid, _ := in.lagged(atS, p.LagS)
	fast, _ := in.lagged(atS, p.LagFastS)
	slow, since := in.lagged(atS, p.LagSlowS)
	half := math.Max(math.Abs(fast-mid), math.Abs(slow-mid))
	return mid, half + p.StartTempC*math.Exp(-since/p.LagSlowS) + p.KnownTempC
}

// lagged is the water's temperature behind a lag, from its first reading on, and the
// time since that.
func (in Input) lagged(atS, tauS float64) (tempC, sinceS float64) {
	tempC = math.NaN()
	first, last := math.NaN(), math.NaN()
	for i, t := range in.TimeS {
		w := value(in.TempC, i)
		if t > atS {
			break
		}
		if math.IsNaN(w) {
			continue
		}
		if math.IsNaN(tempC) {
			tempC, first = w, t
		} else {
			tempC += (w - tempC) * (1 - math.Exp(-(t-last)/tauS))
		}
		last = t
	}
	return tempC, atS - first
}

func (in Input) ambientAt(atS float64) float64 {
	a, b := rowsWithin(in.TimeS, atS-edgeS, atS+edgeS)
	return meanOf(knownIn(in.AmbientBar, a, b))
}

func meanOf(v []float64) float64 {
	var s float64
	for _, x := range v {
		s += x
	}
	return s / float64(len(v)) // NaN for none
}
