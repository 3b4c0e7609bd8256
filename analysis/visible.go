package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/tracking"
	"afterloop/analysis/vote"
)

// notVisible is the honest outcome where nothing showed it.
const notVisible = "not visible to the diver at the time: it shows only when the whole record is looked at"

// sight is one way in which an event could be seen: a test of one row that looks at
// nothing after it, with its rule in words.
type sight struct {
	rule string
	sees func(i int) bool
}

// visible is the first row from the event's start to its end in which one of the
// sights for its kind holds, with the rule, and the last such row; -1 where none
// does. Sights are asked together: the earliest row counts, the first listed where
// two share it.
func (b *bench) visible(f *Finding) (first, last int, rule string) {
	first, last, rule = -1, -1, notVisible
	sights := b.sights(f)
	for i := b.rowAt(float64(f.FromS)); i < len(b.tS) && !(b.tS[i] > float64(f.ToS)); i++ {
		for _, s := range sights {
			if s.sees(i) {
				if last = i; first < 0 {
					first, rule = i, s.rule
				}
				break
			}
		}
	}
	return first, last, rule
}

// sights are the ways in which a kind of event could be seen.
func (b *bench) sights(f *Finding) []sight {
	l := b.p.Limits
	switch f.Kind {
	case "low-oxygen":
		return b.poSights(func(_ int, v float64) bool { return v < l.LowCautionBar-tol }, "below "+bar(l.LowCautionBar), b.lowest)
	case "high-oxygen":
		words := fmt.Sprintf("above %s, or %s at a stop", bar(l.HighCautionBar), bar(l.HighWarningBar))
		return append(b.poSights(b.high, words, b.highest), b.openGasSight(words))
	case "setpoint-not-held":
		return []sight{b.offSetPoint(func(e float64) bool { return math.Abs(e) > b.p.Tracking.NotHeldBar+tol }, "from")}
	case "dead-valve", "oxygen-supply-lost":
		return []sight{b.levelOnly(b.offSetPoint(func(e float64) bool { return e < -b.p.Tracking.NotHeldBar-tol }, "below"))}
	case "leaking-valve":
		return []sight{b.levelOnly(b.offSetPoint(func(e float64) bool { return e > b.p.Tracking.NotHeldBar+tol }, "above"))}
	case "vote-undecided", "reading-above-ambient", "reading-at-limit":
		return []sight{{"the first row of the event: the readings themselves", func(int) bool { return true }}}
	case noCellFollows:
		return nil // no reading showed it
	case "vote-followed-wrong-cells":
		return append(b.apart(), b.liveSights()...)
	}
	if f.Cell == nil {
		return b.apart()
	}
	return append(b.cellSights(*f.Cell), b.apart()...)
}

// poSights: the unit's PO2, else a cell's reading, past a limit.
func (b *bench) poSights(past func(int, float64) bool, words string, extreme []float64) []sight {
	name := "the unit's PO2"
	if b.bestName != "unit" {
		name = "the mid-value of the cells"
	}
	return []sight{
		{name + " " + words, func(i int) bool { return b.onLoop[i] && past(i, b.best[i]) }},
		{"a cell's reading " + words, func(i int) bool { return b.onLoop[i] && past(i, extreme[i]) }},
	}
}

// openGasSight: the PO2 of the open-circuit gas at the depth of the row.
func (b *bench) openGasSight(words string) sight {
	return sight{"the open-circuit gas at this depth " + words, func(i int) bool {
		g := b.dive.OpenGas[i]
		return !b.onLoop[i] && g.Known && b.high(i, g.O2*b.dive.AmbientBar[i])
	}}
}

// high tells whether a PO2 at row i is above the limit that holds there.
func (b *bench) high(i int, v float64) bool {
	if b.phases[i] == tracking.Stop {
		return v > b.p.Limits.HighWarningBar+tol
	}
	return v > b.p.Limits.HighCautionBar+tol
}

// offSetPoint: PO2 past the distance from the set point.
func (b *bench) offSetPoint(past func(float64) bool, where string) sight {
	return sight{fmt.Sprintf("PO2 more than %s %s the set point", bar(b.p.Tracking.NotHeldBar), where),
		func(i int) bool { return b.track != nil && past(b.track.ErrorBar[i]) }}
}

// levelOnly asks at constant depth alone, where pressure does not move PO2.
func (b *bench) levelOnly(s sight) sight {
	return sight{s.rule + ", at constant depth", func(i int) bool {
		return (b.phases[i] == tracking.Bottom || b.phases[i] == tracking.Stop) && s.sees(i)
	}}
}

// apart: the cells' readings lie apart.
func (b *bench) apart() []sight {
	limit := b.p.Limits.DisagreeBar
	return []sight{{fmt.Sprintf("the cells more than %s apart", bar(limit)), func(i int) bool { return b.spread[i] > limit+tol }}}
}

// liveSights: the unit's PO2 outside the band of the causal estimate.
func (b *bench) liveSights() []sight {
	r, ok := b.replay(modelLivePolicy)
	if !ok || b.dive.UnitPO2Bar == nil {
		return nil
	}
	u, limit := b.dive.UnitPO2Bar, b.p.Limits.UnitDiffersBar
	return []sight{{fmt.Sprintf("the unit's PO2 more than %s outside the band of the estimate from the past alone", bar(limit)),
		func(i int) bool { return b.onLoop[i] && math.Max(u[i]-r.HighBar[i], r.LowBar[i]-u[i]) > limit+tol }}}
}

// cellSights: a cell's reading away from the median of the others, or from the causal estimate.
func (b *bench) cellSights(number int) []sight {
	limit := b.p.Limits.DisagreeBar
	k := -1
	for j, n := range b.numbers {
		if n == number {
			k = j
		}
	}
	if k < 0 {
		return nil
	}
	out := []sight{{fmt.Sprintf("cell %d more than %s from the median of the others", number, bar(limit)),
		func(i int) bool { return math.Abs(b.cells[k][i]-b.medianWithout(k, i)) > limit+tol }}}
	if r, ok := b.replay(modelLivePolicy); ok {
		out = append(out, b.liveCell(number, k, r, limit))
	}
	return out
}

func (b *bench) liveCell(number, k int, r vote.Result, limit float64) sight {
	return sight{fmt.Sprintf("cell %d more than %s from the estimate from the past alone", number, bar(limit)),
		func(i int) bool { return b.onLoop[i] && math.Abs(b.cells[k][i]-r.PO2Bar[i]) > limit+tol }}
}

// medianWithout is the median of the other cells' readings at row i, NaN for none.
func (b *bench) medianWithout(k, i int) float64 {
	var buf [16]float64
	others := buf[:0]
	for j := range b.cells {
		if v := b.cells[j][i]; j != k && !math.IsNaN(v) {
			others = append(others, v)
		}
	}
	for a := 1; a < len(others); a++ { // few: insertion
		for c := a; c > 0 && others[c] < others[c-1]; c-- {
			others[c], others[c-1] = others[c-1], others[c]
		}
	}
	if len(others) == 0 {
		return math.NaN()
	}
	return (others[(len(others)-1)/2] + others[len(others)/2]) / 2
}

// visibleDefinition states the rules of sights in words.
const visibleDefinition = "The first row of an event in which an observer with these readings, and nothing later, could have seen it. " +
	"Low or high oxygen: the unit's PO2 (else a cell's reading) past the limit. Set point not held: PO2 more than 0.10 bar off. " +
	"A valve, the supply or a leak: the same below or above the set point at constant depth. A cell: more than 0.20 bar from the median of the others, or from the estimate from the past alone, or the cells that far apart. " +
	"Cells that disagree: more than 0.20 bar apart. A unit's PO2 off the estimate: cells apart, or outside the band of the estimate from the past alone. Else it was not visible at the time, which is an honest outcome."

// responseDefinition states which action is set beside which event.
const responseDefinition = "The first recorded action that could serve, while the event could be seen or within 10 minutes of that; never claimed to be its consequence. " +
	"Low oxygen: bailout, flush, oxygen by hand, set point raised. High oxygen or a leak: bailout, diluent, set point lowered, ascent. Cells: bailout, flush, vote by hand, set point lowered, ascent. " +
	"Valve or supply: bailout, flush, oxygen by hand, ascent. Set point not held: the same without changes of set point. No action recorded is not the same as none taken. " +
	"A note is the next in the log and may not belong: a time stands beside it only within 120 s of when the event could be seen."
