package supply

import (
	"math"
	"slices"

	"afterloop/analysis/fit"
)

// Battery is one battery over the dive, in V.
type Battery struct {
	Number int
	// Valves are those whose openings it is held against; Stated tells that the log
	// says so, else they are all.
	Valves []int
	Stated bool
	// Start and End are medians of ReadOverS; Min is the lowest reading, at MinAtS, but
	// for those in Lone.
	StartV, EndV, MinV, MinAtS float64
	StepV                      float64
	// RateVH is the fall per hour, by Theil and Sen over all readings.
	RateVH Range
	// SagMedianV and SagWorstV are by how much it fell in rows with a valve open,
	// against rows around; of Sags openings. A lower bound: a voltage that was taken
	// between openings shows nothing.
	SagMedianV, SagWorstV, SagWorstAtS float64
	Sags                               int
	// SagPerH is the growth of the sag, V/h.
	SagPerH Range
	// Grows tells that the sag grew beyond the limits.
	Grows bool
	// Drops are steps down between neighbouring minutes that stayed.
	Drops []Drop
	// Unseen are falls as large over a time without readings: whether in a step or
	// slowly is not known.
	Unseen []Drop
	// Lone are readings so far down, for so short a time, that they are set apart:
	// the lowest and the sag leave them out.
	Lone []Lone
	// Lost are losses of readings right after an opening.
	Lost []Loss
	// LostInAll are all losses of readings or rows, LossChance how likely so many of
	// them would fall right after such openings by chance.
	LostInAll  int
	LossChance float64
	// BelowS is the time below BatteryMinV in all, LowFromS when it was first; NaN where no limit is set.
	BelowS, LowFromS float64
	Reason           string // why there are no figures
	SagReason        string // why there is no sag
}

// Drop is a fall between two minutes with readings, the middles of which are SinceS and AtS.
type Drop struct{ SinceS, AtS, FromV, ToV float64 }

// Loss is a loss of readings, or of rows, right after an opening with a sag.
type Loss struct {
	AtS, SagV float64
	// Gap tells that rows are lost, else readings within a row.
	Gap bool
}

// battery looks at one.
func battery(in Input, v Voltage, p Params) Battery {
	nan := math.NaN()
	b := Battery{Number: v.Number, Valves: v.Valves, Stated: len(v.Valves) > 0, StartV: nan, EndV: nan, MinV: nan, MinAtS: nan, StepV: stepOf(v.V),
		LossChance: 1, RateVH: unknown(""), SagMedianV: nan, SagWorstV: nan, SagWorstAtS: nan, SagPerH: unknown(""), BelowS: nan, LowFromS: nan}
	first, last := firstKnown(v.V), lastKnown(v.V)
	if first < 0 {
		b.Reason = "no voltage was recorded"
		b.SagReason = b.Reason
		return b
	}
	b.StartV = readingIn(in, v.V, in.TimeS[first], in.TimeS[first]+p.ReadOverS, 0).Bar
	b.EndV = readingIn(in, v.V, in.TimeS[last]-p.ReadOverS, in.TimeS[last], 0).Bar
	b.below(in, v, p) // dips included: it is held against a limit in s
	v.V, b.Lone = setApart(in, v, p)
	for i, x := range v.V {
		if !math.IsNaN(x) && !(x >= b.MinV) {
			b.MinV, b.MinAtS = x, in.TimeS[i]
		}
	}
	b.RateVH = perHour(in.TimeS, v.V, -1, b.StepV)
	b.drops(in, v, p)
	b.sag(in, v, p)
	return b
}

// below adds up the time under the limit, dips included; less than BatteryAfterS in
// all counts as none.
func (b *Battery) below(in Input, v Voltage, p Params) {
	if !(p.BatteryMinV > 0) {
		return
	}
	b.BelowS = 0
	for i, x := range v.V {
		if !(x < p.BatteryMinV-1e-9) {
			continue
		}
		if math.IsNaN(b.LowFromS) {
			b.LowFromS = in.TimeS[i]
		}
		if i+1 < len(v.V) && !on(in.GapAfter, i, false) {
			b.BelowS += in.TimeS[i+1] - in.TimeS[i]
		}
	}
	if b.BelowS < p.BatteryAfterS-1e-9 {
		b.BelowS, b.LowFromS = 0, math.NaN()
	}
}

// idle is the voltage in rows without load alone: with openings in most rows of a
// minute its median would be that of the load.
func idle(in Input, v Voltage) []float64 {
	out := slices.Clone(v.V)
	for i, open := range openRows(in, v.Valves) {
		if open {
			out[i] = math.NaN()
		}
	}
	return out
}

// sag measures the openings, their growth, and what was lost right after them.
func (b *Battery) sag(in Input, v Voltage, p Params) {
	if len(in.Valves) == 0 {
		b.SagReason = "the log has no valve columns"
		return
	}
	open := openRows(in, v.Valves)
	var at, sags []float64
	var ends []int
	for i := 0; i < len(open); i++ {
		if !open[i] {
			continue
		}
		worst, j := math.NaN(), i
		for ; j < len(open) && open[j]; j++ {
			if s := b.sagAt(in, v, open, j, p); !math.IsNaN(s) && !(s <= worst) {
				worst = s
			}
		}
		if !math.IsNaN(worst) {
			at, sags, ends = append(at, in.TimeS[i]), append(sags, worst), append(ends, j-1)
		}
		i = j
	}
	if b.Sags = len(sags); b.Sags < p.SagLeast {
		b.SagReason = "too few openings with a voltage beside them"
		return
	}
	b.SagMedianV = fit.Median(sags)
	k := slices.Index(sags, slices.Max(sags))
	b.SagWorstV, b.SagWorstAtS = sags[k], at[k]
	b.SagPerH = perHour(at, sags, 1, b.StepV)
	b.grows(at, p)
	b.losses(in, v, sags, ends, p)
}

// openRows marks rows in which one of the valves was open; no numbers mean all.
func openRows(in Input, numbers []int) []bool {
	open := make([]bool, len(in.TimeS))
	for _, v := range in.Valves {
		if len(numbers) > 0 && !slices.Contains(numbers, v.Number) {
			continue
		}
		for i := range open {
			open[i] = open[i] || value(v.OpenS, i) > 0
		}
	}
	return open
}

// aroundMost is how many rows on each side the voltage without load is taken from.
const aroundMost = 10

// sagAt is by how much row i lies under the rows around it without load.
func (b *Battery) sagAt(in Input, v Voltage, open []bool, i int, p Params) float64 {
	if math.IsNaN(v.V[i]) {
		return math.NaN()
	}
	var buf [2 * aroundMost]float64
	idle := buf[:0]
	for _, dir := range []int{-1, 1} {
		for j, n := i+dir, 0; j >= 0 && j < len(open) && n < aroundMost && math.Abs(in.TimeS[j]-in.TimeS[i]) <= p.SagAroundS; j += dir {
			if !open[j] && !math.IsNaN(v.V[j]) {
				idle, n = append(idle, v.V[j]), n+1
			}
		}
	}
	return middle(idle) - v.V[i] // NaN without any
}

// grows tells whether the sag grew over the openings by SagGrowth of its median,
// by two steps of the record, and with its interval above 0.
func (b *Battery) grows(at []float64, p Params) {
	hours := (at[len(at)-1] - at[0]) / 3600
	grown := b.SagPerH.Value * hours
	if !b.SagPerH.Known() || !(b.SagPerH.Low > 0) {
		return
	}
	b.Grows = grown > p.SagGrowth*b.SagMedianV && (math.IsNaN(b.StepV) || grown >= 2*b.StepV)
}

// losses sets losses of rows or readings beside the opening just before them, where
// its sag was at least the median, and asks whether chance would do as well.
func (b *Battery) losses(in Input, v Voltage, sags []float64, ends []int, p Params) {
	after := make([]bool, len(in.TimeS)) // rows right after such an opening
	sagOf := make([]float64, len(in.TimeS))
	for k, end := range ends {
		if !(sags[k] > 0) || sags[k] < b.SagMedianV {
			continue
		}
		for j := end; j < len(in.TimeS) && (j-end <= 2 || in.TimeS[j]-in.TimeS[end] <= p.BrownOutAfterS); j++ {
			after[j], sagOf[j] = true, sags[k]
		}
	}
	share := 0.0
	for j := range after {
		gap := on(in.GapAfter, j, false)
		lost := gap || on(v.Lost, j, false)
		if lost {
			b.LostInAll++
		}
		if after[j] {
			share += 1 / float64(len(after))
			if lost {
				b.Lost = append(b.Lost, Loss{AtS: in.TimeS[j], SagV: sagOf[j], Gap: gap})
			}
		}
	}
	b.LossChance = atLeast(len(b.Lost), b.LostInAll, share)
}

// atLeast is the chance of k or more of n, each with probability p.
func atLeast(k, n int, p float64) float64 {
	if k == 0 {
		return 1
	}
	tail, term := 0.0, math.Pow(1-p, float64(n)) // term i = C(n,i) p^i (1-p)^(n-i)
	for i := 0; i <= n; i++ {
		if i >= k {
			tail += term
		}
		term *= float64(n-i) / float64(i+1) * p / (1 - p)
	}
	return math.Min(1, tail)
}
