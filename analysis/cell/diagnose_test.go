package cell_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// named lists the faults, borderline ones left out, as "kind cell".
func named(d cell.Diagnosis) []string {
	out := []string{}
	for _, f := range d.Faults {
		if !f.Borderline {
			out = append(out, fmt.Sprintf("%s %d", f.Kind, f.Cell))
		}
	}
	slices.Sort(out)
	return out
}

func with(n int, change func(c []smallCell)) []smallCell {
	c := sound(n)
	change(c)
	return c
}

func base(c []smallCell) small {
	return small{cells: c, stepS: 1, round: 0.01, noise: 0.003, fO2: 0.21}
}

// Each kind of fault of METHODS, "Faults", the majority's too, and healthy dives
// that look odd.
func TestDiagnose(t *testing.T) {
	coarse := base(sound(3))
	coarse.stepS = 5
	work := base(sound(3))
	work.work = 2
	pulses := base(with(3, func(c []smallCell) { c[0].t90S, c[2].t90S = 60, 55 }))
	pulses.pulse, pulses.stepS = 12, 5
	gaps := base(sound(3))
	gaps.mangle = cutOut
	for _, c := range []struct {
		name string
		dive small
		want []string
	}{
		{"sound", base(sound(3)), []string{}},
		{"sound, four cells", base(sound(4)), []string{}},
		{"sound, two cells", base(sound(2)), []string{}},
		{"sound, coarse and every 5 s", coarse, []string{}},
		{"sound, hard work", work, []string{}},
		{"sound, gaps and missing readings", gaps, []string{}},
		{"sound, gains 5 % apart", base(with(3, func(c []smallCell) { c[0].gain, c[1].gain = 1.025, 0.975 })), []string{}},
		{"slow", base(with(3, func(c []smallCell) { c[1].t90S = 35 })), []string{"slow-cell 2"}},
		{"slow majority", base(with(3, func(c []smallCell) { c[1].t90S, c[2].t90S = 35, 33 })), []string{"slow-cell 2", "slow-cell 3"}},
		{"slow majority, a quick cell that alone shows large pulses", pulses, []string{"slow-cell 1", "slow-cell 3"}},
		{"slow later", base(with(4, func(c []smallCell) { c[2].slowFrom, c[2].slowS = 1000, 45 })), []string{"slow-cell 3"}},
		{"all slow", base(with(3, func(c []smallCell) { c[0].t90S, c[1].t90S, c[2].t90S = 38, 42, 36 })), []string{"slow-cell 1", "slow-cell 2", "slow-cell 3"}},
		{"limited", base(with(3, func(c []smallCell) { c[0].ceiling = 1.1 })), []string{"current-limited-cell 1"}},
		{"limited majority", base(with(3, func(c []smallCell) { c[0].ceiling, c[2].ceiling = 1.1, 1.13 })), []string{"current-limited-cell 1", "current-limited-cell 3"}},
		{"drifting", base(with(3, func(c []smallCell) { c[1].driftFrom, c[1].perH = 900, 0.4 })), []string{"drifting-cell 2"}},
		{"frozen", base(with(3, func(c []smallCell) { c[2].frozen = [2]float64{1100, 1700} })), []string{"frozen-cell 3"}},
		{"erratic", base(with(3, func(c []smallCell) { c[0].erratic = [2]float64{700, 1000} })), []string{"erratic-cell 1"}},
		{"miscalibrated, one of four", base(with(4, func(c []smallCell) { c[3].gain = 0.86 })), []string{"miscalibrated-cell 4"}},
		{"slow and limited, two cells", base(with(4, func(c []smallCell) { c[0].t90S, c[3].ceiling = 40, 1.1 })), []string{"current-limited-cell 4", "slow-cell 1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := cell.Diagnose(c.dive.record(1), cell.DefaultParams())
			if diff := cmp.Diff(c.want, named(d)); diff != "" {
				t.Errorf("faults (-want +got):\n%s%+v", diff, d.Faults)
			}
		})
	}
}

// cutOut takes 90 s away and some readings.
func cutOut(r *loop.Record) {
	cut := func(x []float64) []float64 { return slices.Delete(slices.Clone(x), 1250, 1340) }
	r.TimeS, r.DepthM, r.AmbientBar, r.FO2Dil, r.FHeDil = cut(r.TimeS), cut(r.DepthM), cut(r.AmbientBar), cut(r.FO2Dil), cut(r.FHeDil)
	for i := range r.CellsBar {
		r.CellsBar[i] = cut(r.CellsBar[i])
		for k := 40 * i; k < len(r.CellsBar[i]); k += 7 {
			r.CellsBar[i][k] = math.NaN()
		}
	}
	r.Valves[0].OpenS = cut(r.Valves[0].OpenS)
	r.GapAfter = make([]bool, len(r.TimeS))
	r.GapAfter[1249] = true
}

// The figures that go with the faults.
func TestFigures(t *testing.T) {
	p := cell.DefaultParams()
	slow := cell.Diagnose(base(with(4, func(c []smallCell) { c[1].t90S = 35 })).record(2), p)
	within(t, "T90", slow.Cells[1].T90S.Value, 35, 2)
	late := cell.Diagnose(base(with(4, func(c []smallCell) { c[2].slowFrom, c[2].slowS = 1000, 45 })).record(2), p)
	// Next to nothing moves between the start of the dive and the ascent at 1200 s.
	if on := late.Faults[0].Onset; !on.Has(1000) || on.Low < 160 || on.High > 1330 {
		t.Errorf("onset of lag: %+v, want one that holds 1000 s", on)
	}
	lim := cell.Diagnose(base(with(3, func(c []smallCell) { c[0].ceiling = 1.1 })).record(2), p)
	within(t, "ceiling", lim.Cells[0].CeilingBar.Value, 1.1*1.01, 0.01)
	drift := cell.Diagnose(base(with(3, func(c []smallCell) { c[1].driftFrom, c[1].perH = 900, 0.4 })).record(2), p)
	within(t, "drift", drift.Cells[1].DriftPerH.Value, 0.4, 0.03)
	within(t, "onset of drift", drift.Faults[0].FromS, 900, 60)
	froze := cell.Diagnose(base(with(3, func(c []smallCell) { c[2].frozen = [2]float64{1100, 1700} })).record(2), p)
	within(t, "frozen from", froze.Faults[0].FromS, 1100, 10)
	within(t, "frozen to", froze.Faults[0].ToS, 1700, 10)
}

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g +- %g", what, got, want, tolerance)
	}
}

// Two against one alike in gain without a witness: the odd one is possible at most,
// whichever side is right, and the disagreement is told.
func TestTwoAgainstOneIsUndecided(t *testing.T) {
	for _, gains := range [][]float64{{1.12, 1, 1.01}, {1.12, 1.115, 1}} {
		d := cell.Diagnose(base(with(3, func(c []smallCell) {
			for i, g := range gains {
				c[i].gain = g
			}
		})).record(3), cell.DefaultParams())
		if len(d.Undecided) != 1 || d.Undecided[0].Settled {
			t.Fatalf("%v: undecided %+v", gains, d.Undecided)
		}
		for _, f := range d.Faults {
			if f.Kind != cell.Miscalibrated || f.Confidence != cell.Possible || len(f.Alternatives) == 0 {
				t.Errorf("%v: %+v", gains, f)
			}
		}
	}
}

// A stretch of known gas settles it, for the minority if need be.
func TestKnownGasSettlesGain(t *testing.T) {
	s := base(with(3, func(c []smallCell) { c[0].gain, c[1].gain = 1.12, 1.115 }))
	s.mangle = func(r *loop.Record) {
		truth := r.CellsBar[2][600] // cell 3 is right
		r.Known = []loop.KnownGas{{FromS: 560, ToS: 610, LowBar: truth - 0.02, HighBar: truth + 0.02, Basis: "flush"}}
	}
	d := cell.Diagnose(s.record(3), cell.DefaultParams())
	if diff := cmp.Diff([]string{"miscalibrated-cell 1", "miscalibrated-cell 2"}, named(d)); diff != "" {
		t.Fatal(diff)
	}
	within(t, "gain", d.Cells[0].Gain.Value, 1.12, 0.03)
	for _, f := range d.Faults {
		if f.Confidence == cell.Possible {
			t.Errorf("only possible with a witness: %+v", f)
		}
	}
}

// T90 by definition: a cell beside a quick one, both after one step of PO2. What
// the diagnosis says is the time in which the reading covers 90 % of the step,
// tau ln 10 (METHODS, "The loop"), read off the column itself.
func TestT90IsThatOfAStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		t90 := rapid.Float64Range(18, 60).Draw(t, "t90")
		var r loop.Record
		tau, quick := t90/math.Ln10, cell.DefaultParams().HealthyT90S/math.Ln10
		var read, ref []float64
		p := func(s float64) float64 { return 1 + 0.3*math.Mod(math.Floor(s/300), 2) }
		a, b := 1.0, 1.0
		reached := math.NaN()
		for s := 0.0; s < 1800; s++ {
			r.TimeS, r.DepthM, r.AmbientBar = append(r.TimeS, s), append(r.DepthM, 30), append(r.AmbientBar, 4)
			read, ref = append(read, a), append(ref, b)
			a, b = p(s)+(a-p(s))*math.Exp(-1/tau), p(s)+(b-p(s))*math.Exp(-1/quick)
			if s >= 300 && math.IsNaN(reached) && a >= 1.27 {
				prev := read[len(read)-1]
				reached = s - 300 + (1.27-prev)/(a-prev)
			}
		}
		r.CellsBar, r.CellNumber, r.CellStepBar = [][]float64{read, ref, ref}, []int{1, 2, 3}, []float64{0, 0, 0}
		d := cell.Diagnose(r, cell.DefaultParams())
		if got := d.Cells[0].T90S.Value; math.Abs(got/reached-1) > 0.03 {
			t.Fatalf("T90 %.2f, 90 %% of the step after %.2f s", got, reached)
		}
	})
}

// The verdict does not depend on how the cells are numbered.
func TestNumberingDoesNotMatter(t *testing.T) {
	dives := []small{
		base(with(4, func(c []smallCell) { c[0].t90S, c[3].ceiling = 40, 1.1 })),
		base(with(3, func(c []smallCell) { c[1].driftFrom, c[1].perH = 900, 0.4 })),
		base(with(4, func(c []smallCell) { c[1].gain, c[2].frozen = 0.86, [2]float64{1100, 1700} })),
	}
	for _, s := range dives {
		r := s.record(4)
		want := named(cell.Diagnose(r, cell.DefaultParams()))
		for shift := 1; shift < len(r.CellsBar); shift++ {
			q := r
			q.CellsBar = append(slices.Clone(r.CellsBar[shift:]), r.CellsBar[:shift]...)
			q.CellNumber = append(slices.Clone(r.CellNumber[shift:]), r.CellNumber[:shift]...)
			if diff := cmp.Diff(want, named(cell.Diagnose(q, cell.DefaultParams()))); diff != "" {
				t.Errorf("moved on by %d:\n%s", shift, diff)
			}
		}
	}
}

// A change of one cell's gain changes its gain and nothing else, nor does the
// log's zero of time matter.
func TestScaling(t *testing.T) {
	s := base(with(4, func(c []smallCell) { c[1].t90S = 35 }))
	s.round = 0.0001
	r := s.record(5)
	a := cell.Diagnose(r, cell.DefaultParams())
	q := r
	q.CellsBar = slices.Clone(r.CellsBar)
	q.CellsBar[1] = scaled(r.CellsBar[1], 1.04)
	q.TimeS = shifted(r.TimeS, 86400)
	b := cell.Diagnose(q, cell.DefaultParams())
	over := func(d cell.Diagnosis) float64 { return d.Cells[1].Gain.Value / d.Cells[0].Gain.Value }
	within(t, "gain over another cell's", over(b)/over(a), 1.04, 0.002)
	within(t, "T90", b.Cells[1].T90S.Value, a.Cells[1].T90S.Value, 0.3)
	if diff := cmp.Diff(named(a), named(b)); diff != "" {
		t.Error(diff)
	}
}

func scaled(x []float64, by float64) []float64 {
	out := slices.Clone(x)
	for i := range out {
		out[i] *= by
	}
	return out
}

func shifted(x []float64, by float64) []float64 {
	out := slices.Clone(x)
	for i := range out {
		out[i] += by
	}
	return out
}

// Records with little or nothing in them say so and do not panic.
func TestLittleData(t *testing.T) {
	full := base(sound(3)).record(1)
	short := full
	short.TimeS, short.DepthM, short.AmbientBar = full.TimeS[:1], full.DepthM[:1], full.AmbientBar[:1]
	short.FO2Dil, short.FHeDil, short.Valves = full.FO2Dil[:1], full.FHeDil[:1], nil
	short.CellsBar = [][]float64{{1}, {1}, {math.NaN()}}
	empty := full
	nan := make([]float64, len(full.TimeS))
	for i := range nan {
		nan[i] = math.NaN()
	}
	empty.CellsBar = [][]float64{nan, nan, nan}
	dead := full
	dead.CellsBar = [][]float64{full.CellsBar[0], full.CellsBar[1], make([]float64, len(nan))}
	for name, r := range map[string]loop.Record{"no rows": {}, "one row": short, "all missing": empty} {
		d := cell.Diagnose(r, cell.DefaultParams())
		if got := named(d); len(got) != 0 {
			t.Errorf("%s: %v", name, got)
		}
		for _, c := range d.Cells {
			if c.T90S.Known() || c.T90S.Reason == "" {
				t.Errorf("%s: cell %d: T90 %+v", name, c.Cell, c.T90S)
			}
		}
	}
	if diff := cmp.Diff([]string{"frozen-cell 3"}, named(cell.Diagnose(dead, cell.DefaultParams()))); diff != "" {
		t.Errorf("a cell at 0.00 throughout:\n%s", diff)
	}
	one := full
	one.CellsBar, one.CellNumber, one.CellStepBar = full.CellsBar[:1], []int{1}, []float64{0.01}
	if d := cell.Diagnose(one, cell.DefaultParams()); len(named(d)) != 0 || !d.Cells[0].T90S.Known() {
		t.Errorf("one cell: %+v", d)
	}
}
