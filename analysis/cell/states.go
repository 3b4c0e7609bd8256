package cell

import (
	"math"
	"sort"

	"afterloop/analysis/loop"
)

// What the estimate is told of a cell's lag where the diagnosis leaves it open:
// drawn towards a new cell's, as far as its interval allows.
const (
	usualT90S   = 6   // s; new cells: 5 to 10 s (common practice)
	usualT90SDS = 1.5 // s; ours
)

// MarginS is what is kept away, in seconds, from a stretch in which a cell or a
// valve says nothing. Ours.
const MarginS = 10

// States turns a diagnosis into what the estimate may use of each cell: a
// slow cell with its own lag, a limited one below its ceiling, a frozen or
// erratic one outside its bad stretch, a miscalibrated one for changes only; nothing
// where no cell follows PO2.
func States(r loop.Record, d Diagnosis) []loop.CellState {
	out := make([]loop.CellState, len(r.CellsBar))
	if d.NotFollowing != nil { // what none of them followed, none of them tells
		return out
	}
	for k := range out {
		out[k] = cellState(r, d, d.Cells[k])
	}
	return out
}

func cellState(r loop.Record, d Diagnosis, rep Report) loop.CellState {
	nan := math.NaN()
	st := loop.CellState{NoiseBar: rep.NoiseBar.Value}
	base := loop.CellSpan{FromS: nan, ToS: nan, T90S: drawnT90(rep.T90S), CeilingBar: nan}
	late := loop.CellSpan{FromS: nan}
	cut := append([]Span{}, rep.Unusable...)
	for _, f := range d.Faults {
		if f.Cell != rep.Cell || f.Borderline {
			continue
		}
		switch f.Kind {
		case Slow:
			if f.FromS > r.TimeS[0]+1 {
				late = loop.CellSpan{FromS: f.FromS, ToS: nan, T90S: f.Value, CeilingBar: nan}
				base.T90S = nan
			} else {
				base.T90S = f.Value
			}
		case Limited:
			base.CeilingBar = f.Value
		case Miscalibrated:
			st.GainOff = f.Confidence != Possible
		case Drifting, Frozen, Erratic:
			cut = append(cut, Span{FromS: f.FromS, ToS: f.ToS})
		}
	}
	st.Spans = cutSpans(base, late, cut)
	return st
}

// drawnT90 is a T90 drawn towards that of new cells, by the weight of both.
func drawnT90(v Interval) float64 {
	sd := (v.High - v.Low) / 4
	if math.IsNaN(sd) || sd <= 0 {
		return v.Value
	}
	w, prior := 1/(sd*sd), 1/(usualT90SDS*usualT90SDS)
	return (v.Value*w + usualT90S*prior) / (w + prior)
}

// cutSpans is the base span, from late on with late's lag, without the stretches
// in cut and a margin around them.
func cutSpans(base, late loop.CellSpan, cut []Span) []loop.CellSpan {
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
			next = append(next, without(s, c)...)
		}
		spans = next
	}
	return spans
}

// without is span s less the stretch c and its margins: none, one or two spans.
func without(s loop.CellSpan, c Span) []loop.CellSpan {
	var out []loop.CellSpan
	from, to := c.FromS-MarginS, c.ToS+MarginS
	if !(s.FromS > from) {
		a := s
		if !(a.ToS < from) {
			a.ToS = from
		}
		out = append(out, a)
	}
	if !math.IsNaN(c.ToS) && !(s.ToS < to) {
		a := s
		if !(a.FromS > to) {
			a.FromS = to
		}
		out = append(out, a)
	}
	return out
}
