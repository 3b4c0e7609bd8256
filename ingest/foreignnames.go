package ingest

import "afterloop/ingest/mapping"

// MappingColumns are the columns of a loop log that a mapping may have, and
// what they mean; '#' stands for a number and '@' for a letter.
func MappingColumns() []mapping.Name {
	var names []mapping.Name
	for i := range columnDefs {
		d := &columnDefs[i]
		if d.quantity == timeQuantity || d.from != "" && d.name != "depth_msw" {
			continue
		}
		n := mapping.Name{Pattern: d.name, Meaning: d.meaning}
		if d.unit != "" && d.unit != "1" {
			n.Meaning += ", " + d.unit
		}
		if d.note != "" {
			n.Meaning += "; " + d.note
		}
		names = append(names, n)
	}
	return names
}

// MappingKeys are the keys of metadata that a mapping may have.
func MappingKeys() []mapping.Name {
	var names []mapping.Name
	for _, d := range keyDefs {
		if d.name != versionKey {
			names = append(names, mapping.Name{Pattern: d.name, Meaning: d.meaning})
		}
	}
	return names
}
