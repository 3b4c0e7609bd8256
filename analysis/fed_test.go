package analysis

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterloop/ingest"
)

// blanked is an hour at 20 m on the loop at 1.3 bar, every 10 s, with no reading at all
// where unread says so.
func blanked(t testing.TB, unread func(i int) bool) *Debrief {
	l := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar", "diluent: 21/0").add(361, func(i int) string {
		if unread(i) {
			return fmt.Sprintf("%d,20.0,,,,", 10*i)
		}
		return fmt.Sprintf("%d,20.0,1.30,1.30,1.30,1.30", 10*i)
	})
	return Analyze(l.dive(t), DefaultParameters())
}

func TestNoReadingNoDose(t *testing.T) {
	d := blanked(t, func(int) bool { return true })
	x := d.Exposure
	if x.Headline.Source != "" || x.Headline.CNSPercent.Known() || x.Headline.OTU.Known() {
		t.Errorf("without a reading the headline is %+v", x.Headline)
	}
	for _, s := range x.BySource {
		if strings.HasPrefix(s.Source, "model") || s.CNSPercent.Known() {
			t.Errorf("a source without a reading: %+v", s)
		}
	}
	for _, id := range []string{"cns-single", "cns-daily", "otu-daily", "beyond-table", "gas-density"} {
		if c := outcome(d, id); c.Outcome != NotAssessed || !strings.Contains(c.Reason, "no PO2 that is believed") {
			t.Errorf("%s: %s (%s)", id, c.Outcome, c.Reason)
		}
	}
	if len(d.BreathedGas.Moments) > 0 || d.BreathedGas.AssessedS > 0 {
		t.Errorf("a density without a PO2: %+v", d.BreathedGas.Moments)
	}
	if len(d.Inhaled.Sources) > 0 {
		t.Error("a series of dives would count this log in")
	}
}

// Half an hour without a reading is a gap: nothing at the low end, the reading beside
// it at the high end; and the estimate is no source once most of the time is unread.
func TestUnreadStretchIsAGap(t *testing.T) {
	d := blanked(t, func(i int) bool { return i > 60 && i < 180 })
	found := false
	for _, s := range d.Exposure.BySource {
		if s.Source != "model-high" {
			continue
		}
		found = true
		if s.AssessedS != 2400 {
			t.Errorf("%s was assessed over %.0f s, 2400 s have readings", s.Source, float64(s.AssessedS))
		}
		// NOAA: 180 min at 1.3 bar; 20 min of it are the gap.
		if w := float64(s.CNSHighPercent - s.CNSLowPercent); w < 100*20./180-0.01 {
			t.Errorf("the interval is %.2f %% wide", w)
		}
	}
	if !found {
		t.Error("the estimate is no source though two thirds of the time have readings")
	}
	for _, s := range blanked(t, func(i int) bool { return i > 60 && i < 300 }).Exposure.BySource {
		if strings.HasPrefix(s.Source, "model") {
			t.Errorf("%s is a source with readings in a third of the time", s.Source)
		}
	}
}

// No finding begins before the first row or ends after the last, whatever is recorded.
func TestFindingsWithinTheRecord(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		first, every := rapid.IntRange(-500, 90000).Draw(rt, "first"), rapid.IntRange(1, 12).Draw(rt, "every")
		factor := rapid.SliceOfN(rapid.Float64Range(0.6, 1.5), 3, 3).Draw(rt, "factor")
		from := rapid.IntRange(0, 80).Draw(rt, "from")
		l := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar", "diluent: air").add(120, func(i int) string {
			po2, f := 0.7+0.01*float64(i%60), []float64{1, 1, 1}
			if i >= from {
				f = factor
			}
			return fmt.Sprintf("%d,%.1f,%.2f,%.2f,%.2f", first+every*i, 10+0.3*float64(i), po2*f[0], po2*f[1], po2*f[2])
		})
		d := Analyze(l.dive(t), DefaultParameters())
		lo, hi := Float(first), Float(first+119*every)
		for _, f := range d.Findings {
			if f.FromS < lo || f.ToS > hi || f.FromS > f.ToS {
				rt.Fatalf("%s from %v to %v, the record from %v to %v", f.ID, f.FromS, f.ToS, lo, hi)
			}
		}
	})
}

// blankedDive is a short dive without trouble.
func blankedDive(t testing.TB) *ingest.Dive { return level(91, 20, 1.2).dive(t) }

func TestClampOfFindings(t *testing.T) {
	b := newBench(blankedDive(t), DefaultParameters())
	f := b.within(Finding{FromS: -4, ToS: 1e6})
	if f.FromS != 0 || f.ToS != 90 {
		t.Errorf("from %v to %v", f.FromS, f.ToS)
	}
	if f = b.within(Finding{FromS: unknown, ToS: unknown}); f.FromS.Known() || f.ToS.Known() {
		t.Errorf("a time that is not known became %v to %v", f.FromS, f.ToS)
	}
}

// The sentence has its subject: a cell, or the mean of those it was held against.
func TestWhoReads(t *testing.T) {
	b := newBench(blankedDive(t), DefaultParameters())
	for _, c := range []struct {
		cells, others []int
		want          string
	}{{[]int{1}, []int{2}, "cell 1 reads"}, {[]int{1, 3}, []int{2}, "cells 1 and 3 read"}, {nil, []int{2}, "the mean of cells 1 and 3 reads"}, {nil, []int{1, 2}, "cell 3 reads"}, {nil, []int{1, 2, 3}, "the estimate reads"}} {
		if got := b.whoReads(c.cells, c.others); got != c.want {
			t.Errorf("%v against %v: %q, want %q", c.cells, c.others, got, c.want)
		}
	}
}

// 5.2 g/L are passed at 31 m, 6.2 g/L at 39 m (as in TestGasDensityLimits): the finding
// begins where the limit that it names was passed.
func TestDenseGasBeginsAtItsLimit(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar", "diluent: air").add(400, func(i int) string {
		depth := 33.0
		if i >= 200 {
			depth = 42
		}
		p := airPO2(depth)
		return fmt.Sprintf("%d,%.1f,%.3f,%.3f,%.3f,%.3f", i, depth, p, p, p, p)
	}).analyze(t)
	f := one(t, d, "gas-dense")
	if f.FromS != 200 || f.Onset.AtS != 200 || f.Limit.Value != 6.2 || !strings.Contains(f.Observed, "than 6.2 g/L for 3 min 20 s from 0:03:20") {
		t.Errorf("from %v, onset %+v: %s", f.FromS, f.Onset, f.Observed)
	}
	if all := strings.Join(f.Evidence, "\n"); !strings.Contains(all, "denser than 5.2 g/L for 6 min 40 s, from 0:00:00") {
		t.Errorf("the time above the other limit is not in the evidence:\n%s", all)
	}
}
