// Package analysis composes the parts of a debrief: it takes an [ingest.Dive],
// puts it through the sub-packages (gas, vote, tracking, injection, exposure,
// loop, cell), runs the checks over the results and returns one [Debrief].
//
// The question it answers: what happened on the loop, which of the instruments
// told the truth, how sure can one be, and what should be done about it?
//
// Each check is one line in the registry in checks.go and ends in one of five
// outcomes that are never collapsed into fewer. The recording is looked at
// before any sensor is blamed, and what the log can't tell is said.
//
//	dive, err := ingest.ReadFile("dive.csv", ingest.Options{})
//	if err != nil { … }
//	d := analysis.Analyze(dive, analysis.DefaultParameters())
//
// Analyze is a pure function: it reads no clock and no file, and the same dive
// and parameters give the same Debrief.
package analysis
