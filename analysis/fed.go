package analysis

import "math"

// noBelievedPO2 is why a figure that rests on PO2 is not assessed.
const noBelievedPO2 = "no PO2 that is believed: too few readings, or all of them judged false"

// fedShare is the least share of the time on the loop in which a believed cell must
// have read, for the estimate to be a PO2 that may have been breathed. Ours: with
// less, what the estimate says is mostly the bounds of physics.
const fedShare = 0.5

// estimateFed tells whether readings carried the estimate: for [fedShare] of the time
// on the loop at least one cell had a reading in a stretch in which it is believed. A
// reading at a cell's ceiling counts, for it says that PO2 was at least that. A
// reading holds to the next over a hole that a dose bridges. A dive wholly on open
// circuit needs none.
func (b *bench) estimateFed() bool {
	if b.diag == nil {
		return false
	}
	read := make([]bool, len(b.tS))
	for k := range b.diag.states {
		po2 := b.dive.Cells[k].PO2Bar
		for _, s := range b.diag.states[k].Spans {
			for i, t := range b.tS {
				if !math.IsNaN(po2[i]) && !(t < s.FromS) && !(t > s.ToS) {
					read[i] = true
				}
			}
		}
	}
	fed, all := 0.0, 0.0
	unread := b.unread(read)
	for i := range b.tS {
		if !b.onLoop[i] {
			continue
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		if all += w; !unread[i] {
			fed += w
		}
	}
	return fed >= fedShare*all
}

// unread marks the rows in holes longer than those that a dose bridges, and those
// before the first reading and after the last.
func (b *bench) unread(read []bool) []bool {
	out := make([]bool, len(read))
	holeS := b.doseOptions().MaxHoleS
	last := -1
	mark := func(to int) {
		for i := last + 1; i < to; i++ {
			out[i] = true
		}
	}
	for i, ok := range read {
		if !ok {
			continue
		}
		if last < 0 || b.tS[i]-b.tS[last] > holeS {
			mark(i)
		}
		last = i
	}
	mark(len(read))
	return out
}

// whereRead is po2 without the stretches in which no cell had a reading: there an
// estimate is only what the loop's physics allows, and its dose is that of a gap.
func (b *bench) whereRead(po2 []float64) []float64 {
	read, all := make([]bool, len(po2)), true
	for i := range read {
		for k := range b.dive.Cells {
			read[i] = read[i] || !math.IsNaN(b.dive.Cells[k].PO2Bar[i])
		}
		all = all && read[i]
	}
	if all {
		return po2
	}
	out := append([]float64{}, po2...)
	for i, hole := range b.unread(read) {
		if hole {
			out[i] = math.NaN()
		}
	}
	return out
}

// gasPO2 is the PO2 on which the gas on the loop rests, with its name: the estimate
// where readings carried it, else what the unit or the cells said if that is
// believed, else nothing.
func (b *bench) gasPO2() ([]float64, string) {
	if b.estimateFed() {
		return b.whereRead(b.diag.estimate.PO2Bar), "estimate"
	}
	if !b.sourceJudgedFalse(b.bestName) {
		return b.best, b.bestName
	}
	none := make([]float64, len(b.tS))
	for i := range none {
		none[i] = math.NaN()
	}
	return none, b.bestName
}
