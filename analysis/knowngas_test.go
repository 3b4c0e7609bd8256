package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"afterloop/analysis/gas"
)

// flushedThenUsed is a log with a diluent flush (air) at 20 m, complete after 10 s at
// 0.21 x 3.0 = 0.63 bar, after which PO2 falls by useBarMin. Cell c of three reads
// gain[c] times that.
func flushedThenUsed(useBarMin float64, gain [3]float64, meta ...string) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,event", append([]string{"diluent: air"}, meta...)...).add(400, func(i int) string {
		po2, event := 1.2, ""
		switch {
		case i == 100:
			event = "diluent_flush"
		case i > 100:
			po2 = math.Max(0.63, 1.2-0.057*float64(i-100)) - useBarMin/60*math.Max(0, float64(i-110))
		}
		return fmt.Sprintf("%d,20.0,%.3f,%.3f,%.3f,%s", i, gain[0]*po2, gain[1]*po2, gain[2]*po2, event)
	})
}

// What the diver uses after a flush makes no cell wrong: (1-F) VO2/V of 0.1 bar/min
// brings PO2 0.08 bar below F Pd within the window.
func TestUseAfterAFlushNamesNobody(t *testing.T) {
	for _, use := range []float64{0, 0.05, 0.1, 0.15} {
		d := flushedThenUsed(use, [3]float64{1, 1.01, 0.99}).analyze(t)
		if len(d.KnownGas) != 1 || !d.KnownGas[0].Assessed {
			t.Fatalf("use %v: the flush was not assessed: %+v", use, d.KnownGas)
		}
		none(t, d, "known-gas-mismatch")
	}
	// A sound cell that reads a little less than the others is not named for it.
	none(t, flushedThenUsed(0.1, [3]float64{1.03, 0.95, 1}).analyze(t), "known-gas-mismatch")
}

// A cell that reads lower than use explains is still named, while PO2 falls by use.
func TestLowCellIsNamedInSpiteOfUse(t *testing.T) {
	for _, use := range []float64{0, 0.1} {
		f := one(t, flushedThenUsed(use, [3]float64{1, 0.76, 1}).analyze(t), "known-gas-mismatch")
		if f.Cell == nil || *f.Cell != 2 || f.Confidence != Likely {
			t.Errorf("use %v: cell %v, %s; want cell 2, likely", use, f.Cell, f.Confidence)
		}
	}
}

// What all cells share points at the gas: one finding, no cell, no more than possible.
func TestCellsOffAlikeNameNoCell(t *testing.T) {
	f := one(t, flushed(0.30, 0.31, 0.32).analyze(t), "known-gas-mismatch")
	if f.Cell != nil || len(f.Cells) != 3 || f.Confidence != Possible {
		t.Errorf("cell %v, cells %v, %s; want no cell, three cells, possible", f.Cell, f.Cells, f.Confidence)
	}
	if !strings.Contains(f.WhySure, "alike") {
		t.Errorf("why: %s", f.WhySure)
	}
}

// Without the use of the dive, the bound is the planning range's most over the stated
// volume: (1 - F) VO2/V with 1.9 L/min STPD (Knafelc, NEDU 1-89: swimming 1.5, SD 0.2, plus two SD).
func TestUseBoundAndItsLimit(t *testing.T) {
	b := analyzed(flushedThenUsed(0, [3]float64{1, 1, 1}, "loop_volume_l: 6").dive(t), nil, DefaultParameters())
	u := b.useBound(100, 0.21)
	want := 0.79 * 1.9 / 6 * gas.STPDToLoop(1, b.loopTempC())
	if math.Abs(u.barS-want) > 1e-9 || u.fromLog || u.fromS != b.tS[100]-b.p.Mask.BeforeS {
		t.Errorf("%+v, want %v bar/s from 10 s before the event", u, want)
	}
	// Just at what use explains, and just below it, for as long as a plateau must last.
	k := b.p.KnownGas
	for _, c := range []struct {
		byBar, forS float64
		off         bool
	}{{0, 60, false}, {0.001, 60, true}, {0.001, k.PlateauS, true}, {0.001, k.PlateauS - 1, false}} {
		s := span{from: 100, to: 160}
		at := u.since(b, 0, s, 0.21)
		for i := s.from; i <= s.to; i++ {
			least := 0.21*(b.dive.AmbientBar[i]-b.p.Gas.VapourBar) - at.lost(b.tS[i]) - k.ToleranceBar
			b.cells[0][i] = least
			if i >= 120 && b.tS[i]-b.tS[120] <= c.forS {
				b.cells[0][i] = least - c.byBar
			}
		}
		if got := b.belowUse(0, s, 0.21, u); got != c.off {
			t.Errorf("%v bar below for %v s: off is %v", c.byBar, c.forS, got)
		}
	}
}
