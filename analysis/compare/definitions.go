package compare

import "afterloop/analysis"

// Definitions are the figures of a comparison and of a course, with what each means.
func Definitions() []analysis.Definition {
	var out []analysis.Definition
	for _, part := range [][]kind{scalarKinds(), valveKinds(), cellKinds()} {
		for _, k := range part {
			out = append(out, analysis.Definition{ID: k.id, Name: k.name, Unit: k.unit, Text: k.meaning, Source: "the debrief of each dive"})
		}
	}
	return out
}
