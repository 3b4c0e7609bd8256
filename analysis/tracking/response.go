package tracking

import "math"

func firstKnown(v []float64) float64 {
	for _, x := range v {
		if !math.IsNaN(x) {
			return x
		}
	}
	return math.NaN()
}

// firstWithin is the time after the change of the first row in the band.
func firstWithin(in Input, w watch, toBar float64, p Params) float64 {
	for i := w.from; i < w.to; i++ {
		if math.Abs(in.PO2Bar[i]-toBar) <= p.SettleBar+tolBar {
			return in.TimeS[i] - in.TimeS[w.from]
		}
	}
	return math.NaN()
}

// settled is the time after the change of the first row from which PO2 stays in
// the band for SettleForS; unknown readings neither help nor hurt.
func settled(in Input, w watch, toBar float64, p Params) float64 {
	start := math.NaN()
	for i := w.from; i < w.to; i++ {
		e := math.Abs(in.PO2Bar[i] - toBar)
		switch {
		case math.IsNaN(e):
			continue
		case e > p.SettleBar+tolBar:
			start = math.NaN()
			continue
		case math.IsNaN(start):
			start = in.TimeS[i]
		}
		if in.TimeS[i]-start >= p.SettleForS-tolS {
			return start - in.TimeS[w.from]
		}
	}
	return math.NaN()
}

// rise is the time between the first crossings of 10 % and 90 % of the way,
// interpolated between rows; NaN where PO2 began within the band of the new set
// point or never got so far.
func rise(in Input, w watch, startBar, toBar float64, p Params) float64 {
	span := toBar - startBar
	if math.Abs(span) <= p.SettleBar+tolBar {
		return math.NaN()
	}
	return crossing(in, w, startBar, span, 0.9) - crossing(in, w, startBar, span, 0.1)
}

// crossing is when PO2 first had gone the given share of span from startBar. A
// rounded record often stands at the very share for many rows: that is gone so far.
func crossing(in Input, w watch, startBar, span, share float64) float64 {
	beforeS, before := in.TimeS[w.from], 0.0
	tol := tolBar / math.Abs(span)
	for i := w.from; i < w.to; i++ {
		done := (in.PO2Bar[i] - startBar) / span
		if math.IsNaN(done) {
			continue
		}
		if done >= share-tol {
			if done == before {
				return in.TimeS[i]
			}
			return beforeS + (in.TimeS[i]-beforeS)*math.Min(1, (share-before)/(done-before))
		}
		beforeS, before = in.TimeS[i], done
	}
	return math.NaN()
}

// overshoot is the largest reading past toBar, in the direction of the change,
// and when.
func overshoot(in Input, w watch, startBar, toBar float64) (bar, atS float64) {
	sign := 1.0
	if toBar < startBar {
		sign = -1
	}
	bar, atS = math.NaN(), math.NaN()
	for i := w.from; i < w.to; i++ {
		if past := sign * (in.PO2Bar[i] - toBar); past >= -tolBar && !(past <= bar) {
			bar, atS = math.Max(0, past), in.TimeS[i]
		}
	}
	return bar, atS
}
