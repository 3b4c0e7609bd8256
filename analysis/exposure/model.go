package exposure

import "math"

// A Model is a published equation of oxygen toxicity, shown beside the NOAA
// limits and OTU and never in their place. A new one is a file with a value of
// this type and a line in [Models].
type Model struct {
	// Name is what it is called by, as in "esot".
	Name, Title string
	// Says is what its figure means, in one sentence; Unit is the figure's unit.
	Says, Unit string
	// Equation is as published, with the units in which it was published.
	Equation, Source string
	// Range is where the published equation holds, in words; FromBar and ToBar are
	// its range of PO2 in bar.
	Range          string
	FromBar, ToBar float64
	// MinInside is the share of the exposed time that must lie in the range for a
	// figure to be given at all.
	MinInside float64
	// Verified is false where the equation, or a limit, was not seen in a source.
	Verified bool
	run      func(c course) outcome
}

// Models are all models, in the order in which they are shown.
func Models() []Model {
	return []Model{
		esot,
		vitalCapacity,
		pulmonaryIndex,
		nearThirteen,
		cnsIndex,
	}
}

// ModelByName finds a model.
func ModelByName(name string) (Model, bool) {
	for _, m := range Models() {
		if m.Name == name {
			return m, true
		}
	}
	return Model{}, false
}

// MostlyInside is the share of the exposed time from which a figure stands
// without a remark on the range. Ours.
const MostlyInside = 0.9

// enoughInside is the least share for a figure, for models that do not ask for more. Ours.
const enoughInside = 0.5

// Standing says how far a course lies in the range for which a model was published.
type Standing string

// How a course stands to a model's published range.
const (
	Inside     Standing = "inside"     // at least 90 % of the exposed time
	Partly     Standing = "partly"     // enough for a figure, but not that much
	OutOfRange Standing = "outside"    // no figure is given
	Unexposed  Standing = "unexposed"  // no time above 0.5 bar: a model has nothing to say
	NoReading  Standing = "no_reading" // nothing was recorded
)

// Figure is a number that belongs to a model's own.
type Figure struct {
	Name  string
	Value float64
	Unit  string
}

// ModelDose is what a model makes of a course of PO2.
type ModelDose struct {
	// Value is the model's figure, NaN where it has none; Figures are those that it
	// rests on or that follow from it.
	Value    float64
	Figures  []Figure
	Standing Standing
	// ExposedS is the time in seconds above 0.5 bar, InsideS the part of it within
	// the published range of PO2. GapS was not recorded: it adds nothing and takes
	// nothing away, so that a figure with gaps is a lower bound.
	ExposedS, InsideS, GapS float64
	// Notes say where the equation had to be clamped, or read with care.
	Notes []string
}

// InsideFraction is the share of the exposed time within the published range;
// NaN without exposure.
func (d ModelDose) InsideFraction() float64 { return d.InsideS / d.ExposedS }

// LowerBound tells that time is missing from the figure.
func (d ModelDose) LowerBound() bool { return d.GapS > 0 }

// Dose is the model's figure for the course poBar (bar, NaN = not recorded) at tS
// (seconds, strictly increasing), with the conventions of [Integrate] on gaps and
// holes. PO2 up to 0.5 bar adds nothing to any model (about the lower end of the
// toxic range: Arieli, saturation paper); models that have a recovery recover
// there. Where too little of the exposed time lies in the published range the
// Standing is [OutOfRange] and Value is NaN.
func (m Model) Dose(tS, poBar []float64, gapAfter []bool, o Options) ModelDose {
	checkLengths(tS, poBar, gapAfter)
	d := ModelDose{Value: math.NaN(), Standing: NoReading}
	var pieces course
	readings := false
	eachPair(tS, poBar, gapAfter, o.maxHoleS(), func(i, j int, gap bool) {
		readings = true
		if gap {
			d.GapS += tS[j] - tS[i]
			return
		}
		pieces = pieces.add(poBar[i], poBar[j], tS[j]-tS[i])
	})
	if !readings {
		return d
	}
	for _, p := range pieces {
		if p.exposed {
			d.ExposedS += p.seconds
			d.InsideS += p.seconds * shareBetween(p.fromBar, p.toBar, m.FromBar, m.ToBar)
		}
	}
	switch {
	case d.ExposedS == 0: // some equations have an offset, which is no figure of a dive
		d.Standing = Unexposed
		return d
	case d.InsideFraction() >= MostlyInside-1e-9:
		d.Standing = Inside
	case d.InsideFraction() >= m.MinInside-1e-9:
		d.Standing = Partly
	default:
		d.Standing = OutOfRange
		return d
	}
	out := m.run(pieces)
	d.Value, d.Figures, d.Notes = out.value, out.figures, out.notes
	return d
}

// outcome is what the equation itself gives.
type outcome struct {
	value   float64
	figures []Figure
	notes   []string
}

// stretch is a time in which PO2 runs straight, wholly above 0.5 bar (exposed) or
// wholly at most that.
type stretch struct {
	fromBar, toBar, seconds float64
	exposed                 bool
}

// course is the recorded time of a dive in order, without its gaps.
type course []stretch

// add appends a straight line, cut where it crosses 0.5 bar.
func (c course) add(p0, p1, seconds float64) course {
	low, high := math.Min(p0, p1), math.Max(p0, p1)
	switch {
	case low > freeBelow:
		return append(c, stretch{p0, p1, seconds, true})
	case high <= freeBelow:
		return append(c, stretch{p0, p1, seconds, false})
	}
	first := seconds * (freeBelow - p0) / (p1 - p0)
	up := p1 > p0
	if first > 0 {
		c = append(c, stretch{p0, freeBelow, first, !up})
	}
	return append(c, stretch{freeBelow, p1, seconds - first, up})
}

// shareBetween is the share of a straight line from a to b that lies from low to high.
func shareBetween(a, b, low, high float64) float64 {
	low, high = low-tolerance, high+tolerance
	a, b = math.Min(a, b), math.Max(a, b)
	if b-a < 1e-12 {
		if a >= low && a <= high {
			return 1
		}
		return 0
	}
	return math.Max(0, math.Min(b, high)-math.Max(a, low)) / (b - a)
}

// atm is PO2 in the unit of Arieli, Yalov and Goldenshluger 2002: PO2 / 101.3 kPa.
func atm(pBar float64) float64 { return pBar * 100 / 101.3 }
