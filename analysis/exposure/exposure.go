// Package exposure answers how much oxygen a diver took: the load on the
// central nervous system (CNS) as a share of published limits, and the
// pulmonary dose in OTU.
//
// PO2 is taken as a straight line between rows, and every dose is the exact
// integral over that line, so that it does not depend on how densely a course
// was sampled. Three things are kept apart that are often mixed: time at or
// below 0.5 bar costs nothing; time above 1.6 bar lies beyond the table and is
// charged as a lower bound, counted apart; time in a gap is not known, and makes
// the dose an interval.
//
// Sources: the limits are those of the NOAA Diving Manual, which attributes them
// to Butler and Thalmann 1986; the pulmonary dose that of Bardin and Lambertsen
// 1970, in the form of Clark and Lambertsen 1971 (memory); integrals over ramps
// as in E. C. Baker, "Oxygen Toxicity Calculations" (memory), derived anew here;
// daily limits of OTU those of Hamilton, Kenyon and Peterson, REPEX, NOAA TR
// 88-1B, 1988. No limit here is a promise: convulsions occur within them.
package exposure

import "afterloop/analysis/gas"

// Rule is how a limit is read between the rows of the table.
type Rule uint8

// The two rules; both are always computed.
const (
	// Step takes the next higher row, as a person with the table reads it (US Navy
	// Diving Manual: the next deeper limit is used).
	Step Rule = iota
	// Linear interpolates the limit between the rows (Baker, memory).
	Linear
)

func (r Rule) String() string {
	if r == Linear {
		return "linear"
	}
	return "step"
}

// Options say how doses are computed. The zero value is the default.
type Options struct {
	// StrictATA turns PO2 from bar into ata before the table and the OTU equation,
	// both printed in atmospheres, are applied. The default reads them in bar, as
	// is common practice and on the safe side: strictly, the interpolated limit is
	// 2.6 % longer at 1.0 bar and 35 % at 1.6 bar.
	StrictATA bool `json:"strict_ata"`
	// MaxHoleS is the longest hole in seconds between two readings that a straight
	// line still bridges; beyond it the hole is a gap. 0 stands for 30 s, the
	// shortest gap of the log format; below 0 no hole is bridged.
	MaxHoleS float64 `json:"max_hole_s"`
	// HalfTimeMin is the half-time of the decay at the surface in minutes. 0 stands
	// for 90, a convention (see [SurfaceDecay]).
	HalfTimeMin float64 `json:"surface_half_time_min"`
}

// DefaultOptions is the zero value with its defaults written out.
func DefaultOptions() Options {
	return Options{MaxHoleS: 30, HalfTimeMin: 90}
}

func (o Options) maxHoleS() float64 {
	if o.MaxHoleS == 0 {
		return DefaultOptions().MaxHoleS
	}
	return o.MaxHoleS
}

func (o Options) halfTimeMin() float64 {
	if o.HalfTimeMin == 0 {
		return DefaultOptions().HalfTimeMin
	}
	return o.HalfTimeMin
}

// tablePO2 is p as the table and the equation read it.
func (o Options) tablePO2(pBar float64) float64 {
	if o.StrictATA {
		return pBar / gas.BarPerAta
	}
	return pBar
}

// barOf is the inverse of tablePO2.
func (o Options) barOf(p float64) float64 {
	if o.StrictATA {
		return p * gas.BarPerAta
	}
	return p
}

// Dose is the oxygen taken over a time. Doses of disjoint times add up.
type Dose struct {
	// CNSStep and CNSLinear are fractions (1 = the limit) of the single-exposure
	// limit by the two rules; CNS24h of the 24-hour limit by the step rule.
	CNSStep, CNSLinear, CNS24h float64
	// OTU is the pulmonary dose: 1 is one minute at 1 bar.
	OTU float64
	// AboveTableS is the time in seconds above 1.6, where the table is silent.
	AboveTableS float64
	// Seconds is the time over which the dose was taken.
	Seconds float64
}

// Add is the dose of both times together.
func (d Dose) Add(e Dose) Dose {
	return Dose{
		CNSStep:     d.CNSStep + e.CNSStep,
		CNSLinear:   d.CNSLinear + e.CNSLinear,
		CNS24h:      d.CNS24h + e.CNS24h,
		OTU:         d.OTU + e.OTU,
		AboveTableS: d.AboveTableS + e.AboveTableS,
		Seconds:     d.Seconds + e.Seconds,
	}
}

// LowerBound tells whether the CNS fractions are only lower bounds, because part
// of the time lies beyond the table.
func (d Dose) LowerBound() bool { return d.AboveTableS > 0 }
