package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"afterloop/ingest"
)

// Each half alone is what the replay over its cells gives: as if the other were lost.
func TestHalfAloneIsAReplayOfItsCells(t *testing.T) {
	whole, h := wholeDive(t)
	j := joined(t, halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv"))
	d := AnalyzeDoubled(j, DefaultParameters())
	p := DefaultParameters()
	p.Cells = []int{4, 5}
	alone := Analyze(j.Dive, p)
	seen := 0
	for _, r := range d.Halves.Replays {
		if r.Over != "B" {
			continue
		}
		for _, v := range alone.Votes {
			if v.Policy == r.Policy {
				seen++
				if v.UndecidedS != r.UndecidedS || v.NoneS != r.NoneS || math.Abs(float64(v.MeanAbsDifferenceFromEstimateBar-r.MeanFromEstimateBar)) > 1e-6 {
					t.Errorf("%s: alone %v %v %v, in the debrief of both %v %v %v", r.Policy, v.UndecidedS, v.NoneS, v.MeanAbsDifferenceFromEstimateBar, r.UndecidedS, r.NoneS, r.MeanFromEstimateBar)
				}
			}
		}
	}
	if seen < 8 {
		t.Errorf("%d policies compared", seen)
	}
}

// What half B did while A was off is what the spec made it do.
func TestWhileOff(t *testing.T) {
	whole, h := wholeDive(t)
	d := AnalyzeDoubled(joined(t, halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")), DefaultParameters())
	a := d.Halves.Halves[0]
	if len(a.Off) != 1 || a.Off[0].FromS != 1200 || a.Off[0].ToS != 1380 || a.Off[0].Other != "B" || len(a.Gaps) != 1 {
		t.Fatalf("off %+v, gaps %+v", a.Off, a.Gaps)
	}
	o := a.Off[0]
	if !(o.PO2BeforeBar < 1.25) || !(o.PO2AfterBar > 1.4) || !(o.OtherHighBar < 1.05) || !(o.OtherOpenS > 5) || o.SetPointBeforeBar != 1.2 || len(o.OtherSetPointsBar) != 1 {
		t.Errorf("%+v", o)
	}
	if !(o.WorstFromEstimate.Value < -0.3) {
		t.Errorf("the estimate saw nothing: %+v", o.WorstFromEstimate)
	}
	f := one(t, d, "half-off")
	if f.FromS != 1200 || f.ToS != 1380 || f.Severity != Caution {
		t.Errorf("%+v", f)
	}
	none(t, d, "readings-missing") // the half was off, its cells are not to blame
}

func TestHalvesDisagreeOnDepthAndHelium(t *testing.T) {
	whole, h := wholeDive(t)
	h[1].OnS = 20
	for _, c := range []struct {
		name         string
		zeroM, he    float64
		title, wants string
	}{
		{"nothing", 0, 0, "", ""},
		{"depth", 1.4, 0, "The halves disagree on depth", "what speaks speaks for half A"},
		{"helium", 0, 0.06, "The halves disagree on helium", "half B measured more helium than the diluent holds"},
	} {
		b := h[1]
		b.DepthZeroM, b.HeBias = c.zeroM, c.he
		d := AnalyzeDoubled(joined(t, halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, b, "b.csv")), DefaultParameters())
		found := ""
		for _, f := range d.Findings {
			if f.Kind == "halves-disagree" && !strings.HasSuffix(f.Title, "PO2") {
				found += f.Title
				if !strings.Contains(strings.Join(f.Evidence, "; "), c.wants) {
					t.Errorf("%s: evidence %q", c.name, f.Evidence)
				}
			}
		}
		if found != c.title {
			t.Errorf("%s: found %q, want %q", c.name, found, c.title)
		}
	}
}

// twoHalves is one log with the PO2 of two halves, the second off by d from row 100 for n rows.
func twoHalves(d float64, n int) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,halfA_po2_bar,halfB_po2_bar", "half_A: cells 1", "half_B: cells 2").add(600, func(i int) string {
		b := 1.0
		if i >= 100 && i < 100+n {
			b += d
		}
		return fmt.Sprintf("%d,20,1.00,%.3f,1.00,%.3f", i, b, b)
	})
}

func TestHalvesDisagreeAtTheLimit(t *testing.T) {
	for _, c := range []struct {
		d     float64
		n     int
		found bool
	}{{0.20, 300, false}, {0.201, 30, true}, {0.201, 29, false}, {-0.3, 60, true}} {
		d := twoHalves(c.d, c.n).analyze(t)
		if !c.found {
			none(t, d, "halves-disagree")
			continue
		}
		f := one(t, d, "halves-disagree")
		if f.FromS != 100 || f.Severity != Caution || f.Confidence != Sure || math.Abs(float64(f.Worst.Value)-c.d) > 1e-9 {
			t.Errorf("%v for %d s: %+v", c.d, c.n, f)
		}
		if last := f.Evidence[len(f.Evidence)-1]; !strings.Contains(last, "can't be told") {
			t.Errorf("without anything else to go by it says %q", last)
		}
	}
}

// A pressure around that is less than what one half showed names that half.
func TestHalfAboveAmbient(t *testing.T) {
	f := one(t, twoHalves(2.4, 60).analyze(t), "halves-disagree") // 3.4 bar at 20 m, 3.0 bar
	if s := strings.Join(f.Evidence, "; "); !strings.Contains(s, "more than the pressure around") || !strings.Contains(s, "for half A") {
		t.Errorf("evidence %q", f.Evidence)
	}
}

func TestNoHalves(t *testing.T) {
	d := threeCells(400, func(int) float64 { return 1 }).analyze(t)
	if d.Halves != nil || outcome(d, "halves-disagree").Outcome != DoesNotApply || outcome(d, "half-off").Outcome != DoesNotApply {
		t.Errorf("halves %+v, %+v", d.Halves, outcome(d, "halves-disagree"))
	}
	never := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar", "half_A: cells 1", "half_B: cells 2").add(200, func(i int) string {
		return fmt.Sprintf("%d,20,1.00,", i)
	}).analyze(t)
	if c := outcome(never, "halves-disagree"); c.Outcome != NotAssessed || c.Reason == "" {
		t.Errorf("with one half silent: %+v", c)
	}
	if never.Halves == nil || never.Halves.Comparisons[0].Reason == "" {
		t.Errorf("%+v", never.Halves)
	}
}

// Numbered sensors of a log with two halves are compared.
func TestNumberedSensorsOfOneLog(t *testing.T) {
	d := newLog("time_s,ambient1_bar,ambient2_bar,loop_he1,loop_he2,cell1_po2_bar,cell2_po2_bar", "half_A: cells 1", "half_B: cells 2").add(200, func(i int) string {
		return fmt.Sprintf("%d,3.00,3.15,0.30,0.31,1.00,1.00", i)
	}).analyze(t)
	f := one(t, d, "halves-disagree")
	if f.Title != "The halves disagree on ambient pressure" || math.Abs(float64(f.Worst.Value)-0.15) > 1e-9 {
		t.Errorf("%+v", f)
	}
}

// Pressures that were measured are compared, and a depth that follows from one is
// no second finding.
func TestHalvesDisagreeOnPressure(t *testing.T) {
	whole, h := wholeDive(t)
	h[1].OnS = 20
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	a.AmbientFrom, b.AmbientFrom = ingest.AmbientMeasured, ingest.AmbientMeasured
	for i := range b.AmbientBar {
		b.AmbientBar[i] += 0.15
		b.DepthM[i] += 1.5
	}
	var titles []string
	for _, f := range AnalyzeDoubled(joined(t, a, b), DefaultParameters()).Findings {
		if f.Kind == "halves-disagree" && !strings.HasSuffix(f.Title, "PO2") {
			titles = append(titles, f.Title)
			if s := strings.Join(f.Evidence, "; "); !strings.Contains(s, "speaks for half A") {
				t.Errorf("evidence %q", s)
			}
		}
	}
	if len(titles) == 0 || strings.Contains(strings.Join(titles, ";"), "depth") {
		t.Errorf("found %q", titles)
	}
}

// One pressure that two instruments show for two kinds of water is no difference.
func TestHalvesOfOtherWater(t *testing.T) {
	whole, h := wholeDive(t)
	h[1].DepthFactor, h[1].DepthZeroM = 1/1.06, 0 // as if for water of 1060 kg/m3
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	b.Meta.WaterDensityKgM3 = 1060
	d := AnalyzeDoubled(joined(t, a, b), DefaultParameters())
	if c := d.Halves.Comparisons[1]; c.Quantity != "depth" || !(c.P95 < 0.3) {
		t.Errorf("%+v", c)
	}
	if !strings.Contains(strings.Join(d.Halves.Rules, "; "), "water of 1060 kg/m3") {
		t.Errorf("nothing is said of the water: %q", d.Halves.Rules)
	}
}

// Letters are letters, large or small.
func TestLettersOfHalves(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,halfa_po2_bar,halfb_po2_bar", "half_A: cells 1", "half_B: cells 2").add(200, func(i int) string {
		return fmt.Sprintf("%d,20,1.00,1.00,1.00,1.30", i)
	}).analyze(t)
	if len(d.Halves.Halves) != 2 || d.Halves.Halves[0].PO2From != "recorded" || len(d.Halves.Halves[0].Cells) != 1 {
		t.Errorf("%+v", d.Halves.Halves)
	}
	one(t, d, "halves-disagree")
}
