package supply

import "math"

// LevelFall is what the diluent lost in stretches at one depth, where the loop
// asks for none: oxygen replaces what is used, and the volume stays.
type LevelFall struct {
	// Seconds is the time looked at, in Stretches stretches.
	Seconds   float64
	Stretches int
	// FallBar is what was lost in them, with the gauge's interval; AllowedBar is what
	// a cooling cylinder may have lost besides.
	FallBar    Range
	AllowedBar float64
	// RateBarH is the rate of fall, FallBar over Seconds.
	RateBarH Range
	// WorstFromS, WorstToS is the stretch with the largest fall.
	WorstFromS, WorstToS, WorstBar float64
	// Falls tells that it fell by more than the limits.
	Falls  bool
	Reason string // why it was not assessed
}

// levelFall looks at the diluent where the depth stands.
func levelFall(in Input, c Cylinder, p Params) LevelFall {
	f := LevelFall{FallBar: unknown(""), RateBarH: unknown(""), AllowedBar: math.NaN(), WorstFromS: math.NaN(), WorstToS: math.NaN(), WorstBar: math.NaN()}
	if c.Reason != "" {
		f.Reason = c.Reason
		return f
	}
	step := orElse(c.StepBar, p.AssumedStepBar)
	sum, half, allowed := 0.0, 0.0, 0.0
	for _, s := range in.Level {
		fromS := s.FromS + p.LevelAfterS
		a, b := readingIn(in, in.DilCylBar, fromS, fromS+edgeS, step), readingIn(in, in.DilCylBar, s.ToS-edgeS, s.ToS, step)
		if s.ToS-fromS < p.LevelLeastS || math.IsNaN(a.Bar) || math.IsNaN(b.Bar) {
			continue
		}
		f.Seconds, f.Stretches = f.Seconds+s.ToS-fromS, f.Stretches+1
		sum, half = sum+a.Bar-b.Bar, hypot(half, a.HalfBar, b.HalfBar)
		allowed += a.Bar * in.coolingC(fromS, s.ToS, p) / (zeroC + p.AssumedTempC)
		if !(f.WorstBar >= a.Bar-b.Bar) {
			f.WorstFromS, f.WorstToS, f.WorstBar = fromS, s.ToS, a.Bar-b.Bar
		}
	}
	if f.Stretches == 0 {
		f.Reason = "no stretch at one depth was long enough"
		return f
	}
	f.FallBar, f.AllowedBar = about(sum, half), allowed
	hours := f.Seconds / 3600
	f.RateBarH = about(sum/hours, half/hours)
	f.Falls = f.RateBarH.Known() && f.RateBarH.Low > p.DiluentFallBarH && f.FallBar.Low-allowed > p.DiluentFallBar
	return f
}

// coolingC is by how much the cylinder may cool between two moments of one stretch:
// what is then left of StartTempC, with the slowest lag, and LevelChangeC.
func (in Input) coolingC(fromS, toS float64, p Params) float64 {
	since := func(t float64) float64 { return math.Exp(-math.Max(0, t-in.TimeS[0]) / p.LagSlowS) }
	c := p.StartTempC * (since(fromS) - since(toS))
	if firstKnown(in.TempC) >= 0 {
		return c + p.LevelChangeC/2
	}
	return c + p.LevelChangeC
}
