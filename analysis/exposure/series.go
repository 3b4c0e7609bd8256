package exposure

import (
	"cmp"
	"math"
	"slices"
)

// This file has what a series of dives needs beside [Rolling24h]: a course cut at
// a moment without losing or doubling any dose, the load at given moments, and the
// single-exposure fraction carried from dive to dive.

// FromS is the first moment of the stretch on the common clock, ToS the last; an
// empty one has no length.
func (s Stretch) FromS() float64 { a, _ := s.span(); return a }

// ToS is the last moment of the stretch.
func (s Stretch) ToS() float64 { _, b := s.span(); return b }

// Dose is [Integrate] over the stretch.
func (s Stretch) Dose(o Options) Result { return Integrate(s.TimeS, s.PO2, s.GapAfter, o) }

// Compact is the stretch without its rows that hold no reading, each gap and each
// hole that is too long flagged as a gap: it has the same doses whatever the
// MaxHoleS, so that logs of different intervals can stand in one series.
func (s Stretch) Compact(o Options) Stretch {
	checkLengths(s.TimeS, s.PO2, s.GapAfter)
	out := Stretch{StartS: s.StartS}
	put := func(i int) {
		out.TimeS, out.PO2, out.GapAfter = append(out.TimeS, s.TimeS[i]), append(out.PO2, s.PO2[i]), append(out.GapAfter, false)
	}
	eachPair(s.TimeS, s.PO2, s.GapAfter, o.maxHoleS(), func(i, j int, gap bool) {
		if len(out.TimeS) == 0 {
			put(i)
		}
		out.GapAfter[len(out.GapAfter)-1] = gap
		put(j)
	})
	return out
}

// Cut parts a stretch at a moment of the common clock. The doses of both parts,
// low and high, add up to those of the whole within rounding: at the cut both get
// a row with the PO2 of the straight line, or, in a gap, with the higher of its two
// ends, by which the high end charges it. A moment outside leaves one part empty.
func (s Stretch) Cut(atS float64, o Options) (before, after Stretch) {
	checkLengths(s.TimeS, s.PO2, s.GapAfter)
	x := atS - s.StartS
	n := len(s.TimeS)
	if n == 0 || x <= s.TimeS[0] {
		return Stretch{StartS: s.StartS}, s
	}
	if x >= s.TimeS[n-1] {
		return s, Stretch{StartS: s.StartS}
	}
	m, exact := slices.BinarySearch(s.TimeS, x)
	rest := m
	if exact {
		rest++
	}
	po, gapBefore, gapAfter := s.at(x, o.maxHoleS())
	before = Stretch{s.StartS, append(slices.Clone(s.TimeS[:m]), x), append(slices.Clone(s.PO2[:m]), po), append(slices.Clone(gaps(s.GapAfter, 0, m)), false)}
	after = Stretch{s.StartS, append([]float64{x}, s.TimeS[rest:]...), append([]float64{po}, s.PO2[rest:]...), append([]bool{gapAfter}, gaps(s.GapAfter, rest, n)...)}
	if gapBefore {
		before.GapAfter[m-1] = true
	}
	return before, after
}

// Without is the stretch less the time from fromS to toS: none, one or two parts.
func (s Stretch) Without(fromS, toS float64, o Options) []Stretch {
	before, rest := s.Cut(fromS, o)
	_, after := rest.Cut(toS, o)
	var out []Stretch
	for _, p := range []Stretch{before, after} {
		if len(p.TimeS) > 1 {
			out = append(out, p)
		}
	}
	return out
}

// Within is the part of the stretch from fromS to toS.
func (s Stretch) Within(fromS, toS float64, o Options) Stretch {
	_, rest := s.Cut(fromS, o)
	part, _ := rest.Cut(toS, o)
	return part
}

// gaps are the flags of some rows; nil stands for none.
func gaps(g []bool, from, to int) []bool {
	if g == nil {
		return make([]bool, to-from)
	}
	return g[from:to]
}

// at is what a row at x would hold so that no dose changes, and whether a gap lies
// before it and after it. NaN before the first reading and after the last.
func (s Stretch) at(x, maxHoleS float64) (po float64, gapBefore, gapAfter bool) {
	k, _ := slices.BinarySearch(s.TimeS, x)
	i, j := k, k
	if k == len(s.TimeS) || s.TimeS[k] > x {
		i--
	}
	for i >= 0 && math.IsNaN(s.PO2[i]) {
		i--
	}
	for j < len(s.PO2) && math.IsNaN(s.PO2[j]) {
		j++
	}
	switch {
	case i == j:
		return s.PO2[i], false, s.GapAfter != nil && s.GapAfter[i]
	case i < 0 || j >= len(s.PO2):
		return math.NaN(), true, true
	}
	gap := j > i+1 && s.TimeS[j]-s.TimeS[i] > maxHoleS || s.GapAfter != nil && slices.Contains(s.GapAfter[i:j], true)
	if gap {
		return math.Max(s.PO2[i], s.PO2[j]), true, true
	}
	share := (x - s.TimeS[i]) / (s.TimeS[j] - s.TimeS[i])
	return s.PO2[i] + share*(s.PO2[j]-s.PO2[i]), false, false
}

// Rolling24hAt is the share of the 24-hour limit taken within the 24 hours before
// each moment, without gaps, with the conventions of [Rolling24h].
func Rolling24hAt(stretches []Stretch, atS []float64, o Options) []float64 {
	var all []piece
	for _, s := range stretches {
		known, _ := pieces(s, o)
		all = append(all, known...)
	}
	l := newLoad(all)
	out := make([]float64, len(atS))
	for i, t := range atS {
		out[i] = valueAt(l.atS, l.sum, t) - valueAt(l.atS, l.sum, t-dayS)
	}
	return out
}

// Taken is a single-exposure fraction taken from FromS to ToS on a common clock.
type Taken struct {
	FromS, ToS float64
	Fraction   float64
	LowerBound bool
}

// CarryTaken is [Carry] for fractions that are known already, in any order: out is
// in the order given. Where two overlap nothing decays between them.
func CarryTaken(taken []Taken, o Options) []Carried {
	order := make([]int, len(taken))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(taken[a].FromS, taken[b].FromS) })
	out := make([]Carried, len(taken))
	left, leftAtS, lower := 0.0, math.Inf(-1), false
	for n, k := range order {
		d := taken[k]
		if n > 0 {
			left = SurfaceDecay(left, d.FromS-leftAtS, o)
		}
		lower = lower || d.LowerBound
		out[k] = Carried{Before: left, After: left + d.Fraction, LowerBound: lower}
		left, leftAtS = out[k].After, math.Max(leftAtS, d.ToS)
	}
	return out
}
