package analysis

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis/gas"
)

// useBound is the most that the diver's own use may have taken from PO2 since a
// diluent flush. With the volume held by diluent, as after a flush,
//
//	dp/dt = -(1 - F_dil) VO2/V
//
// and a loop left to collapse from F_dil P_d falls as fast (METHODS, "The loop").
type useBound struct {
	fromS   float64 // the earliest that PO2 may have come down to the gas, s
	barS    float64 // (1 - F_dil) VO2/V at most, bar/s
	fromLog bool    // VO2/V was found on this dive
}

// useBound is the bound for the flush at row with a diluent of fraction f. VO2/V
// is the largest that this dive's level windows leave possible, times
// UseReserve for harder work at the flush; where none is known, the planning
// range's most over the stated volume, or over its smallest. The event may have
// been logged when the flush was over, so that use may have begun before it;
// [useBound.since] says when the readings show that it had not.
func (b *bench) useBound(row int, f float64) useBound {
	u := useBound{fromS: b.tS[row] - b.p.Mask.BeforeS}
	perMin, ok := b.mostUsed()
	if !ok {
		p, v := b.p.Injection, b.dive.Meta.LoopVolumeL
		if !(v > 0) {
			v = p.PlanVolumeLowL
		}
		perMin = p.PlanVO2HighLMin / v
	}
	u.fromLog = ok
	u.barS = (1 - f) * perMin * gas.STPDToLoop(1, b.loopTempC())
	return u
}

// mostUsed is the largest VO2/V in 1/min that the dive's own balance of oxygen
// leaves possible, with the reserve; false before the balance is known.
func (b *bench) mostUsed() (float64, bool) {
	in := b.debrief.Injection
	if in == nil || !in.VO2PerVolume.High.Known() {
		return 0, false
	}
	most := float64(in.VO2PerVolume.High)
	for _, w := range in.Windows {
		if w.Used && w.VO2PerVolume.High.Known() {
			most = math.Max(most, float64(w.VO2PerVolume.High))
		}
	}
	return most * b.p.KnownGas.UseReserve, most > 0
}

// lost is what PO2 may have lost by moment t, bar.
func (u useBound) lost(t float64) float64 { return math.Max(0, t-u.fromS) * u.barS }

// text says what was allowed for.
func (u useBound) text() string {
	from := "the planning range of use"
	if u.fromLog {
		from = "the use found on this dive, with a reserve"
	}
	return fmt.Sprintf("; the low end less the diver's own use of at most %.2f bar/min (%s)", 60*u.barS, from)
}

// since is u with its clock started when PO2 may first have come down to the gas:
// while PO2 is above F_dil P, use can't have brought it below. Who tells is the
// lower middle of the other cells, allowed to read high by the tolerance; a late
// cell among them is not the lower. Without other cells the clock stands as it is.
func (u useBound) since(b *bench, c int, s span, f float64) useBound {
	for i := s.from; i <= s.to; i++ {
		v := b.lowerMiddleOfOthers(c, i)
		if math.IsNaN(v) || v <= f*b.dive.AmbientBar[i]+b.p.KnownGas.ToleranceBar+tol {
			break
		}
		u.fromS = b.tS[i]
	}
	return u
}

// lowerMiddleOfOthers is the median of the other cells' readings in row i, the
// lower one of two; NaN where none reads.
func (b *bench) lowerMiddleOfOthers(c, i int) float64 {
	var v []float64
	for k := range b.cells {
		if k != c && !math.IsNaN(b.cells[k][i]) {
			v = append(v, b.cells[k][i])
		}
	}
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[(len(v)-1)/2]
}

// belowUse tells whether cell c read lower, for PlateauS on end within s, than
// use explains: F_dil P_d less what was used until each row, less the tolerance.
// A late cell reads higher than the gas on the way down, never lower.
func (b *bench) belowUse(c int, s span, f float64, u useBound) bool {
	p, since := b.p.KnownGas, math.NaN()
	u = u.since(b, c, s, f)
	for i := s.from; i <= s.to; i++ {
		v := b.cells[c][i]
		least := f*(b.dive.AmbientBar[i]-b.p.Gas.VapourBar) - u.lost(b.tS[i]) - p.ToleranceBar
		switch {
		case math.IsNaN(v):
		case v >= least-tol:
			since = math.NaN()
		case math.IsNaN(since):
			since = b.tS[i]
		case b.tS[i]-since >= p.PlateauS-1e-9:
			return true
		}
	}
	return false
}
