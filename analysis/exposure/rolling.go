package exposure

import (
	"cmp"
	"math"
	"slices"
)

// dayS is the length of the window of the 24-hour limit in seconds.
const dayS = 24 * 60 * 60

// Stretch is one course of PO2 on a clock that it shares with others, such as
// one dive of a series.
type Stretch struct {
	// StartS is where TimeS counts from, in seconds on the common clock.
	StartS float64
	// TimeS are the times of the rows in seconds, strictly increasing; PO2 in bar, NaN
	// where not recorded; GapAfter as in [Integrate], or nil.
	TimeS, PO2 []float64
	GapAfter   []bool
}

// span is the first and the last moment of the stretch on the common clock; an
// empty one has no length.
func (s Stretch) span() (fromS, toS float64) {
	if len(s.TimeS) == 0 {
		return s.StartS, s.StartS
	}
	return s.StartS + s.TimeS[0], s.StartS + s.TimeS[len(s.TimeS)-1]
}

// Window is a time of 24 hours and the share of the 24-hour limit taken in it.
type Window struct {
	// FromS and ToS are on the common clock; NaN without any exposure.
	FromS, ToS float64
	// Fraction is of the 24-hour limit by the step rule, without decay; a lower bound
	// where AboveTableS, the seconds in it beyond the table, is above 0.
	Fraction    float64
	AboveTableS float64
}

// LowerBound tells whether part of the window lies beyond the table.
func (w Window) LowerBound() bool { return w.AboveTableS > 0 }

// Rolling is the load by the 24-hour limit over a series.
type Rolling struct {
	// Peak is the worst window of all; PeakHigh is the same with gaps charged at the
	// higher of their two ends.
	Peak, PeakHigh Window
	// ByStretch is the worst window that ends within each stretch, in the order given.
	ByStretch []Window
}

// Rolling24h is the largest share of the 24-hour limit taken within any 24 hours,
// exactly: the load changes at constant rates between the moments at which PO2
// enters or leaves a band, so its extremes lie at those moments or a day after.
// Stretches may come in any order; where they overlap, their loads add up, which
// errs on the safe side.
func Rolling24h(stretches []Stretch, o Options) Rolling {
	var seen, all []piece
	for _, s := range stretches {
		known, gaps := pieces(s, o)
		seen = append(seen, known...)
		all = append(append(all, known...), gaps...)
	}
	load := newLoad(seen)
	r := Rolling{Peak: load.worst(math.Inf(-1), math.Inf(1)), PeakHigh: newLoad(all).worst(math.Inf(-1), math.Inf(1))}
	for _, s := range stretches {
		fromS, toS := s.span()
		r.ByStretch = append(r.ByStretch, load.worst(fromS, toS))
	}
	return r
}

// piece is a time spent in one band of the table.
type piece struct {
	fromS, toS float64
	band       int
}

// pieces cuts a stretch where PO2 goes from one band to another; gaps are charged
// at the higher of their ends.
func pieces(s Stretch, o Options) (known, gaps []piece) {
	checkLengths(s.TimeS, s.PO2, s.GapAfter)
	eachPair(s.TimeS, s.PO2, s.GapAfter, o.maxHoleS(), func(i, j int, gap bool) {
		fromS, toS := s.StartS+s.TimeS[i], s.StartS+s.TimeS[j]
		p0, p1 := o.tablePO2(s.PO2[i]), o.tablePO2(s.PO2[j])
		if gap {
			gaps = append(gaps, piece{fromS, toS, bandOf(math.Max(p0, p1))})
			return
		}
		known = appendCrossings(known, p0, p1, fromS, toS)
	})
	return known, gaps
}

// appendCrossings adds the pieces of a straight course from p0 to p1, joined to
// the last where the band goes on.
func appendCrossings(out []piece, p0, p1, fromS, toS float64) []piece {
	at := fromS
	add := func(band int, share float64) {
		end := math.Min(at+share*(toS-fromS), toS)
		if n := len(out); n > 0 && out[n-1].band == band && out[n-1].toS == at {
			out[n-1].toS = end
		} else {
			out = append(out, piece{at, end, band})
		}
		at = end
	}
	if p0 <= p1 {
		eachBand(p0, p1, add)
	} else {
		eachBandDown(p1, p0, add)
	}
	out[len(out)-1].toS = toS // the shares sum to 1 but for rounding
	return out
}

// eachBandDown is [eachBand] from hi to lo.
func eachBandDown(lo, hi float64, visit func(band int, share float64)) {
	var bands [bandAbove + 1]piece
	n := 0
	eachBand(lo, hi, func(band int, share float64) {
		bands[n] = piece{toS: share, band: band}
		n++
	})
	for n--; n >= 0; n-- {
		visit(bands[n].band, bands[n].toS)
	}
}

// load is the running sum of the shares of the 24-hour limit, a broken line with
// a knot wherever its slope changes.
type load struct {
	atS, sum, aboveS []float64
}

// newLoad adds up pieces, which may overlap.
func newLoad(pieces []piece) load {
	type change struct {
		atS          float64
		band, amount int
	}
	changes := make([]change, 0, 2*len(pieces))
	for _, p := range pieces {
		if p.band != bandFree {
			changes = append(changes, change{p.fromS, p.band, 1}, change{p.toS, p.band, -1})
		}
	}
	slices.SortStableFunc(changes, func(a, b change) int { return cmp.Compare(a.atS, b.atS) })
	var l load
	var in [bandAbove + 1]int // how many pieces hold each band now
	sum, aboveS := 0.0, 0.0
	for k, c := range changes {
		if k > 0 {
			dtS := c.atS - changes[k-1].atS
			for band := bandFree + 1; dtS > 0 && band <= bandAbove; band++ {
				sum += float64(in[band]) * dtS / 60 / dailyMin[band]
			}
			aboveS += float64(in[bandAbove]) * dtS
		}
		in[c.band] += c.amount
		l.atS, l.sum, l.aboveS = append(l.atS, c.atS), append(l.sum, sum), append(l.aboveS, aboveS)
	}
	return l
}

// worst is the window with the largest load among those that end from fromS to
// toS; the earliest of several.
func (l load) worst(fromS, toS float64) Window {
	best := Window{FromS: math.NaN(), ToS: math.NaN()}
	for _, endS := range l.ends(fromS, toS) {
		f := valueAt(l.atS, l.sum, endS) - valueAt(l.atS, l.sum, endS-dayS)
		if f > best.Fraction+1e-12 { // less is rounding
			above := valueAt(l.atS, l.aboveS, endS) - valueAt(l.atS, l.aboveS, endS-dayS)
			best = Window{FromS: endS - dayS, ToS: endS, Fraction: f, AboveTableS: above}
		}
	}
	return best
}

// ends are the moments, in order, at which a window may hold the most: the knots
// and a day after them, from fromS to toS, which count too where finite.
func (l load) ends(fromS, toS float64) []float64 {
	ends := slices.Clone(between(l.atS, fromS, toS))
	for _, s := range between(l.atS, fromS-dayS, toS-dayS) {
		ends = append(ends, s+dayS)
	}
	for _, s := range []float64{fromS, toS} {
		if !math.IsInf(s, 0) {
			ends = append(ends, s)
		}
	}
	slices.Sort(ends)
	return ends
}

// between are the sorted times from fromS up to toS, which is left out.
func between(atS []float64, fromS, toS float64) []float64 {
	i, _ := slices.BinarySearch(atS, fromS)
	j, _ := slices.BinarySearch(atS, toS)
	return atS[i:max(i, j)]
}

// valueAt is the broken line through (x, y) at atX, level beyond its ends.
func valueAt(x, y []float64, atX float64) float64 {
	k, found := slices.BinarySearch(x, atX)
	switch {
	case len(x) == 0 || k == 0 && !found:
		return 0
	case found:
		for k+1 < len(x) && x[k+1] == atX {
			k++
		}
		return y[k]
	case k == len(x):
		return y[k-1]
	}
	share := (atX - x[k-1]) / (x[k] - x[k-1])
	return y[k-1] + share*(y[k]-y[k-1])
}
