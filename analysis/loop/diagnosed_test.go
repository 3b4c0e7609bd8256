package loop_test

import (
	"math"
	"sort"
	"testing"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
)

// states is what a diagnosis tells the estimate of each cell.
func states(r loop.Record, d cell.Diagnosis) []loop.CellState {
	nan := math.NaN()
	out := make([]loop.CellState, len(r.CellsBar))
	for k := range out {
		rep := d.Cells[k]
		base := loop.CellSpan{FromS: nan, ToS: nan, T90S: shrunk(rep.T90S), CeilingBar: nan}
		late := loop.CellSpan{FromS: nan}
		var cut []cell.Span
		cut = append(cut, rep.Unusable...)
		for _, f := range d.Faults {
			if f.Cell != rep.Cell || f.Borderline {
				continue
			}
			switch f.Kind {
			case cell.Slow:
				if f.FromS > r.TimeS[0]+1 {
					late = loop.CellSpan{FromS: f.FromS, ToS: nan, T90S: f.Value, CeilingBar: nan}
					base.T90S = nan
				} else {
					base.T90S = f.Value
				}
			case cell.Limited:
				base.CeilingBar = f.Value
			case cell.Miscalibrated:
				out[k].GainOff = f.Confidence != cell.Possible
			case cell.Drifting, cell.Frozen, cell.Erratic:
				cut = append(cut, cell.Span{FromS: f.FromS, ToS: f.ToS})
			}
		}
		out[k].NoiseBar = rep.NoiseBar.Value
		out[k].Spans = cutSpans(base, late, cut)
	}
	return out
}

// shrunk is a T90 drawn towards that of new cells (5 to 10 s at most, common
// practice) as far as its interval leaves open.
func shrunk(v cell.Interval) float64 {
	const usual, sd = 6, 1.5
	w := 1 / math.Pow((v.High-v.Low)/4, 2)
	return (v.Value*w + usual/(sd*sd)) / (w + 1/(sd*sd))
}

// cutSpans is the base span, from late on with late's lag, without the stretches
// in cut and 10 s around them.
func cutSpans(base, late loop.CellSpan, cut []cell.Span) []loop.CellSpan {
	spans := []loop.CellSpan{base}
	if late.FromS > 0 {
		late.CeilingBar = base.CeilingBar
		base.ToS = late.FromS
		spans = []loop.CellSpan{base, late}
	}
	sort.Slice(cut, func(i, j int) bool { return cut[i].FromS < cut[j].FromS })
	for _, c := range cut {
		var next []loop.CellSpan
		for _, s := range spans {
			if !(s.FromS > c.FromS-10) {
				a := s
				if !(a.ToS < c.FromS-10) {
					a.ToS = c.FromS - 10
				}
				next = append(next, a)
			}
			if !math.IsNaN(c.ToS) && !(s.ToS < c.ToS+10) {
				b := s
				if !(b.FromS > c.ToS+10) {
					b.FromS = c.ToS + 10
				}
				next = append(next, b)
			}
		}
		spans = next
	}
	return spans
}

func TestScoreWithDiagnosis(t *testing.T) {
	for _, dir := range logFolders(t) {
		for _, prefix := range prefixes(t, dir) {
			logs := loadLogs(t, dir, prefix)
			var scores []estimateScore
			var sc valveScore
			for _, s := range logs {
				st := states(s.rec, cell.Diagnose(s.rec, cell.DefaultParams()))
				e := loop.Smooth(s.rec, st, loop.DefaultParams())
				v := loop.Valves(s.rec, st, e.PO2Bar, loop.DefaultParams())
				if len(v.Faults) > 0 {
					e = loop.Smooth(loop.Delivered(s.rec, v.Faults), st, loop.DefaultParams())
				}
				es := scoreEstimate(s, e)
				scores = append(scores, es)
				if testing.Verbose() {
					t.Logf("%s %-12s %-8s rmse %.4f scale %.4f vote %.4f ratio %.2f cover %.2f width %.3f", s.name, s.Fault, s.Hard, es.rmse,
						es.scaleOnly, es.vote, es.ratio, float64(es.inside)/float64(es.total), es.width)
				}
				sc.add(t, s, v)
			}
			t.Logf("%s:%s diagnosed %s", dir, prefix, summary(scores))
			meet(t, prefix, scores, 1)
			t.Logf("%s:%s valves: right %d of %d, sure %d, false alarms %d (sure %d), onset median %.0f s", dir, prefix,
				sc.right, sc.faults, sc.sure, sc.falseAlarms, sc.sureWrong, median(sc.onset))
		}
	}
}
