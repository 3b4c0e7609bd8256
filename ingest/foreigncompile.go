package ingest

import (
	"fmt"
	"regexp"
	"sort"
	"strings"

	"afterloop/ingest/mapping"
)

// translation is a mapping made ready for reading.
type translation struct {
	m       *mapping.Mapping
	clock   *mapping.Clock
	numbers mapping.Numbers
	columns []translatedColumn // in the order of the format's table
	keys    []translatedKey    // in the order of the format's table
	split   string             // dives.split, empty for none
}

// translatedColumn is one column of ours and where it stands in theirs.
type translatedColumn struct {
	name string // ours
	spec mapping.Column
	def  columnDef
	key  columnKey
	// constant is the value of every row, nil for a column of theirs.
	constant []byte
	words    wordList
}

// translatedKey is one key of the metadata and where its value stands.
type translatedKey struct {
	name    string
	spec    mapping.Metadata
	pattern *regexp.Regexp
	clock   *mapping.Clock
	words   wordList
}

// compile checks a mapping against the format. Its errors are of type [mapping.Error].
func compile(m *mapping.Mapping) (*translation, error) {
	c := &translation{m: m, numbers: m.Numbers(), split: m.Dives.Split}
	if c.split == "none" {
		c.split = ""
	}
	var err error
	if c.clock, err = m.Clock(); err != nil {
		return nil, err
	}
	for _, name := range sortedKeys(m.Columns) {
		if err := c.addColumn(name); err != nil {
			return nil, err
		}
	}
	sort.SliceStable(c.columns, func(i, j int) bool { return c.columns[i].before(&c.columns[j]) })
	for _, name := range sortedKeys(m.Metadata) {
		if err := c.addKey(name); err != nil {
			return nil, err
		}
	}
	if err := c.checkNeeded(); err != nil {
		return nil, err
	}
	return c, c.checkWords()
}

// checkNeeded makes sure of what a log must have.
func (c *translation) checkNeeded() error {
	cells, pressure := false, false
	for i := range c.columns {
		switch c.columns[i].key.quantity {
		case cellPO2Quantity, cellMVQuantity:
			cells = true
		case depthQuantity, pressureDepthQuantity, ambientQuantity:
			pressure = true
		}
	}
	switch {
	case !cells:
		return c.m.Fail("columns", "no oxygen cell: give cell1_po2_bar, or cell1_mv with its calibration, for each")
	case !pressure:
		return c.m.Fail("columns", "neither depth nor pressure: give depth_m, depth_msw or ambient_bar")
	}
	return nil
}

func sortedKeys[T any](table map[string]T) []string {
	keys := make([]string, 0, len(table))
	for k := range table {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func (a *translatedColumn) before(b *translatedColumn) bool {
	if x, y := rank(&a.def), rank(&b.def); x != y {
		return x < y
	}
	if a.key.number != b.key.number {
		return a.key.number < b.key.number
	}
	return a.key.letter < b.key.letter
}

// addColumn makes a definition of the format's own and the unit, scale and
// offset of theirs: in it a value of theirs becomes one of ours by v*mul/div + add,
// and everything that is said about it is said in their unit.
func (c *translation) addColumn(name string) error {
	key := "columns." + name
	def, k, exact := match(name)
	switch {
	case def == nil || !exact:
		return c.m.Fail(key, "no column of a loop log; `afterloop schema mapping` lists them")
	case def.quantity == timeQuantity:
		return c.m.Fail(key, "the time stands in a table of its own, [time]")
	case def.from != "" && def.quantity != pressureDepthQuantity:
		return c.m.Fail(key, "give %s, with unit = %q", fill(baseName(def), k.number, k.letter), def.from)
	case def.name == "depth_fsw":
		return c.m.Fail(key, `give depth_msw, with unit = "fsw"`)
	}
	t := translatedColumn{name: name, spec: c.m.Columns[name], def: *def, key: k}
	t.words.add(t.spec.Words)
	switch def.kind {
	case numberKind:
		if err := c.convert(&t, key); err != nil {
			return err
		}
	default:
		if t.spec.Unit != "" || t.spec.Scale != nil || t.spec.Offset != 0 {
			return c.m.Fail(key, "a column of words has no unit, scale or offset")
		}
		t.words.add(c.wordsOf(def.quantity))
	}
	if t.spec.Constant != nil {
		text, _ := mapping.Text(t.spec.Constant) // checked when the mapping was read
		t.constant = []byte(text)
		if want := t.wantConstant(); want != "" {
			return c.m.Fail(key+".constant", "no value of %s; give %s", name, want)
		}
	}
	c.columns = append(c.columns, t)
	return nil
}

// wantConstant says what a constant should be, empty where it is that.
func (t *translatedColumn) wantConstant() string {
	switch t.def.kind {
	case numberKind:
		v, _, ok := parseDecimal(t.constant)
		if lowest, highest := t.def.bounds(); !ok || v < lowest || v > highest {
			return fmt.Sprintf("a number from %s to %s", shortNumber(lowest), shortNumber(highest))
		}
	case codeKind:
		if !isWord(t.def.words...)(string(t.constant)) {
			return "one of " + strings.Join(t.def.words[1:], ", ")
		}
	}
	return ""
}

// baseName is the name of the column of the same quantity in the base unit.
func baseName(d *columnDef) string {
	for i := range columnDefs {
		b := &columnDefs[i]
		if b.quantity == d.quantity && b.from == "" && strings.Contains(b.name, "#") == strings.Contains(d.name, "#") {
			return b.name
		}
	}
	return d.name
}

// convert settles the unit of a column of numbers.
func (c *translation) convert(t *translatedColumn, key string) error {
	base := t.def.unit
	unit := t.spec.Unit
	if unit == "" {
		unit = base
		if t.def.quantity == pressureDepthQuantity {
			unit = "msw"
		}
	}
	mul, div, add, ok := mapping.Convert(unit, base)
	if !ok {
		want := mapping.UnitsOf(base)
		if t.def.quantity == depthQuantity && mapping.Dimension(unit) == "pressure" {
			want += "; a depth in a unit of pressure is depth_msw"
		}
		return c.m.Fail(key+".unit", "no unit of %s; give one of %s", t.name, want)
	}
	t.spec.Unit = mapping.Unit(unit)
	t.def.from = ""
	if t.spec.Unit != mapping.Unit(base) {
		t.def.from = t.spec.Unit
	}
	if scale := t.spec.Multiplier(); scale != 1 {
		mul, div = scaled(mul, div, scale)
		t.def.from = "x " + shortNumber(scale) + " " + t.spec.Unit
	}
	t.def.mul, t.def.div, t.def.add = mul, div, t.spec.Offset*mul/div/t.spec.Multiplier()+add
	if t.spec.Offset != 0 || t.spec.Multiplier() < 0 {
		t.def.sentinels = alwaysValue // -1 is a value like another where zero stands elsewhere
	}
	return nil
}

// scaled multiplies by a scale, or divides where the scale is one part of a whole
// number, since 0.01 is no exact float64 and 100 is.
func scaled(mul, div, scale float64) (float64, float64) {
	for _, whole := range [...]float64{10, 100, 1000, 10000} {
		if scale == 1/whole {
			return mul, div * whole
		}
	}
	return mul * scale, div
}
