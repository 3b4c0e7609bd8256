package draft

import (
	"regexp"
	"sort"
	"strconv"
	"strings"

	"afterloop/ingest/mapping"
)

var (
	commaPart  = regexp.MustCompile(`^[-+\x{2212}]?[0-9]+,[0-9]+$`)
	pointPart  = regexp.MustCompile(`^[-+\x{2212}]?[0-9]+\.[0-9]+$`)
	groups     = regexp.MustCompile(`^[-+\x{2212}]?[1-9][0-9]{0,2}([.,' \x{a0}][0-9]{3})+$`)
	groupsPart = regexp.MustCompile(`^[-+\x{2212}]?[1-9][0-9]{0,2}([.,' \x{a0}][0-9]{3})+[.,][0-9]+$`)
)

// findNumbers finds decimal mark, thousands mark, units in cells and words for nothing.
func (t *table) findNumbers() {
	comma, point, inCells, numbers := 0, 0, 0, 0
	grouped := map[string]int{}
	long := map[string]int{} // marks that can't be decimal: several groups, or groups and another mark
	for _, row := range t.rows {
		for _, f := range row {
			if timeLike(f) {
				continue
			}
			if m := numberAndUnit.FindStringSubmatch(f); m != nil && mapping.Unit(m[2]) != "" {
				f = strings.TrimSpace(m[1])
				inCells++
			}
			switch mark := groupMark(f); {
			case groupsPart.MatchString(f) || strings.Count(f, mark) > 1 && mark != "":
				long[mark]++
				if groupsPart.MatchString(f) && strings.LastIndex(f, ",") > strings.LastIndex(f, ".") {
					comma++
				} else if groupsPart.MatchString(f) {
					point++
				}
			case groups.MatchString(f):
				grouped[mark]++
			case commaPart.MatchString(f):
				comma++
			case pointPart.MatchString(f):
				point++
			}
			if oneNumber.MatchString(f) {
				numbers++
			}
		}
	}
	t.unitsInCells = inCells*3 > numbers && inCells > 0
	t.settleMarks(comma, point, grouped, long)
}

// groupMark is the first mark between groups of three digits, empty for none.
func groupMark(f string) string {
	if !groups.MatchString(f) && !groupsPart.MatchString(f) {
		return ""
	}
	for _, r := range strings.TrimLeft(f, "+-\u2212") {
		if r < '0' || r > '9' {
			return string(r)
		}
	}
	return ""
}

// settleMarks: a comma before any number of digits is a decimal mark, one before
// exactly three may be either. A mark that stands with three digits alone is a
// thousands mark where the other one is the decimal mark.
func (t *table) settleMarks(comma, point int, grouped, long map[string]int) {
	switch {
	case comma > 0 && point > 0:
		t.decimalWhy = "" // both: undecided
		return
	case comma > 0:
		t.decimal, t.decimalWhy = ",", strconv.Itoa(comma)+" numbers have a comma, none a point with other than three digits behind it"
	case point > 0:
		t.decimal, t.decimalWhy = ".", strconv.Itoa(point)+" numbers have a point, none a comma with other than three digits behind it"
	case grouped[","]+grouped["."] == 0:
		t.decimal, t.decimalWhy = ".", "no number has a decimal mark"
	default:
		return
	}
	for _, mark := range []string{".", ",", "'", " ", "\u00a0"} {
		if mark != t.decimal && grouped[mark]+long[mark] > 0 {
			t.thousands = strings.ReplaceAll(mark, "\u00a0", " ")
			return
		}
	}
}

// number reads a field with the marks that were found; unit is what stands behind it.
func (t *table) number(f string) (v float64, unit string, ok bool) {
	n := mapping.Numbers{Decimal: '.', Units: true}
	if t.decimal != "" {
		n.Decimal = t.decimal[0]
	}
	if t.thousands != "" {
		n.Thousands = t.thousands[0]
	}
	plain, u, ok := n.Plain(nil, []byte(strings.TrimSpace(f)))
	if !ok || len(u) > 0 && mapping.Unit(string(u)) == "" {
		return 0, "", false
	}
	v, err := strconv.ParseFloat(string(plain), 64)
	return v, string(u), err == nil
}

// nothing are words that commonly stand for "not recorded".
var nothing = regexp.MustCompile(`(?i)^(-+|-*\.-+|-+\.-+|\*+|_+|\?+|n/?a|#n/a|nan|null|none|nil|off|err|error|x+)$`)

// findColumns sorts the fields by column.
func (t *table) findColumns() {
	missing := map[string]int{}
	for i, name := range t.names {
		if i >= t.width {
			break
		}
		c := column{name: name}
		words := map[string]int{}
		var cells cellUnits
		for _, row := range t.rows {
			f := row[i]
			if f == "" {
				continue
			}
			if v, u, ok := t.number(f); ok {
				cells.add(v, u)
			} else if nothing.MatchString(f) {
				words[f]++
				continue
			}
			c.values = append(c.values, f)
			c.note(f)
		}
		inCell := ""
		c.numbers, inCell, c.mixed = cells.settle()
		if len(c.numbers) > 0 || len(c.values) == 0 {
			for w := range words {
				missing[w]++
			}
		} else {
			for w := range words { // in a column of words it is one of them, unless it is dashes
				if strings.Trim(w, "-") == "" {
					missing[w]++
					continue
				}
				c.values = append(c.values, w)
				c.note(w)
			}
			sort.Strings(c.distinct)
		}
		c.findUnit(t, i, inCell)
		t.unitsInCells = t.unitsInCells || inCell != ""
		t.columns = append(t.columns, c)
	}
	for w := range missing {
		if t.isWordOf(w) {
			t.doubtful = append(t.doubtful, w)
			continue
		}
		t.missing = append(t.missing, w)
	}
	sort.Strings(t.missing)
	sort.Strings(t.doubtful)
}

// isWordOf tells whether a word stands in a column of words too, where it may mean something.
func (t *table) isWordOf(w string) bool {
	for i := range t.columns {
		for _, d := range t.columns[i].distinct {
			if len(t.columns[i].numbers) == 0 && d == w {
				return true
			}
		}
	}
	return false
}

func (c *column) note(f string) {
	for _, d := range c.distinct {
		if d == f {
			return
		}
	}
	if len(c.distinct) >= maxDistinct {
		c.many = true
		return
	}
	c.distinct = append(c.distinct, f)
}

var inBrackets = regexp.MustCompile(`[(\[]([^)\]]*)[)\]]`)

// findUnit takes the unit below the name, in brackets behind it, at its end, or in the cells.
func (c *column) findUnit(t *table, i int, inCell string) {
	if i < len(t.units) && mapping.Unit(t.units[i]) != "" {
		c.unit, c.unitWhy = t.units[i], "the row of units"
		return
	}
	if m := inBrackets.FindStringSubmatch(c.name); m != nil && mapping.Unit(m[1]) != "" {
		c.unit, c.unitWhy = m[1], "the brackets in the name"
		return
	}
	if inCell != "" {
		c.unit, c.unitWhy = inCell, "the unit behind the numbers"
		return
	}
	words := strings.FieldsFunc(c.name, func(r rune) bool { return r == ' ' || r == '_' })
	n := len(words)
	if n < 2 {
		return
	}
	// One letter is a unit (depth_m, Battery V), but behind a part it may be the part's (Cell C).
	isUnit := len(words[n-1]) > 1 || !isNamed(words[n-2], "cell", "sensor", "valve", "solenoid", "battery", "half", "po2", "ppo2", "o2") || mapping.Unit(words[n-1]) == "V"
	if isUnit && mapping.Unit(words[n-1]) != "" && mapping.Dimension(words[n-1]) != "number" {
		c.unit, c.unitWhy = words[n-1], "the end of the name"
	}
}

// extent is the smallest and largest number.
func (c *column) extent() (lowest, highest float64) {
	for i, v := range c.numbers {
		if i == 0 {
			lowest, highest = v, v
		}
		lowest, highest = min(lowest, v), max(highest, v)
	}
	return lowest, highest
}
