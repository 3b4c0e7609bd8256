// Package calibration carries the figures by which the verdicts of afterloop may
// be judged: how often it named the right part and the right kind of fault, how
// often it cried wolf, and how often each grade of confidence was right, on
// simulated dives whose truth is known.
//
// The question it answers: what is "sure" worth? [Current] gives the [Table] that
// was committed with this version. It is a leaf: it imports nothing of ours, so
// that analysis and report may print it. Package calibration/score makes the
// measurement, and `afterloop scenario score --table` writes the file.
//
// Everything here is calibrated on simulation only. A simulation knows no dirt,
// no water on a cell's face and no wiring; real rates may be worse.
package calibration
