package analysis

import (
	"math"
	"slices"

	"afterloop/analysis/vote"
)

// describeHalves fills the debrief's account of doubled electronics.
func (b *bench) describeHalves() {
	if len(b.halves) < 2 {
		return
	}
	out := &Halves{Rules: []string{}, Halves: []Half{}, Comparisons: b.compareHalves(), Replays: b.replayHalves(), EstimateReason: b.notDiagnosed()}
	if j := b.doubled; j != nil {
		out.Clock, out.Rules = clockOf(j), b.joinRules(j)
	}
	for k := range b.halves {
		out.Halves = append(out.Halves, b.describeHalf(k))
	}
	b.debrief.Halves = out
}

func clockOf(j *Doubled) *HalvesClock {
	c := j.Clock
	around := func(v, half float64) Interval { return Interval{Float(v), Float(v - half), Float(v + half), ""} }
	offsetAt := func(tA float64) Float { return Float(tA - c.ToB(tA)) }
	return &HalvesClock{OffsetS: around(c.OffsetS, c.OffsetHalfS), DriftPPM: around(c.DriftPPM, c.DriftHalfPPM), ReferenceS: Float(c.ReferenceS),
		OffsetFirst: offsetAt(c.FromS), OffsetLast: offsetAt(c.ToS), FromS: Float(c.FromS), ToS: Float(c.ToS), CommonS: Float(c.CommonS),
		MovingS: Float(c.MovingS), ResidualM: Float(c.ResidualM), AgreeM: Float(c.AgreeM), AgreeFraction: Float(c.AgreeFraction),
		MovingAgreeFraction: Float(c.MovingAgreeFraction), DepthZeroM: Float(c.DepthZeroM), DepthFactor: Float(c.DepthFactor), Start: j.startText}
}

// joinRules say how two logs were joined, with their letters.
func (b *bench) joinRules(j *Doubled) []string {
	x, y := j.half[0].letter, j.half[1].letter
	return append([]string{
		"times are by the clock of half " + x + "; rows are its own, and those of half " + y + " where half " + x + " recorded nothing",
		"figures of half " + y + " on rows of half " + x + " lie on the straight line between its two rows around, never across a gap; where these differ by more than the tolerance of the vote the nearer one stands as read",
		"votes, breathing, gases and events of half " + y + " are those of its nearest row; what its valves were open stands on the first row at or after its own",
		"depth, pressure, set point and the PO2 called the unit's are those of half " + x + ", and of half " + y + " where half " + x + " recorded nothing; depth and pressure are then brought to the sensor of half " + x,
	}, j.rules...)
}

// replayHalves replays every policy over all cells and over each half alone.
func (b *bench) replayHalves() []HalvesReplay {
	all := []int{}
	for k := range b.dive.Cells {
		all = append(all, b.dive.Cells[k].Number)
	}
	sets := []HalvesReplay{{Over: "all", Cells: all}}
	for k := range b.halves {
		if h := &b.halves[k]; len(h.cells) > 0 {
			sets = append(sets, HalvesReplay{Over: h.letter, Cells: h.cells})
		}
	}
	policies := vote.Policies()
	out := make([]HalvesReplay, len(policies)*len(sets))
	each(len(out), func(i int) {
		p, s := policies[i/len(sets)], sets[i%len(sets)]
		var r vote.Result
		if done, ok := b.replay(p.Name); ok && slices.Equal(b.numbers, s.Cells) {
			r = done
		} else {
			r = b.replayOver(p, s.Cells)
		}
		s.Policy, s.UndecidedS, s.NoneS = p.Name, Float(r.UndecidedS), Float(r.NoneS)
		s.MeanFromEstimateBar, s.WorstFromEstimate = b.fromEstimate(r.PO2Bar)
		out[i] = s
	})
	return out
}

// fromEstimate is how far a PO2 lies from the estimate while on the loop.
func (b *bench) fromEstimate(po2 []float64) (mean Float, worst Value) {
	diff := b.offEstimate(po2)
	if diff == nil {
		return unknown, noValue("bar")
	}
	size := make([]float64, len(diff))
	for i, v := range diff {
		size[i] = math.Abs(v)
	}
	w := extreme(size, span{from: 0, to: len(size) - 1}, 1)
	return Float(b.timeMean(size)), at(diff, b.tS, w, "bar")
}

// offEstimate is a PO2 less the estimate by row, NaN on open circuit; nil without an estimate.
func (b *bench) offEstimate(po2 []float64) []float64 {
	if b.diag == nil || po2 == nil {
		return nil
	}
	out := make([]float64, len(po2))
	for i := range out {
		if out[i] = math.NaN(); b.onLoop[i] {
			out[i] = po2[i] - b.diag.estimate.PO2Bar[i]
		}
	}
	return out
}

func (b *bench) describeHalf(k int) Half {
	h := &b.halves[k]
	out := Half{Half: h.letter, File: h.file, Cells: orEmpty(h.cells), Valves: orEmpty(h.valves), Batteries: orEmpty(h.batteries), Parts: h.parts,
		PO2From: h.po2From, FirstS: unknown, LastS: unknown, Gaps: []Span{}, Events: []LogEvent{}, Off: []HalfOff{}}
	if out.Parts == nil {
		out.Parts = []HalfPart{}
	}
	on := spansWhere(b.tS, b.gapAfter, func(i int) bool { return h.recorded[i] })
	if n := len(on); n > 0 {
		out.FirstS, out.LastS, out.RecordedS = Float(on[0].fromS), Float(b.tS[on[n-1].to]), Float(totalSeconds(on))
		for i := 1; i < n; i++ {
			if from, to := b.tS[on[i-1].to], on[i].fromS; to-from > b.gapLimitS() {
				out.Gaps = append(out.Gaps, Span{Float(from), Float(to)})
			}
		}
	}
	for _, e := range h.events {
		out.Events = append(out.Events, LogEvent{Float(b.tS[e.Row]), string(e.Kind)})
	}
	for _, s := range b.offWhileOther(k) {
		out.Off = append(out.Off, b.whileOff(k, s))
	}
	return out
}

func orEmpty(n []int) []int {
	if n == nil {
		return []int{}
	}
	return n
}

// gapLimitS is what is called a gap, as ingest does: 30 s and 2.5 usual intervals.
func (b *bench) gapLimitS() float64 { return math.Max(30, 2.5*b.sampleS) }

// offWhileOther are the stretches in which half k recorded nothing and another half did.
func (b *bench) offWhileOther(k int) []span {
	var out []span
	for _, s := range spansWhere(b.tS, b.gapAfter, func(i int) bool {
		if b.halves[k].recorded[i] {
			return false
		}
		for o := range b.halves {
			if o != k && b.halves[o].recorded[i] {
				return true
			}
		}
		return false
	}) {
		s = b.toRecorded(k, s)
		if s.seconds() > b.gapLimitS() {
			out = append(out, s)
		}
	}
	return out
}

// toRecorded lets a stretch begin and end with the half's own rows beside it.
func (b *bench) toRecorded(k int, s span) span {
	if i := s.from - 1; i >= 0 && b.halves[k].recorded[i] {
		s.fromS = b.tS[i]
	}
	if i := s.to + 1; i < len(b.tS) && b.halves[k].recorded[i] {
		s.toS = b.tS[i]
	}
	return s
}

// whileOff says what half k had before and after it was off, and what the other
// one did meanwhile.
func (b *bench) whileOff(k int, s span) HalfOff {
	h, o := &b.halves[k], &b.halves[b.otherOf(k, s)]
	out := HalfOff{FromS: Float(s.fromS), ToS: Float(s.toS), Other: o.letter, OtherMeanBar: unknown, OtherLowBar: unknown, OtherHighBar: unknown,
		OtherSetPointsBar: []Float{}, OtherOpenS: unknown, OtherUndecidedS: unknown, EstimateMeanBar: unknown, WorstFromEstimate: noValue("bar"),
		PO2BeforeBar: lastKnown(h.po2, s.from-1, -1), PO2AfterBar: lastKnown(h.po2, s.to+1, 1),
		SetPointBeforeBar: lastKnown(h.setPoint, s.from-1, -1), SetPointAfterBar: lastKnown(h.setPoint, s.to+1, 1)}
	if h.log == nil { // one set point for both
		out.SetPointBeforeBar, out.SetPointAfterBar = unknown, unknown
	}
	out.OtherMeanBar = b.meanOver(o.po2, s)
	if o.po2 != nil {
		out.OtherLowBar, out.OtherHighBar = at(o.po2, b.tS, extreme(o.po2, s, -1), "bar").Value, at(o.po2, b.tS, extreme(o.po2, s, 1), "bar").Value
	}
	for i := s.from; i <= s.to && o.setPoint != nil; i++ {
		if v := Float(o.setPoint[i]); v.Known() && !slices.Contains(out.OtherSetPointsBar, v) {
			out.OtherSetPointsBar = append(out.OtherSetPointsBar, v)
		}
	}
	for _, v := range b.dive.Valves {
		if slices.Contains(o.valves, v.Number) {
			out.OtherOpenS = Float(orZero(float64(out.OtherOpenS)) + sumOver(v.OpenS, s))
		}
	}
	if o.mid != nil {
		out.OtherUndecidedS = 0
		for i := s.from; i <= s.to; i++ {
			if o.mid.State[i] == vote.Undecided {
				out.OtherUndecidedS += Float(rowSeconds(b.tS, b.gapAfter, i))
			}
		}
	}
	if diff := b.offEstimate(o.po2); diff != nil {
		size := make([]float64, len(diff))
		for i := range diff {
			size[i] = math.Abs(diff[i])
		}
		out.WorstFromEstimate = at(diff, b.tS, extreme(size, s, 1), "bar")
		out.EstimateMeanBar = b.meanOver(b.diag.estimate.PO2Bar, s)
	}
	return out
}

// otherOf is the half that recorded while half k did not.
func (b *bench) otherOf(k int, s span) int {
	for o := range b.halves {
		if o != k && b.halves[o].recorded[s.from] {
			return o
		}
	}
	return (k + 1) % len(b.halves)
}

// lastKnown is the nearest number from row i on in a direction.
func lastKnown(x []float64, i, step int) Float {
	for ; x != nil && i >= 0 && i < len(x); i += step {
		if !math.IsNaN(x[i]) {
			return Float(x[i])
		}
	}
	return unknown
}

func (b *bench) meanOver(x []float64, s span) Float {
	if x == nil {
		return unknown
	}
	var sum, time float64
	for i := s.from; i <= s.to; i++ {
		if !math.IsNaN(x[i]) {
			w := rowSeconds(b.tS, b.gapAfter, i)
			sum, time = sum+x[i]*w, time+w
		}
	}
	if time == 0 {
		return unknown
	}
	return Float(sum / time)
}

func sumOver(x []float64, s span) float64 {
	var sum float64
	for i := s.from; i <= s.to; i++ {
		sum += orZero(x[i])
	}
	return sum
}

// halvesSeries are the columns that the report draws.
func (b *bench) halvesSeries(s *Series) {
	if len(b.halves) < 2 {
		return
	}
	for k := range b.halves {
		s.Halves = append(s.Halves, SeriesHalf{b.halves[k].letter, b.halves[k].po2})
	}
	s.HalvesDepthM = sideBySide(b.halves[0].depthM, b.halves[1].depthM)
}
