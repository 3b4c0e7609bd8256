package ingest

import (
	"fmt"
	"strings"
)

// ColumnTable is the format's table of columns in Markdown, for the
// documentation: what each column means, its unit, the unit that a [Dive] has it
// in, and the values that an instrument can give.
func ColumnTable() string {
	var b strings.Builder
	b.WriteString("| column | meaning | unit | read as | possible values |\n|---|---|---|---|---|\n")
	for i := range columnDefs {
		d := &columnDefs[i]
		c := column{def: d}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", placeholder(d.name), d.meaningForTable(), c.unitForTable(), d.unit, d.valuesForTable())
	}
	return b.String()
}

// KeyTable is the format's table of metadata in Markdown.
func KeyTable() string {
	var b strings.Builder
	b.WriteString("| metadata | meaning |\n|---|---|\n")
	for i := range keyDefs {
		fmt.Fprintf(&b, "| `%s` | %s |\n", placeholder(keyDefs[i].name), keyDefs[i].meaning)
	}
	return b.String()
}

// placeholder writes N for a number and X for a letter, as the documentation does.
func placeholder(name string) string {
	return strings.NewReplacer("#", "N", "@", "X").Replace(name)
}

func (d *columnDef) meaningForTable() string {
	s := placeholder(d.meaning)
	if d.note != "" {
		s += "; " + placeholder(d.note)
	}
	return s
}

func (c *column) unitForTable() string {
	if c.def.kind != numberKind {
		return ""
	}
	return c.unit()
}

func (d *columnDef) valuesForTable() string {
	switch {
	case d.kind == codeKind:
		return "`" + strings.Join(d.words[1:], "`, `") + "`"
	case d.quantity == eventQuantity:
		return "`" + strings.ReplaceAll(eventWords(), ", ", "`, `") + "`"
	case d.kind != numberKind || d.quantity == timeQuantity:
		return ""
	}
	return shortNumber(d.lowest*d.perBase()) + " to " + shortNumber(d.highest*d.perBase())
}
