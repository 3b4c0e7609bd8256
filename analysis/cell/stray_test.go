package cell_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
)

// oddity is something that a cell does and no model here describes: its reading y at
// moment t becomes what is returned.
type oddity struct {
	name string
	cell []int // who does it, from 0
	read func(t, y float64) float64
}

// plus is an offset between two moments.
func plus(dv, from, to float64) func(t, y float64) float64 {
	return func(t, y float64) float64 {
		if t > from && t < to {
			y += dv
		}
		return y
	}
}

// ramp is an offset that grows for upS, stays and shrinks for upS.
func ramp(dv, from, upS, to float64) func(t, y float64) float64 {
	return func(t, y float64) float64 {
		return y + dv*math.Max(0, math.Min(1, math.Min((t-from)/upS, (to-t)/upS)))
	}
}

func times(g, from, to float64) func(t, y float64) float64 {
	return func(t, y float64) float64 {
		if t > from && t < to {
			y *= g
		}
		return y
	}
}

func oddities() []oddity {
	const end = 1e9
	one, two := []int{0}, []int{0, 1}
	return []oddity{
		{"jumps up for 10 min", one, plus(0.3, 600, 1200)},
		{"jumps up for 100 s", one, plus(0.5, 600, 700)},
		{"jumps up by less", one, plus(0.2, 500, 1100)},
		{"jumps up in the descent, to the bottom", one, plus(0.3, 120, 800)},
		{"jumps up in the ascent", one, plus(0.35, 1250, 1700)},
		{"jumps up to the end", one, plus(0.3, 700, end)},
		{"jumps down for 10 min", one, plus(-0.3, 600, 1200)},
		{"jumps down to the end", one, plus(-0.3, 700, end)},
		{"two cells jump up", two, plus(0.3, 600, 1200)},
		{"two cells jump up to the end", two, plus(0.3, 700, end)},
		{"two cells jump down", two, plus(-0.3, 600, 1200)},
		{"jumps twice", one, func(t, y float64) float64 { return plus(0.3, 400, 600)(t, plus(0.35, 900, 1150)(t, y)) }},
		{"wanders up and back", one, ramp(0.3, 600, 120, 900)},
		{"wanders up and back, twice", one, func(t, y float64) float64 { return ramp(0.3, 400, 100, 700)(t, ramp(0.3, 900, 100, 1190)(t, y)) }},
		{"wanders slowly up and back", one, ramp(0.3, 300, 500, 1500)},
		{"wanders down and back", one, ramp(-0.3, 600, 120, 900)},
		{"stuck higher for 3 min", one, func(t, y float64) float64 {
			if t > 700 && t < 880 {
				return 1.62
			}
			return y
		}},
		{"offset from the start", one, plus(0.12, -1, end)},
		{"offset below from the start", one, plus(-0.12, -1, end)},
		{"bent upwards", one, func(t, y float64) float64 { return y + 0.15*y*y }},
		{"bent downwards", one, func(t, y float64) float64 { return y - 0.12*y*y }},
		{"another cell for 5 min", one, times(1.25, 800, 1100)},
		{"loses 30 %", one, times(0.7, 900, end)},
		{"gains 30 %", one, times(1.3, 900, end)},
	}
}

// does makes the cells of a record do it, in the rounding of the log.
func (o oddity) does(r *loop.Record, round float64) {
	for _, k := range o.cell {
		for i, t := range r.TimeS {
			r.CellsBar[k][i] = math.Round(o.read(t, r.CellsBar[k][i])/round) * round
		}
	}
}

// No cell is condemned for what another one does: whatever a cell does that is not
// modelled, the others are possible at most.
func TestInnocent(t *testing.T) {
	const seeds = 1
	for _, o := range oddities() {
		for _, v := range innocentDives() {
			t.Run(fmt.Sprintf("%s, %s", o.name, v.name), func(t *testing.T) {
				s := v.dive
				for seed := uint64(1); seed <= seeds; seed++ {
					s.mangle = func(r *loop.Record) {
						o.does(r, s.round)
						if v.bare {
							r.Valves = nil
						}
					}
					d := cell.Diagnose(s.record(seed), cell.DefaultParams())
					for _, f := range d.Faults {
						if !f.Borderline && f.Confidence != cell.Possible && !slices.Contains(o.cell, f.Cell-1) {
							t.Errorf("seed %d: cell %d is condemned: %s %s %v", seed, f.Cell, f.Kind, f.Confidence, f.Evidence)
						}
					}
				}
			})
		}
	}
}

type innocentDive struct {
	name string
	dive small
	bare bool // no valve recorded
}

func innocentDives() []innocentDive {
	sparse := base(sound(3))
	sparse.stepS = 5
	pulses := base(sound(3))
	pulses.pulse = 4
	flat := base(sound(3))
	flat.flat = true
	quiet := base(sound(3)) // hardly any noise: readings stand for long
	quiet.noise = 0.001
	return []innocentDive{
		{"three cells", base(sound(3)), false},
		{"four cells", base(sound(4)), false},
		{"two cells", base(sound(2)), false},
		{"every 5 s", sparse, false},
		{"every 5 s, no valve", sparse, true},
		{"no valve", base(sound(3)), true},
		{"large openings", pulses, false},
		{"on the level", flat, false},
		{"little noise", quiet, false},
	}
}

// A jump is told as a disagreement, with the cell that jumped as the odd one; nobody is
// named for it, and the cell is used again when it is back.
func TestJumpIsTold(t *testing.T) {
	for _, n := range []int{2, 3, 4} {
		s := base(sound(n))
		s.mangle = func(r *loop.Record) { oddity{"", []int{0}, plus(0.3, 600, 1200)}.does(r, 0.01) }
		d := cell.Diagnose(s.record(1), cell.DefaultParams())
		if len(named(d)) != 0 || len(d.Undecided) != 1 || !slices.Equal(d.Undecided[0].Odd, []int{1}) {
			t.Fatalf("%d cells: faults %v, undecided %+v", n, named(d), d.Undecided)
		}
		u := d.Cells[0].Unusable
		if len(u) != 1 {
			t.Fatalf("%d cells: unusable %v", n, u)
		}
		within(t, "from", u[0].FromS, 601, 6)
		within(t, "to", u[0].ToS, 1199, 6)
		within(t, "ratio", d.Undecided[0].Ratio, 1.25, 0.04)
	}
}

// Readings above the pressure of the gas are no witness against another cell.
func TestReadingAboveAmbientAccusesNobody(t *testing.T) {
	for _, n := range []int{2, 3, 4} {
		s := base(sound(n))
		high := oddity{"", []int{0}, ramp(0.6, 1750, 200, 2400)} // at 6 m, up to 1.9 bar in 1.6 bar
		s.mangle = func(r *loop.Record) { high.does(r, 0.01) }
		d := cell.Diagnose(s.record(1), cell.DefaultParams())
		for _, f := range d.Faults {
			if f.Cell != 1 {
				t.Errorf("%d cells: %s %d %s", n, f.Kind, f.Cell, f.Confidence)
			}
		}
	}
}

// What guards the innocent does not hide the guilty: a limited majority that outvotes
// the good cell is sure once PO2 has passed its ceilings several times, here in two dives.
func TestLimitedMajorityIsSure(t *testing.T) {
	for _, stepS := range []int{1, 5} {
		s := base(with(3, func(c []smallCell) { c[0].ceiling, c[2].ceiling = 1.1, 1.13 }))
		s.stepS = stepS
		one := s.record(1)
		d := cell.Diagnose(joined(one, one), cell.DefaultParams())
		sure := 0
		for _, f := range d.Faults {
			if f.Kind == cell.Limited && f.Confidence == cell.Sure && f.LinesOfEvidence >= 2 && f.Cell != 2 {
				sure++
			}
		}
		if sure != 2 {
			t.Errorf("every %d s: %+v", stepS, d.Faults)
		}
	}
}
