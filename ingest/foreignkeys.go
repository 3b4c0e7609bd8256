package ingest

import (
	"regexp"
	"strings"

	"afterloop/ingest/mapping"
)

func (c *translation) addKey(name string) error {
	key := "metadata." + name
	def, part, exact := matchKey(name)
	switch {
	case def == nil || !exact || def.name == versionKey:
		return c.m.Fail(key, "no key of a loop log's metadata; `afterloop schema mapping` lists them")
	case def.cell && !c.hasCell(atoi(part)):
		return c.m.Fail(key, "the mapping has no such cell")
	}
	k := translatedKey{name: name, spec: c.m.Metadata[name]}
	k.words.add(k.spec.Words)
	if name == "diluent" || name == "open_circuit_gas" {
		k.words.add(c.m.Words.Gas)
	}
	if k.spec.Pattern != "" {
		k.pattern = regexp.MustCompile(k.spec.Pattern) // checked when the mapping was read
	}
	if k.spec.Unit != "" {
		if _, _, _, ok := mapping.Convert(k.spec.Unit, keyUnit(name)); !ok {
			return c.m.Fail(key+".unit", "no unit of %s; %s", name, keyUnitHelp(name))
		}
	}
	if k.spec.Format != "" {
		var ok bool
		if k.clock, ok = mapping.NewClock(k.spec.Format); !ok || name != "start" {
			return c.m.Fail(key+".format", "a format is for start alone, and needs a date and a clock, as in DD.MM.YYYY hh:mm")
		}
	}
	c.keys = append(c.keys, k)
	return c.checkConstant(def, part, &k, key)
}

// checkConstant tries a constant, so that what is wrong with it is said of the
// mapping and not of every file.
func (c *translation) checkConstant(def *keyDef, part string, k *translatedKey, key string) error {
	if k.spec.Constant == nil {
		return nil
	}
	text, _ := mapping.Text(k.spec.Constant) // checked when the mapping was read
	var m metadata
	m.clear()
	if want, ok := def.set(&m, part, c.valueOf(k, text)); !ok {
		return c.m.Fail(key+".constant", "no value of %s; give %s", k.name, want)
	}
	return nil
}

func (c *translation) hasCell(n int) bool {
	for i := range c.columns {
		q := c.columns[i].key.quantity
		if (q == cellPO2Quantity || q == cellMVQuantity) && c.columns[i].key.number == n {
			return true
		}
	}
	return false
}

// keyUnit is the unit in the name of a key, empty for a key of text.
func keyUnit(name string) string {
	for _, k := range []struct{ ending, unit string }{{"_kg_m3", "kg/m3"}, {"_l_min", "l/min"}, {"_bar", "bar"}, {"_mv", "mV"},
		{"_l", "l"}, {"_temp_c", "C"}, {"_gas_o2", "1"}, {"_he_sigma", "1"}} {
		if strings.HasSuffix(name, k.ending) {
			return k.unit
		}
	}
	return ""
}

func keyUnitHelp(name string) string {
	if keyUnit(name) == "" {
		return "it is text"
	}
	return "give one of " + mapping.UnitsOf(keyUnit(name))
}

// valueOf translates a value: words, numbers with their units, dates. What it
// can't translate stays as it is, and is then said to be no value.
func (c *translation) valueOf(k *translatedKey, value string) string {
	if ours, ok := k.words.ours([]byte(value)); ok {
		return string(ours)
	}
	if k.clock != nil {
		return c.startOf(k, value)
	}
	base := keyUnit(k.name)
	if base == "" {
		return value
	}
	numbers := c.numbers
	numbers.Units = true // in a line of text a unit is usual
	if k.spec.Constant != nil {
		numbers = mapping.Numbers{Decimal: '.'}
	}
	plain, unit, ok := numbers.Plain(nil, []byte(value))
	want := orElse(k.spec.Unit, base)
	if !ok || len(unit) > 0 && mapping.Unit(string(unit)) != mapping.Unit(want) {
		return value
	}
	mul, div, add, _ := mapping.Convert(want, base)
	v, _, ok := parseDecimal(plain)
	if !ok || mul == div && add == 0 {
		return string(plain)
	}
	return string(appendNumber(nil, v*mul/div+add))
}

// startOf is a date and clock as RFC 3339.
func (c *translation) startOf(k *translatedKey, value string) string {
	m, ok := k.clock.Parse(nil, []byte(value))
	if !ok {
		return value
	}
	r := rowClock{fromFirst: true}
	r.zoneS, r.zoned = c.m.ZoneSeconds()
	r.begin(m)
	if !r.zoned {
		return value + " without a time zone"
	}
	return r.start()
}
