package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// contradictLogs are two halves' logs; mend changes them before they are joined.
func contradictLogs(t *testing.T, mend func(a, b *ingest.Dive)) *Doubled {
	t.Helper()
	whole, h := wholeDive(t)
	a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
	mend(a, b)
	return joined(t, a, b)
}

func setGas(x []ingest.Gas, from int, o2, he float64) {
	for i := from; i < len(x); i++ {
		x[i] = ingest.Gas{Mix: gas.Mix{O2: o2, He: he}, Known: true}
	}
}

// Headers that state different diluents are a contradiction and no change of gas,
// not even while one half was off.
func TestDifferentDiluentsAreNoSwitch(t *testing.T) {
	j := contradictLogs(t, func(_, b *ingest.Dive) {
		setGas(b.Diluent, 0, 0.18, 0.45)
		b.Meta.Diluent = b.Diluent[0]
	})
	for i, g := range j.Dive.Diluent {
		if g.Known {
			t.Fatalf("row %d has %s", i, g)
		}
	}
	d := AnalyzeDoubled(j, DefaultParameters())
	none(t, d, "isobaric-switch")
	if d.BreathedGas == nil || len(d.BreathedGas.Switches) > 0 || d.BreathedGas.Reason != "the two logs state different diluents" || d.Dive.Diluent != "18/30" {
		t.Errorf("diluent %q, %+v", d.Dive.Diluent, d.BreathedGas)
	}
	if !slices.ContainsFunc(d.Assumptions, func(a Assumption) bool {
		return a.ID == "halves-diluent" && strings.Contains(a.Text, "half A 18/30, half B 18/45")
	}) {
		t.Errorf("nothing is assumed of it: %+v", d.Assumptions)
	}
}

// A gas that only the second log names for open circuit differently is none either.
func TestDifferentOpenGases(t *testing.T) {
	j := contradictLogs(t, func(a, b *ingest.Dive) {
		setGas(a.OpenGas, 0, 0.21, 0)
		setGas(b.OpenGas, 0, 0.32, 0)
		a.Meta.OpenCircuitGas, b.Meta.OpenCircuitGas = a.OpenGas[0], b.OpenGas[0]
	})
	if slices.ContainsFunc(j.Dive.OpenGas, func(g ingest.Gas) bool { return g.Known }) || !j.Dive.Diluent[0].Known {
		t.Error("the open-circuit gas should not be known, the diluent should")
	}
}

// What rows record stays a change: of either log, once where both have it.
func TestRowChangesOfDiluentStay(t *testing.T) {
	const rowA, rowB = 400, 300 // 802 s by A's clock; B's own is later
	for _, c := range []struct {
		name       string
		inA, inB   bool
		contradict bool
		from       string
	}{{"in A", true, false, false, "18/30"}, {"in B", false, true, false, "18/30"}, {"in both, headers apart", true, true, true, ""}} {
		var wantS []float64
		j := contradictLogs(t, func(a, b *ingest.Dive) {
			if c.contradict {
				setGas(b.Diluent, 0, 0.18, 0.45)
				b.Meta.Diluent = b.Diluent[0]
			}
			if c.inA {
				setGas(a.Diluent, rowA, 0.10, 0.70)
				wantS = append(wantS, a.TimeS[rowA])
			}
			if c.inB {
				at := rowB
				if c.inA { // seconds after A has it
					at = slices.IndexFunc(b.TimeS, func(s float64) bool { return s > a.TimeS[rowA]-95+9 })
				}
				setGas(b.Diluent, at, 0.10, 0.70)
			}
		})
		var at []int
		for i := 1; i < len(j.Dive.Diluent); i++ {
			if differs(j.Dive.Diluent[i-1], j.Dive.Diluent[i]) {
				at = append(at, i)
			}
		}
		if len(at) != 1 || gasName(j.Dive.Diluent[at[0]]) != "10/70" || gasName(j.Dive.Diluent[at[0]-1]) != c.from {
			t.Errorf("%s: changes at rows %v", c.name, at)
			continue
		}
		want := j.Clock.ToA(j.logs[1].TimeS[rowB])
		if c.inA {
			want = wantS[0]
		}
		if got := j.Dive.TimeS[at[0]]; math.Abs(got-want) > 1.01 {
			t.Errorf("%s: at %.1f s, recorded at %.1f s", c.name, got, want)
		}
	}
}

// Every pair of statements that contradict is a problem with file, key, both
// values and what is used; statements that agree, or stand in one log, are none.
func TestContradictionsAreProblems(t *testing.T) {
	yes, no := true, false
	j := contradictLogs(t, func(a, b *ingest.Dive) {
		x, y := &a.Meta, &b.Meta
		x.Diver, y.Diver = "T. A.", "Z. Q."
		x.Unit, y.Unit = "one", "another"
		x.SurfacePressureBar, y.SurfacePressureBar = 0.948, 1.013
		x.SurfaceAssumed, y.SurfaceAssumed = false, false
		x.WaterDensityKgM3, y.WaterDensityKgM3 = 1000, 1025
		x.DensityAssumed, y.DensityAssumed = false, false
		x.LoopVolumeL, y.LoopVolumeL = 6.6, 7
		x.OxygenFlowLMin, y.OxygenFlowLMin = 10, 8
		x.OxygenCylinderL, y.OxygenCylinderL = math.NaN(), 3 // one log only
		x.LoopHeBasis, y.LoopHeBasis = "dry", "wet"
		x.LoopHeSigma, y.LoopHeSigma = 0.004, 0.02
		x.Calibration = ingest.Calibration{GasO2: 0.98, PressureBar: 1, TempC: 20, Time: "2026-08-15T08:00:00+02:00", Humid: &yes}
		y.Calibration = ingest.Calibration{GasO2: 1, PressureBar: 1, TempC: 20, Time: "2026-08-15T08:00:00+02:00", Humid: &no}
		y.Start = "2026-08-15T12:00:00+02:00"
	})
	var got []string
	for _, p := range j.Dive.Problems {
		if p.Code != ContradictionCode {
			continue
		}
		got = append(got, p.Column)
		if p.File != "b.csv" || p.Read == "" || !strings.Contains(p.Treatment, "a.csv states \"") || p.Severity != ingest.Warning {
			t.Errorf("%s", p)
		}
		if p.Column == "diver" && (p.Read != "Z. Q." || !strings.Contains(p.Treatment, "a.csv states \"T. A.\", which is used")) {
			t.Errorf("%s", p)
		}
	}
	want := []string{"diver", "unit", "start", "surface_pressure_bar", "water_density_kg_m3", "loop_volume_l", "oxygen_flow_l_min", "cal_gas_o2", "cal_gas_humid", "loop_he_basis", "loop_he_sigma"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if j.Dive.Meta.SurfacePressureBar != 0.948 || j.Dive.Meta.Diver != "T. A." {
		t.Errorf("used: %+v", j.Dive.Meta)
	}
}

// One serial number, readings half a bar apart: two cells and a finding. A short
// difference, or one within the tolerance, leaves it one cell.
func TestOneSerialReadTwice(t *testing.T) {
	for _, c := range []struct {
		bar    float64
		forS   float64
		cells  int
		apart  bool
		severe Severity
	}{{0.5, 600, 5, true, Caution}, {0.5, 15, 4, false, ""}, {0.1, 600, 4, false, ""}} {
		whole, h := wholeDive(t)
		h[1].Cells = []int{3, 4}
		a, b := halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")
		for i, s := range b.TimeS {
			if s >= 1700 && s < 1700+c.forS {
				b.Cells[0].PO2Bar[i] -= c.bar
			}
		}
		j := joined(t, a, b)
		what := fmt.Sprintf("%.1f bar for %.0f s", c.bar, c.forS)
		if len(j.Dive.Cells) != c.cells {
			t.Errorf("%s: %d cells, %q", what, len(j.Dive.Cells), j.rules)
			continue
		}
		found := 0
		for _, f := range AnalyzeDoubled(j, DefaultParameters()).Findings {
			if f.Kind == "halves-disagree" && strings.HasSuffix(f.Title, "reading of one cell") {
				found++
				if f.Severity != c.severe || !slices.Equal(f.Cells, []int{3, 4}) || f.Cell != nil || math.Abs(float64(f.Worst.Value)+c.bar) > 0.15 {
					t.Errorf("%s: %+v", what, f)
				}
			}
		}
		if found > 0 != c.apart {
			t.Errorf("%s: %d findings", what, found)
		}
		if c.apart && (strings.Contains(strings.Join(j.rules, " "), "it is one cell") || !strings.Contains(strings.Join(j.rules, " "), "kept as two cells")) {
			t.Errorf("%s: rules %q", what, j.rules)
		}
	}
}
