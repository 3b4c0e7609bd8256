package analysis

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"afterloop/analysis/wording"
)

// halfByGas asks what the gas itself says of a PO2: moments of known gas, the
// pressure around, which PO2 can't exceed, and the estimate by the loop's physics
// where its band is narrow. They must not contradict one another.
func (b *bench) halfByGas(e span, _ []float64) (int, []string) {
	var spoken [2]int
	var why []string
	speak := func(against int, format string, args ...any) {
		if against >= 0 {
			spoken[1-against]++
			why = append(why, fmt.Sprintf(format, args...))
		}
	}
	for k := range b.halves[:2] {
		h := &b.halves[k]
		if cells, when := b.offKnownGas(h, e); cells != nil {
			speak(k, "at %s, a moment of known gas, %s %s of half %s read what that gas could not give; no cell of the other half did", when, plural(len(cells), "cell", "cells"), wording.And(cells), h.letter)
		}
		if w := extreme(b.abovePressure(h.po2), e, 1); w >= 0 && h.po2[w]-b.dive.AmbientBar[w] > b.p.Limits.AboveAmbientBar {
			speak(k, "half %s showed %s at %s, more than the pressure around (%s)", h.letter, bar(h.po2[w]), b.clock(b.tS[w]), bar(b.dive.AmbientBar[w]))
		}
	}
	against, text := b.halfByEstimate(e)
	speak(against, "%s", text)
	switch {
	case spoken[0] > 0 && spoken[1] > 0, spoken[0]+spoken[1] == 0:
		return -1, why
	case spoken[0] > 0:
		return 0, why
	}
	return 1, why
}

// offKnownGas names the half's cells, at least half of those that read, that a
// moment of known gas in the event found conclusively off while it found none of
// the other half's; nil where there is no such moment.
func (b *bench) offKnownGas(h *halfRecord, e span) ([]string, string) {
	for i := range b.debrief.KnownGas {
		g := &b.debrief.KnownGas[i]
		if !g.Assessed || float64(g.AtS) < e.fromS-b.p.Limits.MergeS || float64(g.AtS) > e.toS+b.p.Limits.MergeS {
			continue
		}
		var off []string
		own, others := 0, 0
		for _, r := range g.Readings {
			mine := slices.Contains(h.cells, r.Cell)
			switch {
			case mine && r.ReadBar.Known() && r.Conclusive:
				own, off = own+1, append(off, strconv.Itoa(r.Cell))
			case mine && r.ReadBar.Known():
				own++
			case r.Conclusive:
				others++
			}
		}
		if 2*len(off) >= own && own > 0 && others == 0 {
			return off, b.clock(float64(g.AtS))
		}
	}
	return nil, ""
}

func (b *bench) abovePressure(po2 []float64) []float64 {
	out := make([]float64, len(po2))
	for i := range out {
		out[i] = po2[i] - b.dive.AmbientBar[i]
	}
	return out
}

// halfByEstimate is the half that lay outside the estimate's band for most of the
// event while the other lay within, and the words for it; -1 where none did.
func (b *bench) halfByEstimate(e span) (int, string) {
	if b.diag == nil {
		return -1, ""
	}
	est := b.diag.estimate
	var out [2]float64
	var time float64
	for i := e.from; i <= e.to; i++ {
		x, y := b.halves[0].po2[i], b.halves[1].po2[i]
		if math.IsNaN(x+y) || !(est.HighBar[i]-est.LowBar[i] <= b.p.Vote.OutBar+tol) || !b.onLoop[i] {
			continue
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		time += w
		for k, v := range []float64{x, y} {
			if v > est.HighBar[i]+b.p.Limits.UnitDiffersBar || v < est.LowBar[i]-b.p.Limits.UnitDiffersBar {
				out[k] += w
			}
		}
	}
	const most, few = 0.6, 0.2
	for k := range out {
		if time > 0 && out[k] >= most*time && out[1-k] <= few*time && time >= 0.5*e.seconds() {
			return k, fmt.Sprintf("the estimate by the loop's physics has half %s outside its band for %.0f %% of the time, half %s for %.0f %%", b.halves[k].letter, 100*out[k]/time, b.halves[1-k].letter, 100*out[1-k]/time)
		}
	}
	return -1, ""
}

// halfAtSurface asks which depth sensor showed the surface as none: rows at which
// one of them was within the surface and the other was not, with the difference
// of the event, for AfterS in all. It tells a shift only, and only where both were out
// of the water.
func (b *bench) halfAtSurface(_ span, d []float64) (int, []string) {
	x, y := b.halves[0].depthM, b.halves[1].depthM
	var off [2]float64 // seconds
	for i := range d {
		if math.IsNaN(d[i]) || math.Min(math.Abs(x[i]), math.Abs(y[i])) > surfaceM/2 || math.Abs(d[i]) <= b.p.HalvesLimits.DepthM+tol {
			continue
		}
		if math.Abs(x[i]) > math.Abs(y[i]) {
			off[0] += rowSeconds(b.tS, b.gapAfter, i)
		} else {
			off[1] += rowSeconds(b.tS, b.gapAfter, i)
		}
	}
	for k := range off {
		if off[k] >= b.p.HalvesLimits.AfterS && off[1-k] == 0 {
			return 1 - k, []string{fmt.Sprintf("half %s still showed more than %.0f m while half %s showed the surface; only a half that floats deeper than the other would explain it", b.halves[k].letter, b.p.HalvesLimits.DepthM, b.halves[1-k].letter)}
		}
	}
	return -1, []string{}
}

// halfByPressure holds the pressures at the surface against the stated one.
func (b *bench) halfByPressure(_ span, d []float64) (int, []string) {
	m := b.dive.Meta
	if m.SurfaceAssumed {
		return -1, []string{}
	}
	var sets [2][]float64
	for i := range d {
		if !b.under[i] && !math.IsNaN(d[i]) {
			sets[0], sets[1] = append(sets[0], b.halves[0].ambientBar[i]), append(sets[1], b.halves[1].ambientBar[i])
		}
	}
	off := [2]float64{math.Abs(medianOf(sets[0]) - m.SurfacePressureBar), math.Abs(medianOf(sets[1]) - m.SurfacePressureBar)}
	for k := range off {
		if off[k] > b.p.HalvesLimits.AmbientBar && off[1-k] <= b.p.Limits.SurfacePressureBar {
			return 1 - k, []string{fmt.Sprintf("at the surface half %s measured %.2f bar from the stated pressure, half %s %.2f bar", b.halves[k].letter, off[k], b.halves[1-k].letter, off[1-k])}
		}
	}
	return -1, []string{}
}

// halfByDiluent uses that a loop holds no larger share of helium than its diluent.
func (b *bench) halfByDiluent(e span, _ []float64) (int, []string) {
	var above [2]int
	for i := e.from; i <= e.to; i++ {
		if g := b.dive.Diluent[i]; g.Known {
			for k, v := range []float64{b.halves[0].he[i], b.halves[1].he[i]} {
				if v > g.He+b.p.HalvesLimits.Helium {
					above[k]++
				}
			}
		}
	}
	for k := range above {
		if above[k] > 0 && above[1-k] == 0 {
			return 1 - k, []string{fmt.Sprintf("half %s measured more helium than the diluent holds", b.halves[k].letter)}
		}
	}
	return -1, []string{}
}
