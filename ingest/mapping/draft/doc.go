// Package draft writes a mapping for a foreign file to start from.
//
// The question it answers: what do the file's own words, units and figures say
// of how it is to be read? Each thing that it puts into the mapping carries the
// reason in a comment. What the file does not settle (a depth without a unit, a
// date that may be day or month first) stands as a commented line with the
// candidates and is listed as undecided: a wrong unit would read feet as metres,
// and nobody would see it in the report.
package draft

// Draft is a mapping in TOML, and what its writer has to settle.
type Draft struct {
	TOML []byte
	// Undecided says what the file does not settle.
	Undecided []string
}

// Make drafts a mapping for the bytes of a file; name is what it is called in
// the first line. It never fails: for what is no table it says so in Undecided.
func Make(data []byte, name string) Draft {
	t := look(data)
	w := &writer{t: t}
	w.write(name)
	return Draft{TOML: []byte(w.b.String()), Undecided: w.undecided}
}
