package draft

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"afterloop/ingest/mapping"
)

// cellUnits are the numbers of one column with the units behind them.
type cellUnits struct {
	numbers []float64
	units   []string // the unit of each, empty for none
	first   map[string]string
}

func (u *cellUnits) add(v float64, unit string) {
	if u.first == nil {
		u.first = map[string]string{}
	}
	ours := mapping.Unit(unit)
	if u.first[ours] == "" {
		u.first[ours] = unit
	}
	u.numbers, u.units = append(u.numbers, v), append(u.units, ours)
}

// nearlyAll is the share of numbers that must carry one unit before it is that of the
// column. Ours: what one field in ten lacks may be lost, what most lack was never there.
const nearlyAll = 0.9

// settle is the one unit behind nearly all numbers. Where units are rare or mixed it
// says so, and only the numbers of the commonest kind are left to judge by: a
// figure in kPa among such in bar would speak for neither.
func (u *cellUnits) settle() (numbers []float64, unit, mixed string) {
	count := map[string]int{}
	for _, x := range u.units {
		count[x]++
	}
	if count[""] == len(u.units) {
		return u.numbers, "", ""
	}
	kinds := make([]string, 0, len(count))
	for x := range count {
		kinds = append(kinds, x)
	}
	sort.Slice(kinds, func(i, j int) bool {
		if a, b := count[kinds[i]], count[kinds[j]]; a != b {
			return a > b
		}
		return kinds[i] < kinds[j]
	})
	most := kinds[0]
	for i, x := range u.units {
		if x == most {
			numbers = append(numbers, u.numbers[i])
		}
	}
	others := len(kinds) // units besides none
	if count[""] > 0 {
		others--
	}
	if most != "" && others == 1 && float64(count[most]) >= nearlyAll*float64(len(u.units)) {
		return numbers, u.first[most], ""
	}
	var parts []string
	for _, x := range kinds {
		what := x + " behind"
		if x == "" {
			what = "no unit behind"
		}
		parts = append(parts, fmt.Sprintf("%s %d", what, count[x]))
	}
	return numbers, "", fmt.Sprintf("%s of %d numbers", strings.Join(parts, ", "), len(u.units))
}

// mixedUnits makes a question of a proposal whose column carries units here and there.
func (p proposal) mixedUnits(c *column) proposal {
	if c.mixed != "" && c.unit == "" && p.open == "" && p.unit != "" {
		p.open = fmt.Sprintf("%q has %s: which unit has the column (perhaps %s), and are the others read wrongly?", c.name, c.mixed, p.unit)
	}
	return p
}

// Bounds of a PO2 that a cell in use can read, bar; ours: below air at the highest
// dives of all, above pure oxygen at 90 m.
const leastCellBar, mostCellBar = 0.05, 10

// impossible is the question about a unit under which the middle reading of a PO2
// would be one that no cell in use reads; empty where it is possible.
func impossible(c *column, unit string) string {
	var known []float64
	for _, v := range c.numbers {
		if v > 0 { // 0 is a cell that was lost
			known = append(known, v)
		}
	}
	mul, div, add, ok := mapping.Convert(unit, "bar")
	if !ok || len(known) == 0 {
		return ""
	}
	sort.Float64s(known)
	middle := known[len(known)/2]
	if bar := middle*mul/div + add; bar < leastCellBar || bar > mostCellBar {
		return fmt.Sprintf("%q says %s (%s), but its middle reading of %s would be %s bar, which no cell in use shows: which unit is it?", c.name, unit, c.unitWhy, short(middle), short(bar))
	}
	return ""
}

// most is the highest number, with words for it; where one in twenty lies far above
// all others, it is the highest of these: a few wrong figures tell no unit.
func (c *column) most() (highest float64, upTo string) {
	_, highest = c.extent()
	if len(c.numbers) == 0 {
		return highest, "up to "
	}
	sorted := slices.Sorted(slices.Values(c.numbers))
	if x := sorted[(len(sorted)-1)*95/100]; x < highest/3 {
		return x, "nearly all up to "
	}
	return highest, "up to "
}
