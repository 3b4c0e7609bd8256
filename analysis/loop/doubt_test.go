package loop_test

import (
	"testing"

	"afterloop/analysis/loop"
)

// checkOf is the check of a kind for a valve, 0 for none.
func checkOf(t *testing.T, d loop.ValveDiagnosis, kind loop.ValveFaultKind, valve int) loop.ValveCheck {
	t.Helper()
	for _, c := range d.Checks {
		if c.Kind == kind && c.Valve == valve {
			return c
		}
	}
	t.Fatalf("no check of %s %d in %+v", kind, valve, d.Checks)
	return loop.ValveCheck{}
}

// A unit that opens as long as it may and still gives less than hard work uses
// loses PO2 just as one without supply does. At rows too far apart to show single
// openings nothing tells the two apart: no verdict, and the check says why.
func TestWorkBeyondTheUnitIsNoLostSupply(t *testing.T) {
	for _, c := range []struct {
		name string
		dive synthetic
	}{
		{"a row every 10 s", synthetic{stepS: 10, pulseS: 0.6, workFromS: 650, workToS: 1100, work: 2.2}},
		{"a row every 6 s, as the unit decides", synthetic{stepS: 6, pulseS: 0.6, workFromS: 650, workToS: 1100, work: 2.2}},
		{"harder", synthetic{stepS: 10, pulseS: 0.6, workFromS: 650, workToS: 1000, work: 3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, d := judge(c.dive)
			if fall := r.CellsBar[0][at(r, 640)] - r.CellsBar[0][at(r, c.dive.workToS)]; fall < 0.2 {
				t.Fatalf("PO2 fell by %.2f bar only: the dive does not ask the question", fall)
			}
			if len(d.Faults) != 0 {
				t.Errorf("false alarm: %+v", d.Faults)
			}
			if c := checkOf(t, d, loop.SupplyLost, 0); c.Assessed || c.Reason == "" {
				t.Errorf("check %+v: want not assessed, with a reason", c)
			}
		})
	}
}

// Rows close enough show that the openings still give: work is not to be named,
// whatever PO2 does.
func TestWorkShowsAsWorkInFineRows(t *testing.T) {
	for _, stepS := range []float64{1, 2, 3, 5} {
		for _, work := range []float64{1.6, 2.2, 3} {
			for seed := range int64(3) {
				_, d := judge(synthetic{seed: seed, stepS: stepS, pulseS: 0.6, workFromS: 650, workToS: 1000, work: work})
				if len(d.Faults) != 0 {
					t.Errorf("seed %d, rows %.0f s apart, work %.1f: false alarm: %+v", seed, stepS, work, d.Faults)
				}
			}
		}
	}
}

// at is the first row at or after moment t.
func at(r loop.Record, t float64) int {
	for i, s := range r.TimeS {
		if s >= t {
			return i
		}
	}
	return r.Rows() - 1
}

// Where one valve of two in turn dies and the openings may not grow, the loop
// starves; the other valve must not be taken for silent with it. All openings are then
// alike and 6 s apart, so that a late record may turn the two round: then that is said.
func TestDeadValveThatStarvesTheLoop(t *testing.T) {
	for seed := range int64(3) {
		_, d := judge(synthetic{seed: seed, deadValve: 1, deadFromS: 700, pulseS: 0.8})
		if len(d.Faults) != 1 || d.Faults[0].Kind != loop.DeadValve || d.Faults[0].Valve != 1 ||
			d.Faults[0].Confidence == loop.Possible && len(d.Faults[0].Alternatives) < 2 {
			t.Errorf("seed %d: found %+v, want valve 1 dead, and what else it may be", seed, d.Faults)
		}
	}
}

// Rows 10 s apart do not show single openings: of no valve may be said that it works.
func TestCoarseRowsDoNotAssessValves(t *testing.T) {
	for seed := range int64(3) {
		for _, dive := range []synthetic{{seed: seed, stepS: 10}, {seed: seed, stepS: 10, deadValve: 1, deadFromS: 700}} {
			_, d := judge(dive)
			for _, f := range d.Faults {
				if f.Kind == loop.DeadValve && (f.Valve != dive.deadValve || f.Confidence == loop.Sure) {
					t.Errorf("seed %d: found %+v", seed, f)
				}
			}
			for valve := 1; valve <= 2; valve++ {
				if c := checkOf(t, d, loop.DeadValve, valve); c.Assessed || c.Reason == "" {
					t.Errorf("seed %d: check %+v: want not assessed, with a reason", seed, c)
				}
			}
		}
	}
}

// Cells calibrated in humid gas that was taken as dry read high alike, and
// nothing in the log shows it: the band must hold the truth all the same.
func TestBandHoldsHumidCalibration(t *testing.T) {
	for _, gain := range []float64{1, 1.01, 1.02} {
		r, truth := synthetic{gains: []float64{gain, gain, gain}}.run()
		e := loop.Smooth(r, nil, loop.DefaultParams())
		if s := share(e.LowBar, e.HighBar, truth); s < 0.92 {
			t.Errorf("gain %.2f: band holds %.2f of the truth", gain, s)
		}
		if e.BandMedianBar > 0.05 {
			t.Errorf("gain %.2f: band %.3f bar wide, want at most 0.05", gain, e.BandMedianBar)
		}
	}
}
