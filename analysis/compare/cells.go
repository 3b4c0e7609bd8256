package compare

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strconv"
)

// matched is one cell, or one valve, over the dives.
type matched struct {
	name string
	// number in each dive, 0 where it is not in it.
	numbers []int
}

// matchCells decides by what cells are the same: by serial number where every
// cell of every dive has one and at least one occurs in two dives; else by
// position where all dives have as many; else not at all.
func matchCells(ss []*Subject) (Matching, []matched) {
	cells, why := bySerial(ss)
	if cells != nil {
		return Matching{"serial", "Cells are matched by serial number; a cell that was moved or replaced is told apart."}, cells
	}
	n := len(ss[0].cells)
	for _, s := range ss {
		if len(s.cells) != n {
			return Matching{"none", fmt.Sprintf("Cells can't be matched: %s, and there are %d cells in %s and %d in %s. A finding of a cell is then compared by its kind alone.", why, n, ss[0].Label, len(s.cells), s.Label)}, nil
		}
	}
	if n == 0 {
		return Matching{"none", "No cells are recorded."}, nil
	}
	var out []matched
	for k := range n {
		m := matched{name: strconv.Itoa(ss[0].cells[k].number)}
		for _, s := range ss {
			m.numbers = append(m.numbers, s.cells[k].number)
		}
		out = append(out, m)
	}
	return Matching{"position", "Cells are matched by position: " + why + ". Other cells may have sat there: a difference is then between cells, not a change of one."}, out
}

func bySerial(ss []*Subject) ([]matched, string) {
	type place struct{ dive, number int }
	seen := map[string][]place{}
	var order []string
	for i, s := range ss {
		mine := map[string]bool{}
		for _, c := range s.cells {
			if c.serial == "" {
				return nil, fmt.Sprintf("cell %d of %s has no serial number", c.number, s.Label)
			}
			if mine[c.serial] {
				return nil, "a serial number occurs twice in " + s.Label
			}
			mine[c.serial] = true
			if seen[c.serial] == nil {
				order = append(order, c.serial)
			}
			seen[c.serial] = append(seen[c.serial], place{i, c.number})
		}
	}
	shared := false
	var out []matched
	for _, serial := range order {
		m := matched{name: serial, numbers: make([]int, len(ss))}
		for _, p := range seen[serial] {
			m.numbers[p.dive] = p.number
		}
		shared = shared || len(seen[serial]) > 1
		out = append(out, m)
	}
	if !shared {
		return nil, "no serial number occurs in two dives"
	}
	slices.SortStableFunc(out, func(a, b matched) int { return cmp.Compare(firstOf(a.numbers), firstOf(b.numbers)) })
	return out, ""
}

func firstOf(n []int) int {
	for _, v := range n {
		if v > 0 {
			return v
		}
	}
	return 0
}

// matchValves matches valves by number where all dives have the same ones.
func matchValves(ss []*Subject) ([]matched, string) {
	var out []matched
	for _, v := range ss[0].valves {
		out = append(out, matched{name: fmt.Sprintf("valve %d", v.number)})
	}
	for _, s := range ss {
		if len(s.valves) != len(out) {
			return nil, fmt.Sprintf("valves are recorded: %d in %s, %d in %s", len(out), ss[0].Label, len(s.valves), s.Label)
		}
		for k := range out {
			out[k].numbers = append(out[k].numbers, s.valves[k].number)
		}
	}
	if len(out) == 0 {
		return nil, "no valve is recorded in any of the dives"
	}
	return out, ""
}

// valuesOf finds the part with this number.
func valuesOf(parts []part, number int) map[string]Measure {
	for _, p := range parts {
		if p.number == number && number > 0 {
			return p.values
		}
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// labels lists labels: "A", "A and B", "A, B and 7 more".
func labels(l []string) string {
	switch n := len(l); {
	case n == 0:
		return "none"
	case n == 1:
		return l[0]
	case n <= 4:
		s := l[0]
		for _, x := range l[1 : n-1] {
			s += ", " + x
		}
		return s + " and " + l[n-1]
	default:
		return fmt.Sprintf("%s, %s, %s and %d more", l[0], l[1], l[2], n-3)
	}
}

// Labels lists labels in words.
func Labels(l []string) string { return labels(l) }
